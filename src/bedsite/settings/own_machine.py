"""One person, one machine: http on loopback, nothing reaches in from outside."""

from __future__ import annotations

from bedsite.settings.common import *  # noqa: F403
