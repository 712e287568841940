"""What the owner does with people: let in, give roles, shut out, erase; the last owner cannot be lost."""

from __future__ import annotations

import re
import secrets
import unicodedata
from collections.abc import Callable, Iterable

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from bedsite.doors import clock, one_time, rights, sessions, unlock
from bedsite.records.models import OneTime, Person
from bedsite.records.people import new_key
from bedwright.errors import BedwrightError, Fault, FaultsFound

SIGN_IN = re.compile(r"[^\W_][\w.@+-]{1,79}")
BADGE_SIGNS = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"
BADGE_LENGTH = 16
"""80 random bits, in signs that are not taken for one another."""


class LastOwner(BedwrightError):
    """The act would leave the works without an owner who can sign in."""

    def __init__(self) -> None:
        super().__init__("This is the last owner who can sign in; make somebody else an owner first.")


def folded_sign_in(text: str) -> str:
    """A sign-in name as it is kept and compared. Raises FaultsFound."""
    plain = unicodedata.normalize("NFKC", text).strip().casefold()
    if not SIGN_IN.fullmatch(plain):
        raise FaultsFound(
            [
                Fault(
                    "is no name to sign in with",
                    "use 2 to 80 letters, digits and . @ + - _, first a letter or digit",
                    value=text,
                    field="sign_in",
                )
            ]
        )
    return plain


def plain_name(text: str) -> str:
    """A person's name as it is kept. Raises FaultsFound."""
    plain = " ".join(unicodedata.normalize("NFC", text).split())
    if not plain or len(plain) > 80 or not plain.isprintable():
        raise FaultsFound([Fault("is no name of a person", "use 1 to 80 letters", value=text, field="name")])
    return plain


def known_roles(roles: Iterable[str]) -> str:
    """Role words as they are kept, in the order of the table. Raises FaultsFound for a word that is none."""
    asked = set(roles)
    foreign = sorted(asked - set(rights.ROLES))
    if foreign:
        raise FaultsFound([Fault("is no role", f"use {', '.join(rights.ROLES)}", value=foreign[0], field="roles")])
    return ",".join(role for role in rights.ROLES if role in asked)


def check_password(password: str, person: Person) -> None:
    """Refuse a weak password: shorter than 12 signs, a common one, one like the name. Raises FaultsFound."""
    try:
        validate_password(password, person)
    except ValidationError as refused:
        raise FaultsFound([Fault(text, field="password") for text in refused.messages]) from None


def new_person(name: str, sign_in: str, roles: Iterable[str], password: str = "") -> Person:
    """Somebody who may come in. Without a password they cannot sign in until one is set by a link; badge and PIN work.

    sign_in "" for somebody of the floor who never signs in. Raises FaultsFound, all faults gathered.
    """
    faults: list[Fault] = []
    made = Person(key=new_key(), made_at=clock.now())
    acts: tuple[Callable[[], None], ...] = (
        lambda: setattr(made, "name", plain_name(name)),
        lambda: setattr(made, "sign_in", folded_sign_in(sign_in) if sign_in.strip() else f"-{secrets.token_hex(16)}"),
        lambda: setattr(made, "roles", known_roles(roles)),
        lambda: check_password(password, made) if password else None,
    )
    for act in acts:
        try:
            act()
        except FaultsFound as found:
            faults.extend(found.faults)
    if faults:
        raise FaultsFound(faults)
    if password:
        made.set_password(password)
    else:
        made.set_unusable_password()
    try:
        with transaction.atomic():
            made.save(force_insert=True)
    except IntegrityError:
        raise FaultsFound(
            [Fault("is somebody else's sign-in name", "choose another", value=sign_in, field="sign_in")]
        ) from None
    return made


def owners() -> list[Person]:
    """Owners who can sign in; locked for the rest of the transaction where there is one."""
    rows = Person.objects.filter(active=True, erased=False, roles__contains="owner").order_by("pk")
    if transaction.get_connection().in_atomic_block:
        rows = rows.select_for_update()
    return [person for person in rows if "owner" in person.held_roles and person.has_usable_password()]


def everybody() -> list[Person]:
    """People by name, those shut out last; not the command line, nor the erased."""
    rows = Person.objects.filter(erased=False).exclude(sign_in="-command-line-")
    return sorted(rows, key=lambda person: (not person.active, person.name.casefold(), person.pk))


def set_password(person: Person, password: str) -> None:
    """Give a person a new password and end all their sessions. Raises FaultsFound where it is weak."""
    check_password(password, person)
    person.set_password(password)
    person.save(update_fields=["password"])
    sessions.end_all(person)


def set_roles(person: Person, roles: Iterable[str]) -> None:
    """Give a person these roles and no others. Raises FaultsFound, LastOwner."""
    kept = known_roles(roles)
    with transaction.atomic():
        if "owner" not in kept.split(","):
            _not_the_last(person)
        person.roles = kept
        person.save(update_fields=["roles"])


def shut_out(person: Person) -> None:
    """End a person's sessions, unlocks and open links; they may not come in until they are let in again."""
    with transaction.atomic():
        _not_the_last(person)
        person.active = False
        person.save(update_fields=["active"])
        _end_everything(person)


def let_in(person: Person) -> None:
    """Let somebody in again who was shut out; with the roles, password, badge and PIN they had."""
    if person.erased:
        raise FaultsFound([Fault("was erased and cannot come back", "make a new person", field="name")])
    person.active = True
    person.save(update_fields=["active"])


def erase(person: Person) -> None:
    """Blank whatever names a person and leave the key, which revisions and events hold. Cannot be undone."""
    with transaction.atomic():
        _not_the_last(person)
        person.name = person.roles = person.pin = person.badge = ""
        person.sign_in = f"-{secrets.token_hex(16)}"
        person.set_unusable_password()
        person.active, person.erased = False, True
        person.save()
        _end_everything(person)


def new_badge(person: Person) -> str:
    """A fresh badge's code, to be shown once; the one before opens nothing any more."""
    code = "".join(secrets.choice(BADGE_SIGNS) for _ in range(BADGE_LENGTH))
    person.badge = unlock.badge_hash(code)
    person.save(update_fields=["badge"])
    return code


def password_link(person: Person) -> str:
    """The secret of a link by which a person sets a password once, within a day."""
    return one_time.make("password", person.key, one_time.LONGER)


def by_link(link: OneTime, password: str, name: str = "", sign_in: str = "") -> Person | None:
    """What a link's page does: set the password of its person, or make the owner. None where it was used meanwhile.

    Raises FaultsFound, and then the link still works.
    """
    with transaction.atomic():
        if not one_time.use(link):
            return None
        if link.subject:
            person = Person.objects.filter(key=link.subject, erased=False).first()
            if person is None or (link.what == "password" and not person.active):
                return None
            set_password(person, password)
            if link.what != "password":
                person.active, person.roles = True, known_roles({*person.held_roles, "owner"})
                person.save(update_fields=["active", "roles"])
            return person
        if link.what == "first" and owners():
            return None
        if not password:
            raise FaultsFound([Fault("a password is needed", field="password")])
        return new_person(name, sign_in, {"owner"}, password)


def _end_everything(person: Person) -> None:
    sessions.end_all(person)
    unlock.lock_all(person=person.key)
    OneTime.objects.filter(subject=person.key, used=None).delete()


def _not_the_last(person: Person) -> None:
    held = owners()
    if any(one.pk == person.pk for one in held) and len(held) == 1:
        raise LastOwner
