"""The printing letters: which signs the font holds and how wide they are, read from the font file itself.

The typesetter draws an empty box for a sign that the font lacks and says nothing. So every text is looked through
first, and a sign without a letter is written out by its number, as [U+1F600], which the paper then says.
"""

from __future__ import annotations

import struct
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import fontpkg_work_sans

FAMILY = "Work Sans"
_SOFT = {"\n": " ", "\r": " ", "\t": " ", "\u00a0": " ", "\u202f": " ", "\u2009": " ", "\u2011": "-", "\u00ad": ""}
_BOLD_WIDER = 1.06


@dataclass(frozen=True, slots=True)
class Letters:
    """Glyph number by code point, and advance width by glyph in units of the em."""

    glyphs: dict[int, int]
    widths: tuple[float, ...]

    def has(self, sign: str) -> bool:
        """Whether the font draws this one sign."""
        return ord(sign) in self.glyphs

    def width(self, text: str, size: float, *, bold: bool = False) -> float:
        """Width of a text set at a size, in the unit of the size; kerning left out."""
        last = len(self.widths) - 1
        em = sum(self.widths[min(self.glyphs.get(ord(sign), 0), last)] for sign in text)
        return em * size * (_BOLD_WIDER if bold else 1.0)


def font_folder() -> Path:
    """Folder of the font files inside their package."""
    return Path(fontpkg_work_sans.ROOT) / "files"


@lru_cache(maxsize=1)
def letters() -> Letters:
    """The upright letters, read once."""
    data = (font_folder() / "WorkSans[wght].ttf").read_bytes()
    tables = {}
    for index in range(struct.unpack_from(">H", data, 4)[0]):
        tag, _, offset, _ = struct.unpack_from(">4sIII", data, 12 + 16 * index)
        tables[tag] = offset
    per_em = struct.unpack_from(">H", data, tables[b"head"] + 18)[0]
    metrics = struct.unpack_from(">H", data, tables[b"hhea"] + 34)[0]
    widths = tuple(struct.unpack_from(">H", data, tables[b"hmtx"] + 4 * index)[0] / per_em for index in range(metrics))
    return Letters(_code_points(data, tables[b"cmap"]), widths)


def _code_points(data: bytes, start: int) -> dict[int, int]:
    """The Unicode sub-table of the table cmap, of format 12 or 4 (OpenType specification, cmap)."""
    found = {}
    for index in range(struct.unpack_from(">H", data, start + 2)[0]):
        platform, encoding, offset = struct.unpack_from(">HHI", data, start + 4 + 8 * index)
        if (platform, encoding) in {(0, 3), (0, 4), (3, 1), (3, 10)}:
            kind = struct.unpack_from(">H", data, start + offset)[0]
            found[kind] = start + offset
    if 12 in found:
        return _format_12(data, found[12])
    return _format_4(data, found[4])


def _format_12(data: bytes, at: int) -> dict[int, int]:
    groups = struct.unpack_from(">I", data, at + 12)[0]
    glyphs = {}
    for index in range(groups):
        first, last, glyph = struct.unpack_from(">III", data, at + 16 + 12 * index)
        glyphs.update({code: glyph + code - first for code in range(first, last + 1)})
    return glyphs


def _format_4(data: bytes, at: int) -> dict[int, int]:
    half = struct.unpack_from(">H", data, at + 6)[0]
    ends, starts, deltas, ranges = (at + 14, at + 16 + half, at + 16 + 2 * half, at + 16 + 3 * half)
    glyphs = {}
    for place in range(0, half, 2):
        first, last = (struct.unpack_from(">H", data, where + place)[0] for where in (starts, ends))
        delta, distance = (struct.unpack_from(">H", data, where + place)[0] for where in (deltas, ranges))
        for code in range(first, min(last, 0xFFFE) + 1):
            if distance:
                glyph = struct.unpack_from(">H", data, ranges + place + distance + 2 * (code - first))[0]
                glyph = (glyph + delta) & 0xFFFF if glyph else 0
            else:
                glyph = (code + delta) & 0xFFFF
            if glyph:
                glyphs[code] = glyph
    return glyphs


def printable(text: str) -> tuple[str, tuple[str, ...]]:
    """The text as it can be printed, and the signs that had to be written out by their number, each once."""
    known = letters()
    out, lost = [], []
    for sign in unicodedata.normalize("NFC", text):
        sign = _SOFT.get(sign, sign)
        if sign in ("", " ") or (unicodedata.category(sign)[0] not in "CZ" and known.has(sign)):
            out.append(sign)
            continue
        out.append(f"[U+{ord(sign):04X}]")
        lost.append(f"U+{ord(sign):04X}")
    return "".join(out), tuple(dict.fromkeys(lost))


def wrapped(text: str, width: float, size: float, *, bold: bool = False) -> tuple[str, ...]:
    """The text in lines no wider than `width`; a single word that is wider is broken."""
    known = letters()
    lines: list[str] = []
    for word in _short_words(text.split(), width, size, bold):
        tried = f"{lines[-1]} {word}" if lines else word
        if lines and known.width(tried, size, bold=bold) <= width:
            lines[-1] = tried
        else:
            lines.append(word)
    return tuple(lines) or ("",)


def _short_words(words: Iterable[str], width: float, size: float, bold: bool) -> Iterable[str]:
    known = letters()
    for word in words:
        rest = word
        while known.width(rest, size, bold=bold) > width and len(rest) > 1:
            cut = len(rest) - 1
            while cut > 1 and known.width(rest[:cut], size, bold=bold) > width:
                cut -= 1
            yield rest[:cut]
            rest = rest[cut:]
        yield rest
