"""The app of office."""

from __future__ import annotations

from django.apps import AppConfig

from bedsite.doors import rights
from bedsite.parts import links


class Office(AppConfig):
    """Pages for people at desks."""

    name = "bedsite.office"
    label = "office"

    def ready(self) -> None:
        """Parts draw links and buttons only where the one table of rights allows them."""
        links.ask(rights.who_may)
