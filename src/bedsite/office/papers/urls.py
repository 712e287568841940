"""Addresses of kept papers."""

from __future__ import annotations

from django.urls import path
from django.views.decorators.http import require_safe

from bedsite.office.papers import views

urlpatterns = [
    path("papers", require_safe(views.papers), name="papers"),
    path("papers/<str:key>", require_safe(views.paper), name="paper"),
]
