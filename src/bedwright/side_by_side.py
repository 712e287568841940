"""Two to four beds side by side: every result with its interval, every difference with its own, and what that says.

A tolerance that two beds share moves both at once and falls out of their difference as far as it moves them alike.
Where nought lies inside the interval of a difference, the beds are not told apart, whatever the figures look like.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from bedwright.bill.make import make_bill
from bedwright.bill.rows import Bill
from bedwright.cost.money import to_major
from bedwright.cost.rollup import cost
from bedwright.cost.sheet import CostSheet
from bedwright.design.bed_at_size import BedAtSize
from bedwright.errors import Fault, FaultsFound
from bedwright.mechanics.lying import Lies
from bedwright.mechanics.pad_test import Curve, pad_test
from bedwright.typed import show
from bedwright.weighing.open_moves import (
    OpenMove,
    count_moves,
    open_moves,
    spread_of,
    spread_of_difference,
)
from bedwright.works.works import Works

LEAST, MOST = 2, 4
EXACT, MADE, NONE = "counted", "house tolerance of one bed", "no interval is reckoned: figures of the cards"
SIGNIFICANT = 1e-9
STAR = " *"
FINER = 10.0
"""Ends of an interval are shown one figure finer than its half width, so that both can be read."""


@dataclass(frozen=True, slots=True)
class Told:
    """One result: its key, what people call it, unit, and what a bed does that has more of it, or less."""

    key: str
    word: str
    unit: str
    more: str
    less: str


PRESSED = (
    Told("h_tangent", "hardness H, tangent", "N/mm", "is firmer", "is softer"),
    Told("h_secant", "hardness H, secant", "N/mm", "is firmer", "is softer"),
    Told("edge", "edge: H at 200 mm over H in the middle", "", "has a firmer edge", "has a softer edge"),
    Told("height", "height in the middle", "mm", "is higher", "is lower"),
)
TAKEN = (
    Told("mass", "mass", "kg", "is heavier", "is lighter"),
    Told("steel", "steel", "kg", "takes more steel", "takes less steel"),
    Told("springs", "springs", "", "has more springs", "has fewer springs"),
    Told("carbon", "carbon, cradle to gate", "kg CO2e", "brings more carbon", "brings less carbon"),
    Told("cost", "cost of one", "money", "is dearer", "is cheaper"),
    Told("minutes", "labour", "min", "takes more labour", "takes less labour"),
)
LAIN = (
    Told("contact_area", "touched area", "m2", "touches more of the body", "touches less of the body"),
    Told("mean", "mean pressure", "kPa", "presses more on the mean", "presses less on the mean"),
    Told("p99", "P99 of the pressure", "kPa", "has a higher P99", "has a lower P99"),
    Told("sink_shoulder", "sink of the shoulder", "mm", "lets the shoulder in deeper", "lets the shoulder in less"),
    Told("sink_hip", "sink of the hip", "mm", "lets the hip in deeper", "lets the hip in less"),
    Told("spine_angle", "angle of the spine, head high +", "deg", "lays the head higher", "lays the head lower"),
    Told(
        "spine_departure",
        "spine off its line at most",
        "mm",
        "bends the spine more",
        "bends the spine less",
    ),
    Told(
        "lumbar_gap",
        "small of the back above its line",
        "mm",
        "leaves the small of the back higher",
        "leaves the small of the back lower",
    ),
)


@dataclass(frozen=True, slots=True)
class Result:
    """One result of one bed: value with interval; low and high None where none is reckoned, and `sure` says why."""

    value: float
    low: float | None
    high: float | None
    sure: str


@dataclass(frozen=True, slots=True)
class Difference:
    """A bed against the first: difference, its interval (None: none is reckoned), what it would be if the beds shared
    nothing; inside: whether nought lies in the interval, so that they are not told apart; says: it in words; brief: the
    same for a sheet whose heading names the first bed, with a star where it shows only because of what both share."""

    value: float
    low: float | None
    high: float | None
    apart: tuple[float, float] | None
    inside: bool | None
    says: str
    brief: str


@dataclass(frozen=True, slots=True)
class Line:
    """One result of all beds: results in their order, differences of all but the first against it."""

    told: Told
    group: str
    results: tuple[Result | None, ...]
    differences: tuple[Difference | None, ...]


@dataclass(frozen=True, slots=True)
class Beside:
    """One bed as it was reckoned: its pad test, bill and cost, results that move, and the moves."""

    bed: BedAtSize
    curve: Curve
    bill: Bill
    sheet: CostSheet
    value: dict[str, float]
    moves: tuple[OpenMove, ...]


@dataclass(frozen=True, slots=True)
class SideBySide:
    """All beds, all lines; shared: open figures that two or more beds share, by bed pair in words; notes."""

    beds: tuple[Beside, ...]
    persons: tuple[Lies, ...]
    lines: tuple[Line, ...]
    shared: tuple[str, ...]
    notes: tuple[str, ...]


def side_by_side(
    works: Works,
    beds: Sequence[BedAtSize],
    persons: Sequence[Lies] = (),
    day: date | None = None,
    told: Callable[[int, int], None] | None = None,
) -> SideBySide:
    """Two to four beds of a works, the first as the one that the others are held against.

    told(done, of): after every open figure. Raises FaultsFound for one bed alone, more than four, or one named twice;
    NotKnown, NotConverged, OutsideRange where a bed cannot be pressed or lain on.
    """
    _check(beds)
    total = sum(count_moves(bed, persons) for bed in beds)
    done = 0

    def step() -> None:
        nonlocal done
        done += 1
        if told is not None:
            told(done, total)

    found = []
    for bed in beds:
        bill = make_bill(works, bed)
        value, moves = open_moves(bed, persons, step)
        found.append(Beside(bed, pad_test(bed), bill, cost(works, bill, day or works.about.as_of), value, moves))
    lines = [_pressed_line(one, found) for one in PRESSED]
    lines += [_taken_line(one, found, works.about.currency) for one in TAKEN]
    for number, who in enumerate(persons):
        group = f"{who.person.called}, {_posture(who)}"
        for one in LAIN:
            if all(f"{number} {one.key}" in beside.value for beside in found):
                lines.append(_moved_line(one, found, f"{number} {one.key}", group))
    return SideBySide(tuple(found), tuple(persons), tuple(lines), _shared(found), _notes(found))


def figure(told: Told, one: Result) -> str:
    """A result with its interval, none finer than one figure below its half width."""
    if one.low is None or one.high is None:
        return f"{one.value:.2f}" if told.key == "cost" else show(one.value, 4)
    half = min((side for side in (one.high - one.value, one.value - one.low) if side > 0), default=0.0)
    if half == 0:
        return show(one.value)
    value, low, high = (show(v, 3, interval=half / 10) for v in (one.value, one.low, one.high))
    return f"{value} ({low} to {high})"


def _check(beds: Sequence[BedAtSize]) -> None:
    keys = [bed.key for bed in beds]
    faults = []
    if not LEAST <= len(beds) <= MOST:
        faults.append(Fault(f"{len(beds)} beds are named", f"name {LEAST} to {MOST} to set side by side"))
    twice = sorted({key for key in keys if keys.count(key) > 1})
    if twice:
        faults.append(Fault(f"{twice[0]} is named twice", "a bed differs from itself in nothing"))
    if faults:
        raise FaultsFound(faults)


def _posture(who: Lies) -> str:
    return "on the back" if who.posture == "supine" else "on the side"


def _pressed_line(one: Told, found: Sequence[Beside]) -> Line:
    """Of the pad test: value and interval are its own, as everybody is told them; differences by common moves."""
    line = _moved_line(one, found, one.key, "pad test")
    own: list[Result | None] = []
    for beside, result in zip(found, line.results, strict=True):
        curve = beside.curve
        value = {
            "h_tangent": (curve.hardness.tangent, curve.low, curve.high),
            "h_secant": (curve.hardness.secant, curve.secant_low, curve.secant_high),
            "height": (
                curve.heights.tufted,
                curve.heights.tufted - curve.height_half,
                curve.heights.tufted + curve.height_half,
            ),
        }.get(one.key)
        own.append(result if value is None else Result(*value, "open figures at their limits"))
    shifts = [result.value if result is not None else 0.0 for result in own]
    differences = tuple(
        None if old is None else _difference(one, shift - shifts[0], _moves(found, at, one.key), found, at)
        for at, (old, shift) in enumerate(zip(line.differences, shifts[1:], strict=True), start=1)
    )
    return Line(one, line.group, tuple(own), differences)


def _moves(found: Sequence[Beside], at: int, key: str) -> tuple[tuple[float, float], tuple[float, float]]:
    first, second = found[0].moves, found[at].moves
    return spread_of_difference(first, second, key), spread_of_difference(first, second, key, apart=True)


def _moved_line(one: Told, found: Sequence[Beside], key: str, group: str) -> Line:
    results: list[Result | None] = []
    for beside in found:
        value = beside.value[key]
        down, up = spread_of(beside.moves, key)
        results.append(Result(value, value + down, value + up, "open figures at their limits"))
    differences = tuple(
        _difference(one, found[at].value[key] - found[0].value[key], _moves(found, at, key), found, at)
        for at in range(1, len(found))
    )
    return Line(one, group, tuple(results), differences)


def _taken_line(one: Told, found: Sequence[Beside], currency: str) -> Line:
    """Of what a bed takes: counts are exact, masses have the house tolerance, the rest has no interval."""
    told = Told(one.key, one.word, currency if one.unit == "money" else one.unit, one.more, one.less)
    results = tuple(_taken(one.key, beside) for beside in found)
    differences: list[Difference | None] = []
    for at, result in enumerate(results[1:], start=1):
        first = results[0]
        value = result.value - first.value
        if result.sure == MADE and result.low is not None and result.high is not None:
            assert first.low is not None and first.high is not None
            down = -(((result.value - result.low) ** 2 + (first.high - first.value) ** 2) ** 0.5)
            up = ((result.high - result.value) ** 2 + (first.value - first.low) ** 2) ** 0.5
            differences.append(_difference(told, value, ((down, up), (down, up)), found, at))
        else:
            differences.append(_plain_difference(told, value, result.sure, found, at))
    return Line(told, "what one bed takes", results, tuple(differences))


def _taken(key: str, beside: Beside) -> Result:
    bill = beside.bill
    if key == "mass":
        return Result(bill.mass, bill.mass_low, bill.mass_high, MADE)
    if key == "springs":
        count = float(beside.bed.spring_count + beside.bed.mini_count)
        return Result(count, count, count, EXACT)
    if key == "cost":
        sheet = beside.sheet
        value = float(to_major(sheet.total, sheet.currency))
        return Result(value, None, None, NONE if sheet.complete else f"at least: {sheet.says}")
    value = {"steel": bill.steel_mass, "carbon": bill.carbon, "minutes": bill.minutes}[key]
    unknown = {"steel": bill.steel_unknown, "carbon": bill.carbon_unknown}.get(key, ())
    return Result(value, None, None, NONE if not unknown else f"at least: not known of {', '.join(unknown)}")


def _difference(
    told: Told,
    value: float,
    spreads: tuple[tuple[float, float], tuple[float, float]],
    found: Sequence[Beside],
    at: int,
) -> Difference:
    (down, up), apart = spreads
    low, high = value + down, value + up
    inside = low <= 0 <= high
    name, first = found[at].bed.bed.code, found[0].bed.bed.code
    half = min((side for side in (-down, up) if side > 0), default=0.0) / FINER
    ends = f"{_signed(low, half)} to {_signed(high, half)} {told.unit}".strip()
    if inside:
        says, brief = f"{name} and {first} are not told apart ({ends})", f"{name} is not told apart ({ends})"
    else:
        size = f"{show(abs(value), 3, interval=half)} {told.unit}".strip()
        way = told.more if value > 0 else told.less
        says, brief = f"{name} {way} than {first}, by {size} ({ends})", f"{name} {way} by {size} ({ends})"
        if value + apart[0] <= 0 <= value + apart[1]:
            says += "; it shows only because both share what moves them"
            brief += STAR
    return Difference(value, low, high, apart, inside, says, brief)


def _plain_difference(told: Told, value: float, sure: str, found: Sequence[Beside], at: int) -> Difference:
    name, first = found[at].bed.bed.code, found[0].bed.bed.code
    exact, alike = sure == EXACT, abs(value) < SIGNIFICANT
    if alike:
        says, brief = f"{name} and {first} are alike", f"{name} is alike"
    else:
        size = f"{show(abs(value), 4)} {told.unit}".strip()
        way = told.more if value > 0 else told.less
        says, brief = f"{name} {way} than {first}, by {size}", f"{name} {way} by {size}"
    end = value if exact else None
    return Difference(value, end, end, None, alike if exact else None, says, brief)


def _signed(value: float, half: float) -> str:
    text = show(abs(value), 3, interval=half)
    return text if text == "0" else ("+" if value > 0 else "−") + text


def _shared(found: Sequence[Beside]) -> tuple[str, ...]:
    told = []
    for at in range(1, len(found)):
        first = {move.key for move in found[0].moves}
        both = dict.fromkeys(move.name for move in found[at].moves if move.key in first)
        name, of = found[at].bed.bed.code, found[0].bed.bed.code
        told.append(f"{name} and {of} share: {', '.join(both)}" if both else f"{name} and {of} share no open figure")
    return tuple(told)


def _notes(found: Sequence[Beside]) -> tuple[str, ...]:
    notes = [
        "an open figure that two beds share moves both at once, so that it falls out of their difference as far as it "
        "moves them alike; others move each by itself and add as squares",
        "not told apart: nought lies inside the interval of the difference, so that it may go either way",
        "steel, carbon, cost and labour are sums of the cards; how sure they are is not reckoned",
        "predicted, not measured: press samples of both before a difference is promised",
    ]
    if any(beside.curve.closes for beside in found):
        closing = ", ".join(beside.bed.bed.code for beside in found if beside.curve.closes)
        notes.insert(0, f"coils of {closing} close before H is read: its H proves nothing")
    return tuple(notes)
