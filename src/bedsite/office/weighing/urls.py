"""Addresses of weigh-ups; how much work and which seed stand in the question of the address."""

from __future__ import annotations

from django.urls import path
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from bedsite.office.weighing import views
from bedsite.parts.address import CODE

urlpatterns = [
    path(f"briefs/{CODE}/weigh-up", require_http_methods(["GET", "HEAD", "POST"])(views.weigh_up), name="weigh-up"),
    path("weigh-up/came/<str:key>", require_safe(views.came), name="weigh-up-came"),
    path("weigh-up/cancel/<str:key>", require_POST(views.cancel), name="weigh-up-cancel"),
]
