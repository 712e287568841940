"""Addresses of office: each page brings its own."""

from __future__ import annotations

from bedsite.office.beds import urls as beds
from bedsite.office.beside import urls as beside
from bedsite.office.bookings import urls as bookings
from bedsite.office.cards import urls as cards
from bedsite.office.front import urls as front
from bedsite.office.marrying import urls as marrying
from bedsite.office.papers import urls as papers
from bedsite.office.release import urls as release
from bedsite.office.search import urls as search
from bedsite.office.weighing import urls as weighing
from bedsite.office.work import urls as work

app_name = "office"
urlpatterns = [
    *marrying.urlpatterns,
    *front.urlpatterns,
    *search.urlpatterns,
    *beds.urlpatterns,
    *beside.urlpatterns,
    *weighing.urlpatterns,
    *release.urlpatterns,
    *bookings.urlpatterns,
    *work.urlpatterns,
    *papers.urlpatterns,
    *cards.urlpatterns,
]
