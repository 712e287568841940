"""Numbers and headings as papers show them: a figure with its unit apart, so that the unit can be set smaller."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from bedwright.typed import show

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")

Figure = dict[str, str]


@dataclass(frozen=True, slots=True)
class Issue:
    """What every paper of a run says of itself.

    works: its name; revision: of the works; content: content id of the works (its first signs are printed); as_of: the
    day that counts as today; version: of the program; draft: False only for what a person has released.
    """

    works: str
    revision: int
    content: str
    as_of: date
    version: str
    draft: bool = True

    def plain(self) -> dict[str, object]:
        """For the template."""
        return {
            "works": self.works,
            "revision": str(self.revision),
            "content": self.content[:10],
            "as_of": day(self.as_of),
            "version": self.version,
            "draft": self.draft,
        }


@dataclass(frozen=True, slots=True)
class Paper:
    """A printed paper: file name without a path, its bytes, and signs that had to be written out by number."""

    name: str
    data: bytes
    written_out: tuple[str, ...] = ()


def figure(value: float, unit: str, digits: int = 6, *, interval: float = 0.0) -> Figure:
    """A number with its unit, never finer than its interval; thousands are set apart by a thin gap in the template."""
    text = show(value, digits, interval=interval)
    if interval > 0:
        text += f" ± {show(interval, 1)}"
    return {"v": text, "u": unit}


def millimetres(value: float, digits: int = 5) -> Figure:
    """A length [mm] to a tenth at the finest: nobody on the floor cuts finer."""
    return {"v": show(round(value, 1), digits), "u": "mm"}


def money(amount: float, currency: str) -> Figure:
    """An amount with two decimals, always both."""
    return {"v": f"{amount:.2f}", "u": currency}


def day(when: date) -> str:
    """Mon 5 Jan 2026; the month in letters, so that nobody reads it the other way round."""
    return f"{DAYS[when.weekday()]} {when.day} {MONTHS[when.month - 1]} {when.year}"


def moment(when: datetime) -> str:
    """Mon 5 Jan 14:30, wall time of the works."""
    return f"{DAYS[when.weekday()]} {when.day} {MONTHS[when.month - 1]} {when:%H:%M}"


def said(fact: Mapping[str, str] | str) -> str:
    """A figure or text in one line of plain words."""
    if isinstance(fact, str):
        return fact
    return f"{fact['v']} {fact['u']}".strip()


def size_words(width: float, length: float, height: float | None = None) -> str:
    """150 x 200 cm, the way the trade says it; the height in mm beside it where given."""
    text = f"{show(width / 10, 4)} × {show(length / 10, 4)} cm"
    return text if height is None else f"{text}, {show(round(height), 4)} mm high"


def file_stem(*parts: str) -> str:
    """A file name from codes: letters, digits and hyphens; what differs only in other signs keeps its number."""
    out = []
    for part in parts:
        plain = "".join(
            sign if sign.isascii() and sign.isalnum() else f"-{ord(sign):x}-" if not sign.isascii() else "-"
            for sign in part
        )
        out.append("-".join(piece for piece in plain.split("-") if piece))
    return "_".join(piece for piece in out if piece).lower() or "paper"
