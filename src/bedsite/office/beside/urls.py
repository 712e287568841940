"""Addresses of beds side by side; which beds, at which size and for whom stands in the question of the address."""

from __future__ import annotations

from django.urls import path
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from bedsite.office.beside import views

urlpatterns = [
    path("side-by-side", require_http_methods(["GET", "HEAD", "POST"])(views.side_by_side), name="side-by-side"),
    path("side-by-side/came/<str:key>", require_safe(views.came), name="side-by-side-came"),
    path("side-by-side/cancel/<str:key>", require_POST(views.cancel), name="side-by-side-cancel"),
]
