"""Triggers: what is written into the chain is never changed or deleted, on either engine.

Any later migration that remakes one of these tables must run `forbid` for it again: SQLite drops triggers with a table.
"""

from __future__ import annotations

from typing import Any

from django.db import migrations

WRITTEN_ONCE = {
    "records_revision": ("seq", "kind, folded, number"),
    "records_event": ("seq", "sender"),
    "records_snapshot": ("seq", "id"),
    "records_blob": ("sha256",),
    "records_released": ("id",),
    "records_doornote": ("id",),
}
"""Table -> its unique keys."""
BY_SIGN = {"records_revision": ("kind", "folded"), "records_head": ("kind", "folded")}
"""Columns that are sorted by their signs alone, as SQLite does, whatever language the other engine was set up in."""
SAYS = "what the ledger holds is never changed"


def forbid(schema_editor: Any, table: str, keys: tuple[str, ...]) -> None:
    """Set the triggers of one table. On SQLite a REPLACE deletes without its trigger, so a taken key is refused."""
    run = schema_editor.execute
    if schema_editor.connection.vendor == "sqlite":
        for verb in ("UPDATE", "DELETE"):
            run(
                f"CREATE TRIGGER {table}_no_{verb.lower()} BEFORE {verb} ON {table} "
                f"BEGIN SELECT RAISE(ABORT, '{SAYS}'); END"
            )
        for number, key in enumerate(keys, 1):
            same = " AND ".join(f"{one} = NEW.{one}" for one in key.split(", "))
            run(
                f"CREATE TRIGGER {table}_no_replace_{number} BEFORE INSERT ON {table} "
                f"WHEN EXISTS (SELECT 1 FROM {table} WHERE {same}) "
                f"BEGIN SELECT RAISE(ABORT, '{SAYS}'); END"
            )
        return
    run(
        "CREATE OR REPLACE FUNCTION ledger_never_changed() RETURNS trigger LANGUAGE plpgsql AS "
        f"$$ BEGIN RAISE EXCEPTION '{SAYS}' USING ERRCODE = 'integrity_constraint_violation'; END $$"
    )
    run(
        f"CREATE TRIGGER {table}_no_change BEFORE UPDATE OR DELETE ON {table} "
        "FOR EACH ROW EXECUTE FUNCTION ledger_never_changed()"
    )
    run(
        f"CREATE TRIGGER {table}_no_truncate BEFORE TRUNCATE ON {table} "
        "FOR EACH STATEMENT EXECUTE FUNCTION ledger_never_changed()"
    )


def forward(_apps: Any, schema_editor: Any) -> None:
    for table, keys in WRITTEN_ONCE.items():
        forbid(schema_editor, table, keys)
    if schema_editor.connection.vendor == "postgresql":
        for table, columns in BY_SIGN.items():
            for column, length in zip(columns, (24, 96), strict=True):
                schema_editor.execute(f'ALTER TABLE {table} ALTER COLUMN {column} TYPE varchar({length}) COLLATE "C"')


class Migration(migrations.Migration):
    dependencies = (("records", "0001_tables"),)
    operations = (migrations.RunPython(forward),)
