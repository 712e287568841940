"""The app of the ledger."""

from __future__ import annotations

from django.apps import AppConfig


class Records(AppConfig):
    """Cards, events, people, snapshots, jobs."""

    name = "bedsite.records"
    label = "records"
    default_auto_field = "django.db.models.BigAutoField"
