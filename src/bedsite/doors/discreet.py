"""Logs that tell nothing secret: addresses of one-time links are left out, and so is whatever was typed."""

from __future__ import annotations

import logging


class Discreet(logging.Filter):
    """Replaces Django's words on a request, which hold its path, by the page's name and the answer."""

    def filter(self, record: logging.LogRecord) -> bool:
        """Always True: nothing is dropped, only shortened."""
        request = getattr(record, "request", None)
        if request is not None:
            match = getattr(request, "resolver_match", None)
            named = match.view_name if match else "an address that is none"
            record.msg = "answer %s to %s of %s"
            status = getattr(record, "status_code", 500)
            record.args = (status, getattr(request, "method", "?"), named)
            if status < 500:  # whoever asked so knows why, and the words of the refusal may echo what was typed
                record.exc_info = record.exc_text = None
        elif record.name.startswith("django.security"):
            record.msg, record.args = "refused: %s", (record.name.rpartition(".")[2],)
        return True
