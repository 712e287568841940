"""What every spreadsheet we write shares: headings, text that stays text, and the same bytes for the same content."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterable
from datetime import datetime

from openpyxl import Workbook
from openpyxl.cell import Cell
from openpyxl.styles import Alignment, Border, Font, Side
from openpyxl.worksheet.worksheet import Worksheet

MOMENT = datetime(2026, 1, 1)
"""Stands for the moment of saving, so that the same content has one workbook to the byte."""
_NOT_IN_XML = re.compile("[\x00-\x08\x0b\x0c\x0d\x0e-\x1f\ufffe\uffff]")
_LOOKS_ESCAPED = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")
_MODIFIED = re.compile(rb"(<dcterms:(created|modified)[^>]*>)[^<]*")


def still_bytes(book: Workbook) -> bytes:
    """The workbook as bytes, without the moment of saving."""
    book.properties.creator = "bedwright"
    raw = io.BytesIO()
    book.save(raw)
    return still(raw.getvalue())


def still(data: bytes) -> bytes:
    """The same parts without the moment of saving."""
    stamp = MOMENT.strftime("%Y-%m-%dT%H:%M:%SZ").encode()
    packed = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as new:
        for entry in old.infolist():
            content = old.read(entry)
            if entry.filename == "docProps/core.xml":
                content = _MODIFIED.sub(rb"\g<1>" + stamp, content)
            kept = zipfile.ZipInfo(entry.filename, MOMENT.timetuple()[:6])
            kept.compress_type = zipfile.ZIP_DEFLATED
            kept.external_attr = 0o600 << 16
            kept.create_system = 3
            new.writestr(kept, content)
    return packed.getvalue()


def headings(page: Worksheet, headings: Iterable[str]) -> None:
    """Row 1: bold, ruled twice in indigo, kept in sight."""
    line = Side(style="double", color="33337A")
    for place, heading in enumerate(headings, 1):
        cell = page.cell(1, place, heading)
        cell.font = Font(bold=True)
        cell.border = Border(bottom=line)
        cell.alignment = Alignment(vertical="bottom")
    page.freeze_panes = "B2"


def set_text(cell: Cell, text: str) -> None:
    """Text stays text, also when it begins like a formula; signs that XML cannot hold are written by their number."""
    safe = _NOT_IN_XML.sub(lambda sign: f"_x{ord(sign[0]):04X}_", _LOOKS_ESCAPED.sub("_x005F_", text))
    cell.value = safe
    cell.data_type = "s"
    if text[:1] in tuple("=+-@'"):
        cell.quotePrefix = True
