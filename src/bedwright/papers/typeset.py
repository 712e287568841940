"""From plain data and a template to a PDF, the same bytes every time.

Text from cards reaches the template as JSON and is set as text: nothing in it is ever read as markup. Fonts come from
the font's package only, the document's date from the paper's `as_of`; whatever the typesetter warns of is an error.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import lru_cache
from pathlib import Path

import typst

from bedwright.errors import NotPrinted
from bedwright.papers.letters import font_folder, printable

SHEETS = Path(__file__).parent / "sheets"


@dataclass(frozen=True, slots=True)
class Printed:
    """A PDF, and the signs that had to be written out by their number because the font lacks them."""

    pdf: bytes
    written_out: tuple[str, ...]


class Raw(str):
    """Text made by this program for the typesetter to read as an image, never to be set: an SVG."""

    __slots__ = ()


def typeset(template: str, data: Mapping[str, object], *, title: str, as_of: date) -> Printed:
    """The PDF of a template of papers/sheets. Raises NotPrinted with what the typesetter said."""
    lost: dict[str, None] = {}
    clean = _clean(dict(data), lost)
    heading = {"title": _clean(title, lost), "day": [as_of.year, as_of.month, as_of.day], "written_out": list(lost)}
    inputs = {
        "data": json.dumps(clean, ensure_ascii=False, sort_keys=True, allow_nan=False),
        "paper": json.dumps(heading),
    }
    try:
        pdf, warnings = _compiler(template).compile_with_warnings(
            format="pdf",
            sys_inputs=inputs,
            timestamp=int(datetime(as_of.year, as_of.month, as_of.day, tzinfo=UTC).timestamp()),
            pdf_standards="a-2a",
        )
    except typst.TypstError as error:
        raise NotPrinted(f"{title}: the typesetter refused the sheet: {error.message}") from error
    if warnings:
        said = "; ".join(dict.fromkeys(warning.message for warning in warnings))
        raise NotPrinted(f"{title}: the typesetter warned: {said}")
    if not isinstance(pdf, bytes):
        raise NotPrinted(f"{title}: the typesetter gave no document")
    return Printed(pdf, tuple(lost))


@lru_cache(maxsize=8)
def _compiler(template: str) -> typst.Compiler:
    return typst.Compiler(input=SHEETS / f"{template}.typ", root=SHEETS, font_paths=_fonts(), ignore_system_fonts=True)


@lru_cache(maxsize=1)
def _fonts() -> typst.Fonts:
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(font_folder())])


def _clean(value: object, lost: dict[str, None]) -> object:
    """Plain data for the template; signs that the font lacks are written out and noted in `lost`."""
    if isinstance(value, Raw) or value is None or isinstance(value, (bool, int)):
        return value
    if isinstance(value, str):
        text, signs = printable(value)
        lost.update(dict.fromkeys(signs))
        return text
    if isinstance(value, Mapping):
        return {str(key): _clean(one, lost) for key, one in value.items()}
    if isinstance(value, (list, tuple)):
        return [_clean(one, lost) for one in value]
    raise TypeError(f"{type(value).__name__} is not plain data for a sheet; numbers are made text first")
