"""The door by which a server reaches the site; `bedwright serve` says which works and which profile."""

from __future__ import annotations

from django.core.wsgi import get_wsgi_application

application = get_wsgi_application()
