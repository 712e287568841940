"""Address of the first page."""

from __future__ import annotations

from django.urls import path
from django.views.decorators.http import require_GET

from bedsite.office.front import views

urlpatterns = [path("", require_GET(views.front), name="front")]
