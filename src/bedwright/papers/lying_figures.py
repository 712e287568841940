"""Persons lying as rows and sentences: every figure with its unit, the same on the sheet and for who reads a screen."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bedwright.design.bed_at_size import BedAtSize
from bedwright.mechanics.lain import PARTS, SHOWN_ABOVE, THRESHOLD, Lain, Lying
from bedwright.mechanics.lying import Lies, body_of
from bedwright.mechanics.turned import LEVEL, Turned
from bedwright.papers.drawings.body_on_bed import Marks
from bedwright.papers.drawings.pressure_map import posture_words
from bedwright.papers.drawings.two_person_section import roll_words
from bedwright.papers.figures import Figure
from bedwright.typed import show

NO_INTERVAL = (
    "No interval was reckoned: tissue, joints, pillow and what the cards leave open move every figure. Compare beds by "
    "the difference, for the same person, posture, threshold and cell."
)
COMPARISON = "for comparison only, no limit of anything"


@dataclass(frozen=True, slots=True)
class Told:
    """A figure of each person under one word; value: as printed; unit: apart. group: what it stands under; key: of the
    figure whose interval it is, "" for none."""

    group: str
    word: str
    values: tuple[str, ...]
    unit: str
    key: str = ""

    def figures(self) -> list[Figure]:
        """The values for a sheet, those that are not known without a unit."""
        return [
            {"v": value, "u": self.unit if value[:1].isdigit() or value[:1] in "-<" else ""} for value in self.values
        ]


def told(lying: Lying) -> tuple[Told, ...]:
    """All that is told of the persons, in order."""
    who = lying.persons
    touched = f"Pressure over touched cells (more than {THRESHOLD:g} kPa; cells of {show(lying.cell, 3)} mm)"
    share, sink = "Share of the weight", "Sink below the untouched face"
    above = "Share of the touched area above, " + COMPARISON
    rows = [
        Told(touched, "touched area", tuple(f"{one.contact_area:.2f}" for one in who), "m²", "contact_area"),
        Told(touched, "mean", tuple(show(one.mean, 3) for one in who), "kPa", "mean"),
        Told(touched, "P95", tuple(show(one.p95, 3) for one in who), "kPa", "p95"),
        Told(touched, "P99", tuple(show(one.p99, 3) for one in who), "kPa", "p99"),
        *(
            Told(share, part, tuple(f"{100 * one.share[part]:.0f}" for one in who), "%", f"share_{part}")
            for part in PARTS
        ),
        *(
            Told(sink, part, tuple(millimetres(one.sink.get(part)) for one in who), "mm", f"sink_{part}")
            for part in _parts(who)
        ),
        Told(
            "Spine", "angle, head higher positive", tuple(_zero(one.spine.angle, 1) for one in who), "°", "spine_angle",
        ),
        Told(
            "Spine", "largest departure from its line", tuple(millimetres(one.spine.departure) for one in who), "mm",
            "spine_departure",
        ),
        Told("Spine", "roll, to the right positive", tuple(_zero(one.roll, 1) for one in who), "°", "roll"),
        Told(
            "Back", "small of it over blades to buttocks", tuple(_supine(one.lumbar_gap) for one in who), "mm",
            "lumbar_gap",
        ),
        Told("Back", "largest gap under the small of it", tuple(_supine(one.clearance) for one in who), "mm"),
    ]  # fmt: skip
    for index, limit in enumerate(SHOWN_ABOVE):
        kpa = limit * 0.133322
        word = f"{limit:g} mmHg ({kpa:.1f} kPa)"
        rows.append(Told(above, word, tuple(f"{100 * one.above[index]:.0f}" for one in who), "%"))
    rows += [
        Told("Out of balance", "force, of the weight", tuple(_share(one.force_error) for one in who), "%"),
        Told("Out of balance", "moment, of weight × stature", tuple(_share(one.moment_error) for one in who), "%"),
    ]
    return tuple(rows)


def marks_of(lies: Sequence[Lies], bed: BedAtSize) -> tuple[Marks, ...]:
    """Where the parts of persons lie along a bed, and their standing spines, for the drawings."""
    found = []
    for one in lies:
        body = body_of(one, bed.length)
        spine = sorted(body.spine, key=lambda point: -point[1])
        found.append(Marks({name: y for name, _, y, *_ in body.marks}, tuple(point[-1] for point in spine)))
    return tuple(found)


def turning_words(moved: Turned) -> str:
    """One sentence on what the turning of one does to the other."""
    to = "onto the side" if moved.now == "side" else f"to {posture_words(moved.now)}"
    parts = [
        f"{part} {abs(by):.0f} mm {'deeper' if by > 0 else 'higher'}"
        for part, by in moved.sink.items()
        if abs(by) >= LEVEL
    ]
    sinks = f" and moves: {', '.join(parts)}" if parts else f", and no part of it moves by {LEVEL:g} mm"
    roll = "does not roll" if abs(moved.roll) < 0.05 else roll_words(moved.roll)
    return (
        f"When {moved.turning} turns {to}, {moved.still} {roll}{sinks}; "
        f"P99 {_signed(moved.p99)} kPa, spine {_signed(moved.spine, 1)}°."
    )


def millimetres(value: float | None) -> str:
    """A length to whole millimetres; "not told" where there is none."""
    return "not told" if value is None else _zero(value, 0)


def who_lies(lying: Lying) -> list[str]:
    """Each person with number and posture."""
    many = len(lying.persons) > 1
    return [
        f"{f'{index}: ' if many else ''}{one.called}, {posture_words(one.posture)}"
        for index, one in enumerate(lying.persons, 1)
    ]


def _parts(who: Sequence[Lain]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(part for one in who for part in one.sink))


def _supine(value: float | None) -> str:
    return "only supine" if value is None else millimetres(value)


def _share(value: float) -> str:
    return "<0.0001" if abs(value) < 1e-6 else f"{float(f'{100 * abs(value):.1g}'):g}"


def _zero(value: float, places: int) -> str:
    """A figure with its places, never "-0"."""
    text = f"{value:.{places}f}"
    return text.lstrip("-") if float(text) == 0 else text


def _signed(value: float, places: int = 2) -> str:
    text = f"{value:+.{places}f}"
    return f"±{text[1:]}" if float(text) == 0 else text
