"""Addresses of the stations."""

from __future__ import annotations

from django.urls import URLPattern, path

from bedsite.floor.station import views

urlpatterns: list[URLPattern] = [
    path("", views.stations, name="stations"),
    path("station", views.station, name="station"),
    path("now", views.state, name="now"),
    path("acts", views.take, name="acts"),
    path("unlock", views.open_, name="unlock"),
    path("lock", views.lock, name="lock"),
    path("keeper.js", views.keeper, name="keeper"),
    path("look/<str:place>", views.look, name="look"),
]
