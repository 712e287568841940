"""Coming in and going out: sign-in, sign-out, the links that work once."""

from __future__ import annotations

from django.contrib.auth.hashers import check_password
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import NoReverseMatch, reverse
from django.utils.http import url_has_allowed_host_and_scheme

from bedsite.doors import clock, devices, errors, guesses, notes, one_time, people_acts, rights, sessions
from bedsite.doors.forms import FirstOwner, SignIn, Twice
from bedsite.doors.middleware import may
from bedsite.doors.policy import address_of, is_loopback
from bedsite.records.models import Device, OneTime, Person
from bedwright.errors import FaultsFound

LANDINGS = ("office:marrying", "floor:stations", "doors:me")
WRONG = "Name and password do not fit. Look at capitals, or ask the owner for a link to set a new password."


def sign_in(request: HttpRequest) -> HttpResponse:
    """Name and password; then to where the person was going, if that is a page of ours."""
    to = safe_next(request.POST.get("next") or request.GET.get("next") or "")
    if request.method != "POST":
        if request.person is not None:
            return redirect(to or landing(request.roles))
        return _sign_in_page(request, SignIn(), to)
    form = SignIn(request.POST)
    if not form.is_valid():
        return _sign_in_page(request, form, to, status=422)
    typed, address = form.cleaned_data["sign_in"], address_of(request)
    subjects = [guesses.by_name(typed), guesses.by_address(address)]
    try:
        guesses.begin(subjects, clock.now())
    except guesses.Wait as wait:
        answer = errors.page(request, 429, str(wait), "Whoever forgot the password asks the owner for a link.")
        answer.headers["Retry-After"] = str(wait.seconds)
        return answer
    person = _by_password(typed, form.cleaned_data["password"])
    if person is None:
        known = Person.objects.filter(sign_in=typed.strip().casefold()).first()
        notes.note("wrong password", person=known.key if known else "", address=address, page="doors:sign-in")
        form.add_error(None, WRONG)
        return _sign_in_page(request, form, to, status=422)
    guesses.clear(subjects)
    guesses.forget_old(clock.now())
    sessions.begin(request, person)
    notes.note("sign-in", person=person.key, address=address, page="doors:sign-in")
    return redirect(to or landing(person.held_roles))


def _sign_in_page(request: HttpRequest, form: SignIn, to: str, status: int = 200) -> HttpResponse:
    told = {"form": form, "next": to, "nobody": not people_acts.owners()}
    return render(request, "doors/sign_in.html", told, status=status)


def _by_password(typed: str, password: str) -> Person | None:
    """Whoever has this name and password; as slow for a name that nobody has."""
    person = Person.objects.filter(sign_in=typed.strip().casefold()).first()
    usable = person is not None and person.active and person.has_usable_password()
    held = person.password if person is not None and usable else guesses.nobodys_password()
    return person if check_password(password, held) and usable else None


def safe_next(text: str) -> str:
    """Where to go after sign-in: a path of this site, "" for anything else."""
    ours = text.startswith("/") and url_has_allowed_host_and_scheme(text, allowed_hosts=None)
    return text if ours and len(text) <= 2000 and text.isprintable() else ""


def landing(roles: frozenset[str]) -> str:
    """The first page that somebody with these roles may look at."""
    for page in LANDINGS:
        allowed = rights.who_may(page, "GET")
        if allowed is not None and may(allowed, roles, device=False):
            try:
                return reverse(page)
            except NoReverseMatch:
                continue
    return reverse("doors:me")


def sign_out(request: HttpRequest) -> HttpResponse:
    """End this session."""
    notes.note("sign-out", person=request.person.key, address=address_of(request), page="doors:sign-out")
    sessions.end(request)
    return redirect("doors:sign-in")


def _link(request: HttpRequest, secret: str, kinds: set[str]) -> OneTime | HttpResponse:
    """The link of a secret, or the page that refuses it. Every refusal reads the same but the one for a far machine."""
    found = one_time.look(secret)
    if found is None or found.what not in kinds or (found.what == "first" and people_acts.owners()):
        notes.note("dead link", address=address_of(request), page=request.resolver_match.view_name)
        return errors.page(
            request,
            403,
            "This link was used, or its time is over.",
            "A link works once and for a short time; ask for a new one where you got this one.",
        )
    if found.what in one_time.LOOPBACK_ONLY and not is_loopback(address_of(request)):
        notes.note("link from afar", address=address_of(request), page=request.resolver_match.view_name)
        return errors.page(
            request,
            403,
            "This link opens only on the machine that serves.",
            "Open it there, or make the owner there with  bedwright owner.",
        )
    return found


def first(request: HttpRequest, secret: str) -> HttpResponse:
    """The page of a link that makes the owner, or gives an owner who forgot the password a new one."""
    link = _link(request, secret, {"first", "owner", "owner afar"})
    return link if isinstance(link, HttpResponse) else _by_link(request, link)


def password(request: HttpRequest, secret: str) -> HttpResponse:
    """The page of a link by which somebody sets a password."""
    link = _link(request, secret, {"password"})
    return link if isinstance(link, HttpResponse) else _by_link(request, link)


def _by_link(request: HttpRequest, link: OneTime) -> HttpResponse:
    kind = Twice if link.subject else FirstOwner
    whose = Person.objects.filter(key=link.subject).first() if link.subject else None
    form = kind(request.POST if request.method == "POST" else None)
    told = {"form": form, "whose": whose, "link": link}
    if request.method != "POST" or not form.is_valid():
        return render(request, "doors/by_link.html", told, status=422 if form.errors else 200)
    given = form.cleaned_data
    try:
        person = people_acts.by_link(link, given["password"], given.get("name", ""), given.get("sign_in", ""))
    except FaultsFound as refused:
        form.take(refused)
        return render(request, "doors/by_link.html", told, status=422)
    if person is None:
        return errors.page(request, 403, "This link was used just now, or its time is over.", "Ask for a new one.")
    guesses.clear([guesses.by_name(person.sign_in)])
    sessions.begin(request, person)
    notes.note("link used", person=person.key, address=address_of(request), says=f"link: {link.what}")
    return redirect(landing(person.held_roles))


def tablet(request: HttpRequest, secret: str) -> HttpResponse:
    """The page of a link that lets the tablet in which opens it: asked first, so that a preview uses nothing up."""
    link = _link(request, secret, {"device"})
    if isinstance(link, HttpResponse):
        return link
    device = Device.objects.filter(key=link.subject, active=True).first()
    if device is None:
        return errors.page(request, 403, "This tablet was shut out meanwhile.", "Ask the owner for a new link.")
    if request.method != "POST":
        return render(request, "doors/tablet.html", {"device": device})
    if not one_time.use(link):
        return errors.page(request, 403, "This link was used just now, or its time is over.", "Ask for a new one.")
    response = redirect(_device_page())
    devices.let_in(device, response, secure=request.is_secure())
    notes.note("tablet let in", device=device.key, address=address_of(request), page="doors:tablet")
    return response


def _device_page() -> str:
    """Where a tablet goes that was just let in."""
    for page in ("floor:stations", "doors:sign-in"):
        try:
            return reverse(page)
        except NoReverseMatch:
            continue
    return "/"
