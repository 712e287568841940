"""Addresses of office: each page brings its own."""

from __future__ import annotations

from bedsite.office.cards import urls as cards
from bedsite.office.front import urls as front

app_name = "office"
urlpatterns = [
    *front.urlpatterns,
    *cards.urlpatterns,
]
