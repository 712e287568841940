"""A card's code within an address: any sign that a code may hold, in letters that every browser and server lets be."""

from __future__ import annotations

import re

from django.urls import register_converter

from bedwright.errors import NotUnderstood
from bedwright.identity import check_code

_PLAIN = frozenset(b"abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_")
_WRITTEN = re.compile(r"~([0-9A-F]{2})")


class CodeInAddress:
    """ "A/1" is written A~2F1, so that no code can be taken for a folder, a question or a step upwards."""

    regex = r"(?:[A-Za-z0-9_-]|~[0-9A-F]{2})+"

    def to_python(self, value: str) -> str:
        """The code. Raises ValueError (no such page) for what is no code."""
        if len(value) > 400:
            raise ValueError("longer than any code")
        plain = _WRITTEN.sub(lambda sign: chr(int(sign[1], 16)), value).encode("latin-1")
        try:
            return check_code(plain.decode())
        except NotUnderstood as error:
            raise ValueError(str(error)) from None

    def to_url(self, value: str) -> str:
        """The code as it stands in an address."""
        return "".join(chr(byte) if byte in _PLAIN else f"~{byte:02X}" for byte in value.encode())


register_converter(CodeInAddress, "code")
CODE = "<code:code>"
"""A code's place in an address of a page."""
