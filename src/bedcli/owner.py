"""`bedwright owner WORKS`: make an owner, or give one who forgot the password a new one, on the machine itself."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from bedcli.asking import at_terminal
from bedwright.errors import FaultsFound, NotReadable

if TYPE_CHECKING:
    from bedsite.records.models import Person


@click.command()
@click.argument("works", type=click.Path(path_type=Path))
@click.option("--link", is_flag=True, help="Print a link that works once, within 15 minutes, instead of asking here.")
@click.option("--sign-in", metavar="NAME", help="With --link: the sign-in name of the owner who forgot the password.")
@click.option("--from-afar", is_flag=True, help="With --link: it opens on other machines too, for a shared server.")
def owner(works: Path, link: bool, sign_in: str | None, from_afar: bool) -> None:
    """Make an owner of WORKS, or set a new password for one: asked here, or by a link that works once.

    Whoever may run this on the machine that holds the ledger may own the works. All sessions of that person end.
    """
    from bedcli.truth import opened

    opened(works)
    if link:
        _print_link(works, sign_in, from_afar)
        return
    if from_afar:
        raise NotReadable("--from-afar goes with --link")
    if not at_terminal():
        raise NotReadable("nobody can be asked here; run it in a terminal, or make a link with --link")
    _ask(sign_in)


def _print_link(works: Path, sign_in: str | None, from_afar: bool) -> None:
    from bedcli.serve import PORT
    from bedcli.serving import served_at
    from bedsite.doors import notes, one_time
    from bedsite.records.people import command_line

    subject = _known(sign_in).key if sign_in else ""
    base = served_at(works)
    secret = one_time.make("owner afar" if from_afar else "owner", subject)
    notes.note("owner link made", person=command_line(), says="by command")
    click.echo(f"{base if base not in ('', '?') else f'http://127.0.0.1:{PORT}'}/first/{secret}")
    click.echo("Works once, within 15 minutes" + ("" if from_afar else ", on this machine") + ".", err=True)
    if not base:
        click.echo(f"Nobody serves {works} just now; start  bedwright serve {works}  first.", err=True)


def _known(sign_in: str) -> Person:
    from bedsite.doors.people_acts import folded_sign_in
    from bedsite.records.models import Person

    found: Person | None = Person.objects.filter(sign_in=folded_sign_in(sign_in), erased=False).first()
    if found is None:
        raise NotReadable(f"nobody signs in as {sign_in}; leave --sign-in out to make a new owner")
    return found


def _ask(sign_in: str | None) -> None:
    from django.db import transaction

    from bedsite.doors import notes, people_acts
    from bedsite.records.models import Person
    from bedsite.records.people import command_line

    typed = sign_in or click.prompt("Sign-in name", err=True)
    person = Person.objects.filter(sign_in=people_acts.folded_sign_in(typed), erased=False).first()
    if person is None:
        name = click.prompt("Name", err=True)
    else:
        click.echo(f"{person.name} signs in by that name: a new password, and owner from now on.", err=True)
    while True:
        password = click.prompt("Password", hide_input=True, confirmation_prompt="The same again", err=True)
        try:
            with transaction.atomic():
                if person is None:
                    people_acts.new_person(name, typed, {"owner"}, password)
                else:
                    people_acts.set_password(person, password)
                    person.active = True
                    person.roles = people_acts.known_roles({*person.held_roles, "owner"})
                    person.save(update_fields=["active", "roles"])
        except FaultsFound as refused:
            if any(fault.field != "password" for fault in refused.faults):
                raise
            click.echo(str(refused), err=True)
            continue
        break
    notes.note("owner by command", person=command_line())
    click.echo(f"{typed} owns the works; sign in with the new password.")
