"""Address of bookings."""

from __future__ import annotations

from django.urls import URLPattern, path

from bedsite.office.bookings import views

urlpatterns: list[URLPattern] = [path("bookings", views.bookings, name="bookings")]
