"""What both profiles share. The profile is own_machine (http on loopback) or shared (TLS, names, several people).

The environment carries what a server's own processes must be told (bedcli/serve.py sets it): the ledger, where the
secret lies, the names and the proxy of a shared server. People never set it by hand.
"""

from __future__ import annotations

import os
import secrets
from pathlib import Path

from bedsite.doors.secret_file import SECRET_FILE, read_secret
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
_told = os.environ.get(SECRET_FILE, "")
SECRET_KEY = read_secret(Path(_told)) if _told else secrets.token_urlsafe(64)
"""Of the works' own where pages are served; else a fresh one that ends with the process, so no cookie outlives it."""
USE_TZ = True
TIME_ZONE = "UTC"
USE_I18N = False

ROOT_URLCONF = "bedsite.urls"
WSGI_APPLICATION = "bedsite.wsgi.application"
APPEND_SLASH = False
MIDDLEWARE = [
    "bedsite.doors.policy.Proxy",
    "bedsite.doors.policy.Policy",
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "bedsite.doors.limits.Limits",
    "bedsite.doors.middleware.Rights",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
]
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": sorted(BASE.glob("*/*/templates")),  # each page keeps its own beside its views
        "APP_DIRS": True,
        "OPTIONS": {"context_processors": ["django.template.context_processors.request"]},
    }
]

# files that pages are drawn with, straight out of the packages: nobody collects them
STATIC_URL = "/static/"
STATICFILES_FINDERS = [
    "django.contrib.staticfiles.finders.AppDirectoriesFinder",
    "bedsite.parts.font.FontFinder",
]
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.InMemoryStorage"},
    "staticfiles": {"BACKEND": "bedsite.doors.static_files.Dated"},
}
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = False
WHITENOISE_ALLOW_ALL_ORIGINS = False
WHITENOISE_MAX_AGE = 7 * 24 * 3600

# who somebody is
AUTHENTICATION_BACKENDS = ["django.contrib.auth.backends.ModelBackend"]
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator",
        "OPTIONS": {"user_attributes": ("sign_in", "name")},
    },
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 12}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.NumericPasswordValidator"},
]
LOGIN_URL = "doors:sign-in"

# sessions: in the ledger, over after 12 hours or an idle one
SESSION_ENGINE = "django.contrib.sessions.backends.db"
SESSION_SERIALIZER = "django.contrib.sessions.serializers.JSONSerializer"
SESSION_COOKIE_NAME = "bedwright-session"
SESSION_COOKIE_AGE = 12 * 3600
SESSION_EXPIRE_AT_BROWSER_CLOSE = True
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
BEDWRIGHT_SESSION_IDLE_MINUTES = 60
BEDWRIGHT_FLOOR_IDLE_MINUTES = 10
DEVICE_COOKIE_NAME = "bedwright-device"

CSRF_COOKIE_NAME = "bedwright-csrf"
CSRF_COOKIE_HTTPONLY = True
CSRF_COOKIE_AGE = None
CSRF_COOKIE_SAMESITE = "Strict"
CSRF_FAILURE_VIEW = "bedsite.doors.errors.csrf_failure"

X_FRAME_OPTIONS = "DENY"
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin"
BEDWRIGHT_PROXY = ""
"""Address of the proxy that may say who asked and by what scheme; nobody else is believed."""

# how much one request may bring; bedsite.doors.limits holds the pages that may bring more
DATA_UPLOAD_MAX_MEMORY_SIZE = 1024 * 1024
DATA_UPLOAD_MAX_NUMBER_FIELDS = 20_000
DATA_UPLOAD_MAX_NUMBER_FILES = 5

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "filters": {"discreet": {"()": "bedsite.doors.discreet.Discreet"}},
    "formatters": {"plain": {"format": "{asctime} {levelname} {name}: {message}", "style": "{"}},
    "handlers": {
        "stderr": {"class": "logging.StreamHandler", "filters": ["discreet"], "formatter": "plain", "level": "WARNING"}
    },
    "root": {"handlers": ["stderr"], "level": "WARNING"},
    "loggers": {"django": {"handlers": ["stderr"], "level": "WARNING", "propagate": False}},
}
