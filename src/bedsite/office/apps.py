"""The app of office."""

from __future__ import annotations

from django.apps import AppConfig


class Office(AppConfig):
    """See the package."""

    name = "bedsite.office"
    label = "office"
