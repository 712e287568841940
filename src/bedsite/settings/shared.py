"""Several people, several machines: https only, by the server's own TLS or behind a proxy that is named."""

from __future__ import annotations

import os

from bedsite.settings.common import *  # noqa: F403

ALLOWED_HOSTS = [name for name in os.environ.get("BEDWRIGHT_HOSTS", "").split(",") if name]
BEDWRIGHT_PROXY = os.environ.get("BEDWRIGHT_PROXY", "")
if BEDWRIGHT_PROXY:
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")  # policy.Proxy takes it from anybody else
SECURE_SSL_REDIRECT = True
SECURE_SSL_HOST = ALLOWED_HOSTS[0] if ALLOWED_HOSTS else None
SECURE_HSTS_SECONDS = 365 * 24 * 3600
SECURE_HSTS_INCLUDE_SUBDOMAINS = False
SECURE_HSTS_PRELOAD = False
SILENCED_SYSTEM_CHECKS = [
    # a works' server does not speak for its neighbours: names below its own may be other people's, and http
    "security.W005",
    "security.W021",
]
SESSION_COOKIE_SECURE = True
CSRF_COOKIE_SECURE = True
SESSION_COOKIE_NAME = "__Host-bedwright-session"
CSRF_COOKIE_NAME = "__Host-bedwright-csrf"
DEVICE_COOKIE_NAME = "__Host-bedwright-device"
