"""Address of the marrying list: the first page of the office."""

from __future__ import annotations

from django.urls import path
from django.views.decorators.http import require_GET

from bedsite.office.marrying import views

urlpatterns = [path("", require_GET(views.marrying), name="marrying")]
