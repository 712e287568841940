"""Addresses of floor."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver, include, path

app_name = "floor"
urlpatterns: list[URLPattern | URLResolver] = [path("", include("bedsite.floor.station.urls"))]
