"""Words on a drawing: long names in a few lines, cut where even those do not do."""

from __future__ import annotations

import math

from bedwright.errors import OutsideRange
from bedwright.papers.drawings.svg import text_width
from bedwright.papers.letters import printable, wrapped
from bedwright.typed import show


def cut(words: str, width: float, size: float, most: int) -> tuple[str, ...]:
    """Words in lines no wider than `width` [mm] at a size [mm]; past `most` lines they end in dots, at a word if near.

    What the font lacks is written out by its number before it is measured.
    """
    lines = wrapped(printable(words)[0], width, size)
    if len(lines) <= most:
        return lines
    kept = last = lines[most - 1]
    while last and text_width(last + " …", size) > width:
        last = last[:-1]
    if last != kept and " " in last[len(last) // 2 :]:
        last = last[: last.rindex(" ")]
    return (*lines[: most - 1], last.rstrip() + " …")


def finite(**values: float) -> None:
    """Raises OutsideRange for each number that is none: a drawing shows what is known, the rest is said in words."""
    bad = [f"{name.replace('_', ' ')} {value}" for name, value in values.items() if not math.isfinite(value)]
    if bad:
        raise OutsideRange(f"{', '.join(bad)} cannot be drawn; leave it out and say in words what is not known")


def span(value: float, low: float, high: float) -> str:
    """ "5.2 (4.1 to 6.5)": a value and both ends of its interval, all to one place, never finer than it allows.

    The place is that of the first figure of half the interval; one finer where that figure is a 1, for two more to lie
    between. An interval of nothing leaves the value alone.
    """
    finite(value=value, low=low, high=high)
    half = abs(high - low) / 2
    if half <= 1e-9 * max(abs(value), 1e-300):
        return show(value, 4)
    places = max(0, decimals(half))
    return f"{value:.{places}f} ({low:.{places}f} to {high:.{places}f})"


def decimals(half: float) -> int:
    """Decimals that half an interval leaves, 4 at most; below nothing for tens and hundreds."""
    first = math.floor(math.log10(half))
    return min(4, -first + (1 if half < 1.95 * 10.0**first else 0))
