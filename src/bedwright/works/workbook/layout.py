"""Which sheets a workbook has and what each column holds, all read off the card classes."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, time
from decimal import Decimal
from types import NoneType
from typing import Any, Literal, get_args, get_origin

from pydantic.fields import FieldInfo

from bedwright.words import WORDS
from bedwright.works.about import About
from bedwright.works.card import Card, Row
from bedwright.works.kinds import KINDS, child_rows, references

ABOUT = "about"
HELP = "help"
CHOICES = "choices"
OURS_TO_IGNORE = (HELP, CHOICES)
"""Sheets that the writer adds for people; the reader passes over them."""

Holds = Literal["code", "text", "number", "whole", "money", "yes or no", "date", "time", "choice"]
_PLAIN: Mapping[Any, Holds] = {
    bool: "yes or no",
    int: "whole",
    float: "number",
    Decimal: "money",
    date: "date",
    time: "time",
    str: "text",
}


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a sheet: the card's field, its heading, what a cell holds, and what is accepted there."""

    field: str
    holds: Holds
    meaning: str
    unit: str = ""
    word: str = ""
    needed: bool = False
    default: object = None
    low: float | None = None
    high: float | None = None
    usual: tuple[float, float] | None = None
    choices: tuple[str, ...] = ()
    refers: tuple[str, ...] = ()

    @property
    def plain(self) -> str:
        """The heading without its unit."""
        return self.field.replace("_", " ")

    @property
    def heading(self) -> str:
        """The heading as the writer sets it: the field in plain words, and its unit."""
        told = self.unit in self.plain.split()  # live turns need no [turns]
        return f"{self.plain} [{self.unit}]" if self.unit and not told else self.plain

    @property
    def accepted(self) -> str:
        """The accepted range in words, "" where the card sets none."""
        unit = f" {self.unit}" if self.unit else ""
        if self.low is None or self.high is None:
            return ""
        return f"{self.low:g} to {self.high:g}{unit}"


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet: the cards of a kind, the nested rows of a kind (then `field` names them), or `about`."""

    name: str
    says: str
    model: type[Card] | type[Row] | type[About]
    columns: tuple[Column, ...]
    kind: type[Card] | None = None
    field: str = ""

    @property
    def key(self) -> tuple[str, ...]:
        """Fields that name a row of this sheet: its code, and for nested rows the position (on its face)."""
        if not self.field:
            return ("code",)
        fields = {column.field for column in self.columns}
        return ("code", "face", "position") if "face" in fields else ("code", "position")

    def column(self, field: str) -> Column:
        """The column of a field. Raises KeyError."""
        for column in self.columns:
            if column.field == field:
                return column
        raise KeyError(field)


@functools.cache
def sheets() -> tuple[Sheet, ...]:
    """Every sheet in order: about, then each kind's cards followed by its nested rows."""
    found = [Sheet(ABOUT, "what this workbook says about itself", About, _columns(About))]
    for kind in KINDS:
        children = child_rows(kind)
        own = [column for column in _columns(kind) if column.field not in children]
        last = [column for column in own if column.field == "note"]
        columns = [column for column in own if column.field != "note"] + last
        found.append(Sheet(kind.SHEET, kind.SAYS, kind, tuple(columns), kind))
        for field, model in children.items():
            parent = Column(
                "code", "code", f"the {kind.KIND} that the row belongs to", needed=True, refers=(kind.KIND,)
            )
            says = kind.model_fields[field].description or ""
            found.append(Sheet(model.SHEET, f"{kind.SAYS}: {says}", model, (parent, *_columns(model)), kind, field))
    return tuple(found)


def _columns(model: type[Card] | type[Row] | type[About]) -> tuple[Column, ...]:
    mentions = {} if issubclass(model, About) else references(model)
    return tuple(_column(name, info, mentions.get(name, ())) for name, info in model.model_fields.items())


def _column(name: str, info: FieldInfo, refers: tuple[str, ...]) -> Column:
    holds, choices = _holds(info.annotation)
    extra = info.json_schema_extra
    key = str(extra.get("word", "")) if isinstance(extra, dict) else ""
    word = WORDS.get(key)
    return Column(
        field=name,
        holds="code" if name == "code" or refers else holds,
        meaning=info.description or "",
        unit=word.unit if word else "",
        word=key,
        needed=info.is_required(),
        default=None if info.is_required() else info.default,
        low=_limit(info, "ge"),
        high=_limit(info, "le"),
        usual=word.usual if word else None,
        choices=choices,
        refers=refers,
    )


def _holds(annotation: Any) -> tuple[Holds, tuple[str, ...]]:
    if get_origin(annotation) is Literal:
        return "choice", tuple(str(choice) for choice in get_args(annotation))
    if annotation in _PLAIN:
        return _PLAIN[annotation], ()
    inner = [one for one in get_args(annotation) if one is not NoneType]
    return _holds(inner[0]) if inner and get_origin(annotation) is not tuple else ("text", ())


def _limit(info: FieldInfo, side: str) -> float | None:
    for one in info.metadata:
        limit = getattr(one, side, None)
        if limit is not None:
            return float(limit)
    return None
