"""What both profiles share. The profile is own_machine (http on loopback) or shared (TLS, names, several people)."""

from __future__ import annotations

import os
from pathlib import Path

from bedsite.store import PLACE, database, named

BASE = Path(__file__).resolve().parents[1]
DEBUG = False
INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.staticfiles",
    "django_htmx",
    "bedsite.records",
    "bedsite.longwork",
    "bedsite.doors",
    "bedsite.office",
    "bedsite.floor",
    "bedsite.parts",
]
AUTH_USER_MODEL = "records.Person"
DATABASES = {"default": database(named(os.environ.get(PLACE, ":memory:")))}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
SECRET_KEY = os.environ.get("BEDWRIGHT_SECRET", "") or "no pages are served without a secret of the works' own"
USE_TZ = True
TIME_ZONE = "UTC"
USE_I18N = False
