"""Beds side by side on one sheet across: each result with its interval, each difference in words, drawings above."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bedwright.papers.cautions import CERTIFIES_NOTHING, cautions
from bedwright.papers.figures import Issue, Paper, file_stem
from bedwright.papers.typeset import Raw, typeset


@dataclass(frozen=True, slots=True)
class Column:
    """A bed: its code, what is said below its name, and drawings of one width with what each shows."""

    code: str
    name: str
    lines: tuple[str, ...]
    drawings: tuple[tuple[Raw, str], ...]


@dataclass(frozen=True, slots=True)
class Row:
    """A result: group, word, a figure for each bed as text, differences in words, whether all lie inside the noise."""

    group: str
    word: str
    figures: tuple[str, ...]
    says: tuple[str, ...]
    inside: bool


def side_by_side_sheet(
    issue: Issue, columns: Sequence[Column], rows: Sequence[Row], notes: Sequence[str], *, persons: bool
) -> Paper:
    """The sheet, A4 across. persons: whether somebody lies on the beds, so that it must say what it is not for.

    Raises NotPrinted.
    """
    body: list[object] = []
    group = ""
    for row in rows:
        if row.group != group:
            group = row.group
            body.append({"group": group[:1].upper() + group[1:]})
        says = "; ".join(row.says)
        body.append([row.word, *row.figures, says if row.inside else {"b": says}])
    data = {
        "issue": issue.plain(),
        "columns": [
            {
                "code": one.code,
                "name": one.name,
                "lines": list(one.lines),
                "drawings": [{"svg": svg, "alt": alt} for svg, alt in one.drawings],
            }
            for one in columns
        ],
        "headings": ["", *(one.code for one in columns), f"against {columns[0].code}"],
        "rows": body,
        "notes": list(notes),
        "cautions": [one.plain() for one in cautions(("lying", "infants"))] if persons else [],
        "certifies": CERTIFIES_NOTHING,
    }
    codes = [one.code for one in columns]
    printed = typeset("side_by_side", data, title=f"Side by side: {', '.join(codes)}", as_of=issue.as_of)
    return Paper(f"side-by-side_{file_stem(*codes)}.pdf", printed.pdf, printed.written_out)
