"""The app of longwork."""

from __future__ import annotations

from django.apps import AppConfig


class Longwork(AppConfig):
    """See the package."""

    name = "bedsite.longwork"
    label = "longwork"
