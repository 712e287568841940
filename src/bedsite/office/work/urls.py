"""Addresses of long work."""

from __future__ import annotations

from django.urls import path
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from bedsite.office.work import views

urlpatterns = [
    path("work", require_http_methods(["GET", "HEAD", "POST"])(views.work), name="work"),
    path("work/<str:key>", require_safe(views.job), name="work-job"),
    path("work/<str:key>/progress", require_safe(views.progress), name="work-progress"),
    path("work/<str:key>/cancel", require_POST(views.cancel), name="work-cancel"),
]
"""`work` answers GET with the list, POST with the job that was asked for."""
