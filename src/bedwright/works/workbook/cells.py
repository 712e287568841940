"""One cell: what somebody typed, read as what its column holds; and a field's value as it is written.

A cell that cannot be read without guessing is refused with NotUnderstood, which says what would do.
"""

from __future__ import annotations

import difflib
import math
import re
from datetime import date, datetime, time, timedelta
from decimal import Decimal

from bedwright import typed
from bedwright.errors import NotUnderstood
from bedwright.identity import fold
from bedwright.works.workbook.grid import Value
from bedwright.works.workbook.layout import Column

FIRST_YEAR, LAST_YEAR = 1970, 2199
_ISO_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_CLOCK = re.compile(r"([0-9]{1,2}):([0-9]{2})(?::([0-9]{2}))?")
_NUMBER_THEN_WORDS = re.compile(r"([-+]?[0-9.,]+(?:[eE][-+]?[0-9]+)?) ?(\S.*)")
_YES = ("yes", "true", "y")
_NO = ("no", "false", "n")
_SAME_UNITS = {
    "turn": "turns", "percent": "%", "minutes": "min", "minute": "min", "mins": "min", "hours": "h", "hour": "h",
    "day": "days", "people": "people", "person": "people", "row": "rows", "newton": "n", "kilograms": "kg",
}  # fmt: skip


def read_cell(column: Column, value: Value) -> object:
    """The field's value from a cell, None for an empty one. Raises NotUnderstood."""
    if isinstance(value, str):
        value = value.strip()
    if value is None or value == "":
        return None
    match column.holds:
        case "number":
            return _number(column, value)
        case "whole":
            return _whole(column, value)
        case "money":
            return _money(column, value)
        case "yes or no":
            return _yes_or_no(value)
        case "date":
            return _date(value)
        case "time":
            return _time(value)
        case "choice":
            return _choice(column, value)
    return _text(value)


def number_text(value: float) -> str:
    """A number as people type it: 4.0 as "4", 0.1 as "0.1"; an exponent only in place of a row of noughts."""
    if value and not 1e-12 <= abs(value) < 1e16:
        return repr(float(value))
    exact = Decimal(repr(float(value)))
    text = f"{exact:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def as_text(value: object) -> str:
    """A field's value as CSV holds it; reading it gives the same value again."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int):
        return str(value)
    if isinstance(value, float):
        return number_text(value)
    if isinstance(value, Decimal):
        text = f"{value:f}"
        return text.rstrip("0").rstrip(".") if "." in text else text
    if isinstance(value, time):
        return value.isoformat("seconds") if value.second else value.isoformat("minutes")
    if isinstance(value, date):
        return value.isoformat()
    return str(value)


def shown(value: Value) -> str:
    """A cell's value as a fault echoes it: short, and as the spreadsheet shows it."""
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    text = (
        number_text(value) if isinstance(value, float) and math.isfinite(value) else str("" if value is None else value)
    )
    return text if len(text) <= typed.LONGEST else text[: typed.LONGEST] + "…"


def _text(value: Value) -> str:
    if isinstance(value, bool):
        raise NotUnderstood(shown(value), "is a truth value, and text belongs here", "type the text itself")
    if isinstance(value, (int, float)):
        return number_text(value)
    if isinstance(value, str):
        return value
    raise NotUnderstood(
        shown(value),
        "was turned into a date or time by the spreadsheet, and text belongs here",
        "set the cell's format to text and type it again",
    )


def _number(column: Column, value: Value) -> float:
    how = f"type a number of {column.accepted}" if column.accepted else "type a number"
    if isinstance(value, bool):
        raise NotUnderstood(shown(value), "is a truth value, and a number belongs here", how)
    if isinstance(value, (int, float)):
        if not math.isfinite(value):
            raise NotUnderstood(shown(value), "is not a finite number", how)
        return float(value)
    if isinstance(value, str):
        return _typed_number(column, value, how)
    raise NotUnderstood(
        shown(value),
        "was turned into a date or time by the spreadsheet, and a number belongs here",
        f"set the cell's format to number and {how}",
    )


def _typed_number(column: Column, text: str, how: str) -> float:
    """A number stored as text: alone in the column's unit, or with a unit that can be read without guessing."""
    try:
        return typed.number(text)
    except NotUnderstood as alone:
        tidy = " ".join(text.split())
        if not any(sign.isalpha() or sign in "'\"′″’”½¼¾%/" for sign in tidy):
            raise
        match = _NUMBER_THEN_WORDS.fullmatch(tidy)
        if match and _unit(match[2]) == _unit(column.unit) != "":
            return typed.number(match[1])
        if column.word == "diameter":
            return typed.wire_diameter(text).mm
        if column.unit == "mm":
            return typed.length_mm(text)
        if column.unit == "um":
            return typed.film_gauge(text)
        if column.unit == "g/m2":
            return typed.areal_mass(text)
        raise NotUnderstood(shown(text), alone.fault.says, how) from None


def _unit(text: str) -> str:
    plain = text.casefold().strip().rstrip(".").replace("²", "2").replace("³", "3").replace("µ", "u").replace("μ", "u")
    return _SAME_UNITS.get(plain, plain)


def same_unit(found: str, column: Column) -> bool:
    """Whether a unit in a heading is the column's own, however it is spelt."""
    return _unit(found) == _unit(column.unit)


def _whole(column: Column, value: Value) -> int:
    number = _number(column, value)
    if number != int(number):
        raise NotUnderstood(shown(value), "is not a whole number", "type a whole number, as 4")
    return int(number)


def _money(column: Column, value: Value) -> Decimal:
    if isinstance(value, (bool, str)) or not isinstance(value, (int, float)):
        number = _number(column, value)
    else:
        number = float(value)
    if not math.isfinite(number):
        raise NotUnderstood(shown(value), "is not an amount", "type the amount as a number, as 12.50")
    exact = Decimal(f"{number:.15g}")  # a spreadsheet's 12.400000000000001 is 12.4
    return Decimal(f"{exact:f}")


def _yes_or_no(value: Value) -> bool:
    if isinstance(value, bool):
        return value
    word = value.casefold() if isinstance(value, str) else ""
    if word in _YES or word in _NO:
        return word in _YES
    raise NotUnderstood(shown(value), "is neither yes nor no", "type yes or no")


def _date(value: Value) -> date:
    how = "type it as a date of the spreadsheet, or as text like 2026-11-02"
    if isinstance(value, datetime):
        if value.time() != time(0):
            raise NotUnderstood(shown(value), "is a moment, and a day belongs here", how)
        value = value.date()
    if isinstance(value, str):
        if not _ISO_DATE.fullmatch(value):
            raise NotUnderstood(shown(value), "is text and does not read as a day without guessing", how)
        try:
            value = date.fromisoformat(value)
        except ValueError:
            raise NotUnderstood(shown(value), "is no day of the calendar", how) from None
    if not isinstance(value, date):
        raise NotUnderstood(shown(value), "is not a day", how)
    if not FIRST_YEAR <= value.year <= LAST_YEAR:
        raise NotUnderstood(
            shown(value), f"is outside the years {FIRST_YEAR} to {LAST_YEAR}", "look for a number shown as a date"
        )
    return value


def _time(value: Value) -> time:
    how = "type it as 06:00; midnight is 00:00"
    if isinstance(value, time):
        return value.replace(microsecond=0)
    if isinstance(value, timedelta) and timedelta(0) <= value < timedelta(days=1):
        return (datetime.min + value).time()
    match = _CLOCK.fullmatch(value) if isinstance(value, str) else None
    if match is None:
        raise NotUnderstood(shown(value), "is not a time of day", how)
    hour, minute, second = (int(part or 0) for part in match.groups())
    if hour > 23 or minute > 59 or second > 59:
        raise NotUnderstood(shown(value), "is not a time of day", how)
    return time(hour, minute, second)


def _choice(column: Column, value: Value) -> str:
    text = _text(value)
    wanted = " ".join(fold(text).split())
    known = {" ".join(fold(choice).split()): choice for choice in column.choices}
    if wanted in known:
        return known[wanted]
    near = difflib.get_close_matches(wanted, known, n=1, cutoff=0.6)
    perhaps = f"; perhaps {known[near[0]]!r}" if near else ""
    raise NotUnderstood(shown(text), "is not one of the choices here", f"use {', '.join(column.choices)}{perhaps}")
