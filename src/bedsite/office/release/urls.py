"""Address of release."""

from __future__ import annotations

from django.urls import URLPattern, path

from bedsite.office.release import views

urlpatterns: list[URLPattern] = [path("release", views.release, name="release")]
