"""Address of the page of the works."""

from __future__ import annotations

from django.urls import path
from django.views.decorators.http import require_GET

from bedsite.office.front import views

urlpatterns = [path("works", require_GET(views.front), name="front")]
