"""Opening a ledger: this process pointed at a place, its tables made or brought up, what cannot be read refused."""

from __future__ import annotations

import os

import django
from django.apps import apps
from django.db import connections

from bedsite.store import PLACE, Place, database, refuse_foreign, refuse_network
from bedwright.errors import NotReadable


def open_ledger(place: Place) -> None:
    """Point this process at a ledger that is there. Raises NotReadable where it is not, is no ledger, or is newer."""
    if place.path is not None:
        if not place.path.exists():
            raise NotReadable(f"{place.shown} is not there; adopt the works first")
        refuse_foreign(place.path)
    point_at(place)
    from bedsite.records.formats import refuse_unreadable

    refuse_unreadable(place.shown)


def new_ledger(place: Place) -> None:
    """Make an empty ledger at a place (tables, triggers; not yet any works) and point this process at it.

    Raises NotReadable where one is there already, or where the disk is not this machine's own.
    """
    if place.path is not None:
        if place.path.exists():
            raise NotReadable(f"{place.path} is there already; a ledger is never written over")
        refuse_network(place.path.parent)
        os.close(os.open(place.path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
    point_at(place)
    from bedsite.records.formats import make_tables

    make_tables(place.shown)


def point_at(place: Place) -> None:
    """Set Django up for a place; later calls point the same process elsewhere; one at a time."""
    os.environ[PLACE] = place.text
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "bedsite.settings.own_machine")
    if not apps.ready:
        django.setup()
        return
    connections["default"].close()
    connections.settings = connections.configure_settings({"default": database(place)})
    connections.__dict__.pop("databases", None)
    del connections["default"]
