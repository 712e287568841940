"""Address of the search."""

from __future__ import annotations

from django.urls import path
from django.views.decorators.http import require_GET

from bedsite.office.search import views

urlpatterns = [path("search", require_GET(views.search), name="search")]
