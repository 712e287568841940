"""Ten plain changes, ten right directions: what an old hand knows of gauges, counts, pads, tufts and edges.

On an open-coil (HERON), a pocket (PLOVER), a mini-spring (DUNLIN) and a tufted bed (WHIMBREL) of the demo, with every
tie as measured: tension 100 N/m, lacing 0.5, rings 0.2, glue 0.05 N/mm. H as tangent (secant); the directions are
common practice, no source; the sizes are what this model says [%], beside those of another model of other beds (a trial
that no measurement stands behind either: its ratios are rough ones).

| change                                   | open        | pocket      | mini         | that trial       |
|---|---|---|---|---|
| wire +0.025 mm                           | +1.8 (1.4)  | +2.7 (0.9)  | +3.9 (1.0)   | 1.3 to 4.6       |
| wire +0.1 mm                             | +7.0 (5.2)  | +10 (2.6)   | +16 (3.3)    |                  |
| 10 % more coils                          | +3.0 (2.2)  | +4.8 (1.7)  | +6.8 (1.8)   | 2.4 to 5.3       |
| half a live turn less                    | +4.5 (3.6)  | +3.8 (1.2)  | +5.6 (1.4)   | 3.2 to 5         |
| pad thicker: cotton +6, soft foam +10 mm | -4.5 (-4.0) | -6.7 (-4.2) | -5.8 (-2.1)  |                  |
| panel tension 100 to 300 N/m             | +14 (16)    | +46 (26)    | +32 (21)     | +21 to +44       |
| lacing five times, glue three times      | +59 (32)    | +10 (5)     |              | +38; x5: +10     |
| border 0 to 2 N/mm per m, 50 mm in       | +10 (14)    | +19 (20)    | +17 (18)     |                  |
| rod on, 200 mm in                        | +2.4 (2.6)  | +8.5 (5.8)  | +6.6 (1.8)   | +2 to +11        |
| solid base to slats 65 / 55 mm           | -4.6 (-5.0) | -8.2 (-10)  | -10 (-8.7)   |                  |
| slats 55 to 85 mm apart                  | -2.5 (-2.0) | -2.7 (-4.0) | -3.0 (-3.0)  |                  |
| slats 65 to 45 mm wide, as many          | -1.3 (-1.1) | -1.1 (-2.5) | -2.7 (-2.1)  |                  |

Tufts 10 mm tighter: +3.0 (1.0). Rails of foam in place of nothing, 50 mm in (TEAL): +60 (40). A pocket bed with firm
foam on face B: +7.6 (3.5) when it is turned. 200 mm from the long side H is 0.90 to 0.95 of the middle's (that trial:
0.73 to 1.23, with more ties than one), at the rim itself 0.55 to 0.66: half the pad hangs off the bed.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

import pytest

from bedwright.design.buildup import bed_at_size
from bedwright.mechanics.base import base
from bedwright.mechanics.bed_field import bed_field, layout, place
from bedwright.mechanics.bed_model import bed_model
from bedwright.mechanics.hardness import Hardness, hardness
from bedwright.mechanics.pad import Protocol, Spot
from bedwright.mechanics.pad_path import press
from bedwright.works.card import Card
from bedwright.works.workbook.csv_folder import read_csv_folder
from bedwright.works.works import Works

ROOT = Path(__file__).resolve().parents[2]
OPEN, POCKET, MINI, TUFTED, RAILED = "HERON", "PLOVER", "DUNLIN", "WHIMBREL", "TEAL"
LOOSE = 1e-4  # of the force: far below any change looked for
CENTRE = (750.0, 1000.0)

FIFTY, TWO_HUNDRED = (50.0, 1000.0), (200.0, 1000.0)
Changed = Callable[[Works], Works]
Band = tuple[float, float]


def changed(works: Works, card: Card, **fields: Any) -> Works:
    values = {name: getattr(card, name) for name in type(card).model_fields}
    new = type(card).make(**{**values, **fields})
    return Works.of(works.about, [new if old is card else old for old in works.all_cards()])


@lru_cache
def plain_works() -> Works:
    """The demo with every tie measured, so that a change is one change: tension 100 N/m, lacing, rings, glue."""
    works = read_csv_folder(ROOT / "demo")
    for bed in (OPEN, POCKET, MINI, TUFTED, RAILED):
        works = changed(works, works.beds[bed], panel_tension=100.0, panel_fullness=None)
        unit = works.units[works.beds[bed].unit]
        ties = {"glue_tie": 0.05} if unit.construction == "pocket" else {"lacing_tie": 0.5, "ring_bending": 0.2}
        works = changed(works, unit, **ties)
        border = works.borders[works.beds[bed].border]
        works = changed(works, border, standing_stiffness=0.0, side_stitch_pull=None)
    return works


def pressed(works: Works, bed: str, spot: tuple[float, float], on: str = "solid", face: str = "A") -> Hardness:
    made = bed_at_size(works, works.beds[bed], works.sizes["150x200"])
    model, protocol, lies_on = bed_model(made, face), Protocol(), base(on)
    where = layout(model, Spot(*spot, face), protocol)
    one = bed_field(model, place(model, where, lies_on))
    path = press(one, 1.2 * protocol.slope_forces[-1], protocol.slope_forces, LOOSE, back=False)
    return hardness(path.depth, path.force, protocol.slope_forces, smooth=True)


@lru_cache
def unchanged(bed: str, spot: tuple[float, float], on: str = "solid") -> Hardness:
    return pressed(plain_works(), bed, spot, on)


@dataclass(frozen=True)
class Change:
    """One change of one bed; bands of what it does to H, tangent and secant [%], at a spot on a base."""

    says: str
    bed: str
    how: Changed
    tangent: Band
    secant: Band
    spot: tuple[float, float] = CENTRE
    on: str = "solid"
    then_on: str = "solid"

    def __str__(self) -> str:
        return f"{self.bed} {self.says}"


def card_of(works: Works, bed: str, kind: str) -> Card:
    found = works.beds[bed]
    unit = works.units[found.unit]
    coil = works.coils[unit.coil]
    return {"unit": unit, "coil": coil, "wire": works.wires[coil.wire], "bed": found,
            "border": works.borders[found.border]}[kind]  # fmt: skip


def with_field(bed: str, kind: str, **change: Any) -> Changed:
    """A change of a card: a value, or a function of the old value."""

    def how(works: Works) -> Works:
        card = card_of(works, bed, kind)
        values = {name: value(getattr(card, name)) if callable(value) else value for name, value in change.items()}
        return changed(works, card, **values)

    return how


def thicker(code: str, by: float) -> Changed:
    return lambda works: changed(works, works.fillings[code], thickness=works.fillings[code].thickness + by)


def by_factor(factor: float) -> Callable[[float], float]:
    return lambda old: old * factor


def plus(step: float) -> Callable[[float], float]:
    return lambda old: old + step


def same(works: Works) -> Works:
    return works


def layers(bed: str, face: str, position: int, part: str) -> Changed:
    """One layer of a bed made of another filling."""

    def how(works: Works) -> Works:
        found = [
            row.model_copy(update={"part": part}) if (row.face, row.position) == (face, position) else row
            for row in works.beds[bed].layers
        ]
        return changed(works, works.beds[bed], layers=tuple(found))

    return how


def finer(bed: str) -> Changed:
    """A tenth more coils: rows closer together; in nested rows the one pitch they have."""
    if bed == OPEN:
        return with_field(bed, "unit", pitch_along=by_factor(1 / 1.1))
    return with_field(bed, "unit", pitch_across=by_factor(1.1**-0.5), pitch_along=by_factor(1.1**-0.5))


def for_each(
    says: str, how: Callable[[str], Changed], bands: dict[str, tuple[Band, Band]], **more: Any
) -> list[Change]:
    return [Change(says, bed, how(bed), *band, **more) for bed, band in bands.items()]


def slats(gap: float, width: float = 65) -> str:
    return f"slats {width:g} mm gap {gap:g} mm bend 12 N/mm"


CHANGES = [
    *for_each("wire 0.025 mm thicker", lambda bed: with_field(bed, "wire", diameter=plus(0.025)),
              {OPEN: ((1.0, 3.0), (0.8, 2.5)), POCKET: ((1.5, 4.5), (0.3, 3.0)), MINI: ((2.0, 5.5), (0.3, 3.0))}),
    *for_each("wire 0.1 mm thicker", lambda bed: with_field(bed, "wire", diameter=plus(0.1)),
              {OPEN: ((4, 12), (3, 9)), POCKET: ((6, 18), (1, 12)), MINI: ((8, 22), (1, 12))}),
    *for_each("a tenth more coils", finer,
              {OPEN: ((1.5, 6), (1, 5)), POCKET: ((2, 8), (0.5, 6)), MINI: ((3, 10), (0.5, 6))}),
    *for_each("half a live turn less", lambda bed: with_field(bed, "coil", live_turns=plus(-0.5)),
              {OPEN: ((2, 8), (1.5, 7)), POCKET: ((1.5, 8), (0.4, 6)), MINI: ((2.5, 10), (0.4, 6))}),
    Change("pad thicker", OPEN, thicker("COTTON", 6.0), (-9, -2), (-8, -2)),
    Change("pad thicker", POCKET, thicker("FOAM-SOFT", 10.0), (-12, -3), (-9, -2)),
    Change("pad thicker", MINI, thicker("FOAM-SOFT", 10.0), (-12, -2), (-6, -0.7)),
    *for_each("panel tighter", lambda bed: with_field(bed, "bed", panel_tension=300.0),
              {OPEN: ((8, 45), (8, 30)), POCKET: ((25, 65), (15, 40)), MINI: ((18, 50), (12, 35))}),
    Change("lacing tighter", OPEN, with_field(OPEN, "unit", lacing_tie=2.5), (30, 80), (20, 45)),
    Change("more glue", POCKET, with_field(POCKET, "unit", glue_tie=0.15), (4, 18), (2, 10)),
    Change("tufts tighter", TUFTED, with_field(TUFTED, "bed", tufted_height=plus(-10.0)), (0.7, 12), (0.3, 10)),
    *for_each("border stands higher", lambda bed: with_field(bed, "border", standing_stiffness=2.0),
              {OPEN: ((4, 25), (5, 30)), POCKET: ((8, 40), (8, 40)), MINI: ((7, 35), (7, 35))}, spot=FIFTY),
    *for_each("border stands higher, felt in the middle", lambda bed: with_field(bed, "border", standing_stiffness=2.0),
              {bed: ((-0.1, 0.1), (-0.1, 0.1)) for bed in (OPEN, POCKET, MINI)}),
    *for_each("rod taken off", lambda bed: with_field(bed, "bed", edge=None),
              {OPEN: ((-6, -1), (-7, -1)), POCKET: ((-14, -3), (-11, -2)), MINI: ((-12, -2), (-6, -0.6))},
              spot=TWO_HUNDRED),
    *for_each("rod taken off, felt in the middle", lambda bed: with_field(bed, "bed", edge=None),
              {bed: ((-0.1, 0.1), (-0.1, 0.1)) for bed in (OPEN, POCKET)}),
    Change("rails taken off", RAILED, with_field(RAILED, "bed", edge=None), (-55, -15), (-45, -12), spot=FIFTY),
    *for_each("slats under it", lambda bed: same,
              {OPEN: ((-10, -2), (-11, -2)), POCKET: ((-16, -3), (-18, -4)), MINI: ((-18, -4), (-16, -4))},
              then_on=slats(55)),
    *for_each("slats wider apart", lambda bed: same,
              {bed: ((-7, -1), (-8, -1)) for bed in (OPEN, POCKET, MINI)}, on=slats(55), then_on=slats(85)),
    *for_each("slats narrower", lambda bed: same,
              {bed: ((-6, -0.4), (-6, -0.4)) for bed in (OPEN, POCKET, MINI)}, on=slats(55), then_on=slats(75, 45)),
]  # fmt: skip


LONG = {"wire 0.1 mm thicker", "panel tighter", "slats narrower", "border stands higher, felt in the middle"}
MARKED = [pytest.param(c, marks=[pytest.mark.full] if c.says in LONG else [], id=str(c)) for c in CHANGES]


@pytest.mark.parametrize("change", MARKED)
def test_a_plain_change_moves_h_the_right_way_and_about_as_far(change: Change) -> None:
    before = unchanged(change.bed, change.spot, change.on)
    then_on = change.then_on if change.then_on != "solid" else change.on
    after = pressed(change.how(plain_works()), change.bed, change.spot, then_on)
    tangent, secant = (100 * (after.tangent / before.tangent - 1), 100 * (after.secant / before.secant - 1))
    assert change.tangent[0] < tangent < change.tangent[1], f"H as tangent {tangent:+.2f} %"
    assert change.secant[0] < secant < change.secant[1], f"H as secant {secant:+.2f} %"


def test_the_firmer_face_reads_firmer_when_the_bed_is_turned() -> None:
    two_faced = layers(POCKET, "B", 2, "FOAM-CONTRACT")(plain_works())
    soft, firm = (pressed(two_faced, POCKET, CENTRE, face=face) for face in "AB")
    assert 1.03 < firm.tangent / soft.tangent < 1.20 and 1.01 < firm.secant / soft.secant < 1.15
    # whatever face is called A: the same bed the other way up reads the same
    turned = layers(POCKET, "A", 2, "FOAM-CONTRACT")(plain_works())
    assert pressed(turned, POCKET, CENTRE, face="B") == soft and pressed(turned, POCKET, CENTRE, face="A") == firm


@pytest.mark.parametrize("bed", [OPEN, POCKET, MINI, TUFTED])
def test_a_bed_grows_softer_towards_its_border(bed: str) -> None:
    middle = unchanged(bed, CENTRE)
    edge = [unchanged(bed, (off, 1000.0)) for off in (0.0, 50.0, 100.0, 200.0)]
    for reading in ("tangent", "secant"):
        shares = [getattr(found, reading) / getattr(middle, reading) for found in edge]
        assert shares == sorted(shares)
        assert 0.4 < shares[0] < 0.75 and 0.73 < shares[-1] < 1.23
