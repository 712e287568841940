"""The words of a person as people type one: which sex, which quantities, and whatever does not belong there."""

from __future__ import annotations

import re

from bedwright.errors import Fault
from bedwright.mechanics.body_tables import SEXES, Sex

HOW = 'write sex, stature and mass, as "man 1755 mm 80 kg" or "woman 5\'4\\" 9 st 10 lb"'
_SEXES: dict[str, Sex] = {
    **dict.fromkeys(("man", "m", "male"), SEXES[0]),
    **dict.fromkeys(("woman", "w", "f", "female"), SEXES[1]),
}
_YOUNG = {"baby", "infant", "newborn", "toddler", "child", "children", "kid", "boy", "girl", "cot"}
_CARE = {"pregnant", "patient", "ill", "sick", "injured", "bedridden", "bed-bound", "bedbound"}
_FEET = {"'", "′", "’", "ft", "foot", "feet"}
_INCHES = {'"', "″", "”", "''", "in", "inch", "inches"}
_STONES = {"st", "stone", "stones"}
_POUNDS = {"lb", "lbs", "pound", "pounds"}
LENGTHS = {"mm", "cm", "m"} | _FEET | _INCHES
MASSES = {"kg"} | _STONES | _POUNDS
_TOKEN = re.compile(
    r"(?P<number>[-+−]?(?:[0-9]+(?:[.,][0-9]+)*|[.,][0-9]+)(?: [0-9]{1,3}/[0-9]{1,3}| ?[½¼¾])?)"
    r"|(?P<word>''|['′’\"″”]|[^\W\d_]+(?:[-_][^\W\d_]+)*)|(?P<mark>[,;.] ?)|(?P<other>\S)"
)


def quantities(text: str) -> tuple[Sex | None, list[tuple[str, str, str]], list[Fault]]:
    """Sex, and each quantity: the words before it, number and unit as typed, its first unit; and what is wrong."""
    tokens = [(match.lastgroup or "", match.group().strip()) for match in _TOKEN.finditer(text)]
    sex: Sex | None = None
    found: list[tuple[str, str, str]] = []
    faults: list[Fault] = []
    words: list[str] = []
    at = 0
    while at < len(tokens):
        kind, token = tokens[at]
        at += 1
        if kind == "number":
            unit, chunk, at = _quantity(token, tokens, at)
            found.append((" ".join(words), chunk, unit))
            words = []
        elif kind == "word" and token in _YOUNG:
            faults.append(Fault("infants and children are out of scope", HOW, value=token, field="person"))
        elif kind == "word" and token in _CARE:
            faults.append(
                Fault(
                    "persons who are ill, injured, pregnant or bound to bed are out of scope",
                    HOW,
                    token,
                    field="person",
                )
            )
        elif kind == "word" and token in _SEXES and not words:
            if sex not in (None, _SEXES[token]):
                faults.append(Fault("both man and woman are said", "type one person", value=text, field="sex"))
            sex = _SEXES[token]
        elif kind == "word":
            words.append(token)
        elif kind == "other":
            faults.append(Fault("is no part of a person's line", HOW, value=token, field="person"))
    if words:
        faults.append(Fault("is not understood here", HOW, value=" ".join(words), field="person"))
    return sex, found, faults


def _quantity(number: str, tokens: list[tuple[str, str]], at: int) -> tuple[str, str, int]:
    """Unit, chunk as typed, and how far it was read: a number, its unit, and inches or pounds that follow feet or
    stones."""
    if at >= len(tokens) or tokens[at][0] != "word" or tokens[at][1] not in LENGTHS | MASSES:
        return "", number, at
    unit = tokens[at][1]
    chunk, at = f"{number} {unit}", at + 1
    at += at < len(tokens) and tokens[at] == ("mark", ".") and at + 1 < len(tokens)  # "5 ft. 4 in."
    smaller = _INCHES if unit in _FEET else _POUNDS if unit in _STONES else set()
    if smaller and at < len(tokens) and tokens[at][0] == "number":
        after = tokens[at + 1] if at + 1 < len(tokens) else ("", "")
        if after[0] == "word" and after[1] in smaller:
            return unit, f"{chunk} {tokens[at][1]} {after[1]}", at + 2
        if after[0] != "word" or after[1] not in LENGTHS | MASSES:  # 5'4 alone: inches
            return unit, f"{chunk} {tokens[at][1]}", at + 1
    return unit, chunk, at
