"""One person, one machine: http on loopback, nothing reaches in from outside."""

from __future__ import annotations

from bedsite.settings.common import *  # noqa: F403

ALLOWED_HOSTS = ["127.0.0.1", "localhost", "[::1]"]
SILENCED_SYSTEM_CHECKS = [
    # plain http that never leaves the machine: no TLS to insist on
    "security.W004",
    "security.W008",
    "security.W012",
    "security.W016",
]
