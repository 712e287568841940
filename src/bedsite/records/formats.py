"""The stored formats of the ledger: its tables by migrations, its card bodies by one upcaster for each step.

A ledger of an older format is brought up when it is opened; a newer one is refused. Frozen samples of every format so
far are read in tests/old/.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from django.core.management import call_command
from django.db import DatabaseError, connection
from django.db.migrations.executor import MigrationExecutor

from bedsite.records.models import ChainEnd
from bedwright.errors import NotReadable

LEDGER_FORMAT = 1
"""Number of the ledger's stored format as a whole."""
SCHEMA: Mapping[str, int] = {}
"""Kind of card -> schema number of its body; 1 where it is not named."""
UPCASTERS: Mapping[tuple[str, int], Callable[[dict[str, Any]], dict[str, Any]]] = {}
"""(kind, schema number) -> what turns a body of that schema into the next; kept for ever."""


def schema_of(kind: str) -> int:
    """The schema number that bodies of a kind are written with."""
    return SCHEMA.get(kind, 1)


def raised(kind: str, schema: int, body: dict[str, Any]) -> dict[str, Any]:
    """A stored body in today's schema. Raises NotReadable for a newer one."""
    if schema > schema_of(kind):
        raise NotReadable(f"a card {kind} has schema {schema}, and this program reads up to {schema_of(kind)}")
    for step in range(schema, schema_of(kind)):
        body = UPCASTERS[kind, step](body)
    return body


def make_tables(shown: str) -> None:
    """Make every table and trigger, or bring an older ledger's up. Raises NotReadable."""
    try:
        call_command("migrate", verbosity=0, interactive=False)
    except DatabaseError as error:
        raise NotReadable(f"the ledger {shown} cannot be made ready ({error})") from None


def refuse_unreadable(shown: str) -> None:
    """Look at an existing ledger before anything is read: bring an older one up, refuse what is newer or no ledger."""
    try:
        executor = MigrationExecutor(connection)
        known = set(executor.loader.disk_migrations)
        applied = set(executor.loader.applied_migrations)
        if not applied:
            raise NotReadable(f"{shown} is no ledger of a works")
        ahead = sorted(f"{app} {name}" for app, name in applied - known if app == "records")
        if ahead:
            raise NotReadable(f"the ledger {shown} was written by a newer bedwright ({ahead[-1]}); use that")
        if executor.migration_plan(executor.loader.graph.leaf_nodes()):
            make_tables(shown)
        end = ChainEnd.objects.first()
    except DatabaseError as error:
        raise NotReadable(f"{shown} cannot be read as a ledger ({str(error).strip()})") from None
    if end is None:
        raise NotReadable(f"{shown} holds no works yet; adopt one into it")
    if end.format > LEDGER_FORMAT:
        raise NotReadable(
            f"the ledger {shown} has format {end.format}, and this program reads up to {LEDGER_FORMAT}; use a newer one"
        )
