"""The app of floor."""

from __future__ import annotations

from django.apps import AppConfig


class Floor(AppConfig):
    """See the package."""

    name = "bedsite.floor"
    label = "floor"
