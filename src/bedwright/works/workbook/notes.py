"""Mild notes: what a works accepts, but a person may want to look at again. Nothing is refused here."""

from __future__ import annotations

from collections.abc import Mapping

from bedwright.errors import Fault
from bedwright.works.rules import DEFAULTS, Rule
from bedwright.works.workbook.layout import sheets
from bedwright.works.workbook.lines import Line, nearest


def unusual(lines: Mapping[str, list[Line]]) -> list[Fault]:
    """Accepted figures outside what floor practice shows, house rules outside their own range, rules nobody reads."""
    notes = []
    for sheet in sheets():
        for column in sheet.columns:
            if column.usual is None:
                continue
            low, high = column.usual
            for line in lines[sheet.name]:
                value = line.values.get(column.field)
                if not isinstance(value, (int, float)) or value == column.default or low <= value <= high:
                    continue
                unit = f" {column.unit}" if column.unit else ""
                if column.low is not None and column.high is not None and not column.low <= value <= column.high:
                    continue  # refused already
                says = f"is outside the usual {low:g} to {high:g}{unit}"
                notes.append(line.fault(column.field, says, "look again; it is accepted", grave=False))
    return notes + _rules(lines[Rule.SHEET])


def _rules(lines: list[Line]) -> list[Fault]:
    notes = []
    for line in lines:
        if line.code and line.code.casefold() not in DEFAULTS:
            says = "is a house rule that no sum reads"
            notes.append(line.fault("code", says, f"keep it as a note{nearest(line.code, DEFAULTS)}", grave=False))
        value, low, high = (line.values.get(name) for name in ("rule_value", "usual_low", "usual_high"))
        if isinstance(value, float) and isinstance(low, float) and isinstance(high, float) and not low <= value <= high:
            says = f"is outside the usual {low:g} to {high:g} of this rule"
            notes.append(line.fault("rule_value", says, "look again; it is accepted", grave=False))
    return notes
