"""Code 128 as SVG: the shortest choice of code sets, check symbol, quiet zones.

ISO/IEC 15417 (from memory; tests read every kind of text back with a decoder that is not ours).
"""

from __future__ import annotations

from functools import cache

from bedwright.errors import NotUnderstood
from bedwright.papers.drawings.svg import INK, number
from bedwright.papers.typeset import Raw

# Widths of bar, space, bar, space, bar, space of each symbol value; 106 is the stop with its last bar.
_ALL = (
    "212222222122222221121223121322131222122213122312132212221213221312231212112232122132122231113222"
    "123122123221223211221132221231213212223112312131311222321122321221312212322112322211212123212321"
    "232121111323131123131321112313132113132311211313231113231311112133112331132131113123113321133121"
    "313121211331231131213113213311213131311123311321331121312113312311332111314111221411431111111224"
    "111422121124121421141122141221112214112412122114122411142112142211241211221114413111241112134111"
    "111242121142121241114212124112124211411212421112421211212141214121412121111143111341131141114113"
    "114311411113411311113141114131311141411131211412211214211232"
)
_WIDTHS = (*(_ALL[place : place + 6] for place in range(0, len(_ALL), 6)), "2331112")
_START = {"A": 103, "B": 104, "C": 105}
_TO = {"A": 101, "B": 100, "C": 99}
STOP = 106
QUIET = 10
LONGEST = 48
"""Signs that still fit a job card."""


def symbols(text: str) -> tuple[int, ...]:
    """Symbol values from start to stop, check symbol included, by the fewest symbols.

    Sets: A has capitals and control signs, B capitals and small letters, C two digits in one symbol. Raises
    NotUnderstood for an empty text, one that is too long, or a sign outside ASCII.
    """
    if not text or len(text) > LONGEST:
        raise NotUnderstood(text, f"has {len(text)} signs for a Code 128", f"use 1 to {LONGEST}")
    foreign = sorted({sign for sign in text if ord(sign) > 127})
    if foreign:
        raise NotUnderstood(text, f"has {', '.join(map(ascii, foreign))} in a Code 128", "use plain ASCII signs")
    values = _shortest(text)
    check = (values[0] + sum(place * value for place, value in enumerate(values[1:], 1))) % 103
    return (*values, check, STOP)


def _shortest(text: str) -> list[int]:
    """Start and data symbols: dynamic search over place and code set, ties broken towards B, then C, then A."""

    @cache
    def best(place: int, current: str) -> tuple[int, tuple[int, ...]]:
        if place == len(text):
            return 0, ()
        options = []
        for chosen in "BCA":
            value, used = _value(text, place, chosen)
            if used:
                switch = () if chosen == current else (_TO[chosen],)
                cost, rest = best(place + used, chosen)
                options.append((cost + 1 + len(switch), (*switch, value, *rest)))
        return min(options, key=lambda option: option[0])

    starts = []
    for first in "BCA":
        if _value(text, 0, first)[1]:
            cost, rest = best(0, first)
            starts.append((cost, (_START[first], *rest)))
    return list(min(starts, key=lambda start: start[0])[1])


def _value(text: str, place: int, code_set: str) -> tuple[int, int]:
    """(symbol value, signs used) of what stands at a place, in a code set; 0 signs where the set has it not."""
    sign = ord(text[place])
    if code_set == "C":
        pair = text[place : place + 2]
        return (int(pair), 2) if len(pair) == 2 and all(one in "0123456789" for one in pair) else (0, 0)
    if code_set == "A":
        return (sign - 32, 1) if 32 <= sign < 96 else (sign + 64, 1) if sign < 32 else (0, 0)
    return (sign - 32, 1) if 32 <= sign < 128 else (0, 0)


def modules(text: str) -> str:
    """Widths of bars and spaces in turn, first a bar."""
    return "".join(_WIDTHS[value] for value in symbols(text))


def code128(text: str, width: float = 80.0, height: float = 16.0) -> Raw:
    """The code on `width` x `height` of paper [mm], quiet zones of ten modules inside the width."""
    widths = [int(one) for one in modules(text)]
    module = width / (sum(widths) + 2 * QUIET)
    bars, x = [], QUIET * module
    for place, one in enumerate(widths):
        if place % 2 == 0:
            bars.append(f"M{x:.4f} 0h{one * module:.4f}v{number(height)}h-{one * module:.4f}z")
        x += one * module
    w, h = number(width), number(height)
    return Raw(
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm" viewBox="0 0 {w} {h}" role="img">'
        f'<title>Code 128</title><rect width="{w}" height="{h}" fill="#fff"/>'
        f'<path d="{"".join(bars)}" fill="{INK}"/></svg>'
    )
