"""The app of doors."""

from __future__ import annotations

from django.apps import AppConfig


class Doors(AppConfig):
    """See the package."""

    name = "bedsite.doors"
    label = "doors"
