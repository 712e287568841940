"""The app of parts."""

from __future__ import annotations

from django.apps import AppConfig


class Parts(AppConfig):
    """See the package."""

    name = "bedsite.parts"
    label = "parts"
