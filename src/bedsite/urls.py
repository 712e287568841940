"""Every address of the site; each page has its own in its folder."""

from __future__ import annotations

from django.urls import include, path

urlpatterns = [
    path("", include("bedsite.doors.urls")),
    path("", include("bedsite.office.urls")),
    path("floor/", include("bedsite.floor.urls")),
]

handler400 = "bedsite.doors.errors.bad_request"
handler403 = "bedsite.doors.errors.forbidden"
handler404 = "bedsite.doors.errors.not_found"
handler500 = "bedsite.doors.errors.server_error"
