"""Drawings on a page: SVG text set into it, names inside it made its own, pictures in it asked for by address.

The content policy lets no picture be written into a page, so that what a drawing holds as data is served beside it.
"""

from __future__ import annotations

import re
from base64 import b64decode

from django.utils.safestring import SafeString, mark_safe

_ID = re.compile(r'\bid="([^"]+)"')
_PICTURE = re.compile(r'"data:image/png;base64,([A-Za-z0-9+/=]+)"')


def inlined(svg: str, mark: str, picture: str = "") -> SafeString:
    """The drawing's SVG for a page. mark: begins its ids, once a page; picture: address that serves its picture.

    svg comes from bedwright.papers.drawings, which writes out whatever a card says: nothing else is given here.
    """
    for name in _ID.findall(svg):
        svg = svg.replace(f'id="{name}"', f'id="{mark}-{name}"').replace(f"url(#{name})", f"url(#{mark}-{name})")
        svg = svg.replace(f'href="#{name}"', f'href="#{mark}-{name}"')
    return mark_safe(_PICTURE.sub(f'"{picture}"', svg))


def picture_of(svg: str) -> bytes | None:
    """The first picture that a drawing holds, as PNG; None where it holds none."""
    found = _PICTURE.search(svg)
    return None if found is None else b64decode(found.group(1))
