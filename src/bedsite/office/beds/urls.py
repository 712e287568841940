"""Addresses of beds; what a bed is asked stands in the question of its address."""

from __future__ import annotations

from django.urls import path
from django.views.decorators.http import require_POST, require_safe

from bedsite.office.beds import listing, views
from bedsite.parts.address import CODE

urlpatterns = [
    path("beds", require_safe(listing.listed), name="beds"),
    path("beds.csv", require_safe(listing.table), name="beds-table"),
    path("beds/drawn/<str:key>/<slug:name>", require_safe(views.drawn), name="bed-drawn"),
    path("beds/came/<str:key>", require_safe(views.came), name="bed-came"),
    path(f"beds/{CODE}", require_safe(views.bed), name="bed"),
    path(f"beds/{CODE}/plan", require_safe(views.plan), name="bed-plan"),
    path(f"beds/{CODE}/pad-test", require_POST(views.ask_pad_test), name="bed-pad-test"),
    path(f"beds/{CODE}/lying", require_POST(views.ask_lying), name="bed-lying"),
    path(f"beds/{CODE}/cancel/<str:key>", require_POST(views.cancel), name="bed-cancel"),
]
