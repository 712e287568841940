"""People and their random keys: the chain holds the key, the name stands here alone and can be blanked."""

from __future__ import annotations

import secrets

from bedsite.records.chain import now
from bedsite.records.models import Person

COMMAND_LINE = "command line"
"""Name of whoever works by commands on the machine itself."""


def new_key() -> str:
    """128 random bits in hex."""
    return secrets.token_hex(16)


def command_line() -> str:
    """The key of whoever works by commands; made when first asked for. Nobody can sign in with it."""
    sign_in = "-command-line-"
    person, _ = Person.objects.get_or_create(
        sign_in=sign_in, defaults={"key": new_key(), "name": COMMAND_LINE, "made_at": now(), "password": "!"}
    )
    return person.key


def names(keys: set[str]) -> dict[str, str]:
    """Key -> name, for those asked; an erased person's is "no longer here"."""
    found = Person.objects.filter(key__in=keys)
    return {person.key: person.name or "no longer here" for person in found}
