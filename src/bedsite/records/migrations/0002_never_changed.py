"""Triggers: what is written into the chain is never changed or deleted, on either engine.

Any later migration that remakes one of these tables must run `forbid` for it again: SQLite drops triggers with a table.
"""

from __future__ import annotations

from typing import Any

from django.db import migrations

WRITTEN_ONCE = {
    "records_revision": "seq",
    "records_event": "seq",
    "records_snapshot": "seq",
    "records_blob": "sha256",
    "records_released": "id",
    "records_doornote": "id",
}
SAYS = "what the ledger holds is never changed"


def forbid(schema_editor: Any, table: str, key: str) -> None:
    """Set the triggers of one table. On SQLite a REPLACE deletes without its trigger, so a taken key is refused."""
    run = schema_editor.execute
    if schema_editor.connection.vendor == "sqlite":
        for verb in ("UPDATE", "DELETE"):
            run(
                f"CREATE TRIGGER {table}_no_{verb.lower()} BEFORE {verb} ON {table} "
                f"BEGIN SELECT RAISE(ABORT, '{SAYS}'); END"
            )
        run(
            f"CREATE TRIGGER {table}_no_replace BEFORE INSERT ON {table} "
            f"WHEN EXISTS (SELECT 1 FROM {table} WHERE {key} = NEW.{key}) "
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
    for table, key in WRITTEN_ONCE.items():
        forbid(schema_editor, table, key)


class Migration(migrations.Migration):
    dependencies = (("records", "0001_tables"),)
    operations = (migrations.RunPython(forward),)
