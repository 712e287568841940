"""Coils pressed to the roller's 1400 N: the stress range is that of where they go, and whose contact is said."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from bedwright.design.bed_at_size import BedAtSize
from bedwright.design.buildup import bed_at_size
from bedwright.mechanics.bed_model import bed_model
from bedwright.mechanics.coil_life import life_check
from bedwright.mechanics.pad import Protocol
from bedwright.mechanics.pad_test import centre, pad_test
from bedwright.mechanics.roller_life import NO_ROLLER, RollerLife, roller_life
from bedwright.works.workbook.csv_folder import read_csv_folder

ROOT = Path(__file__).resolve().parents[2]


@lru_cache
def at_size(bed: str) -> BedAtSize:
    demo = read_csv_folder(ROOT / "demo")
    return bed_at_size(demo, demo.beds[bed], demo.sizes["150x200"])


@lru_cache
def found(bed: str) -> RollerLife:
    return roller_life(at_size(bed), centre(at_size(bed)))


def test_the_way_is_that_of_a_pad_test_pressed_on_to_the_same_force() -> None:
    # a pad test ends at its first state beyond the force, so its coils go a little farther
    bed = at_size("WHIMBREL")
    curve = pad_test(bed, protocol=Protocol(greatest_force=1400.0), tolerance=1e-5)
    life = found("WHIMBREL")
    assert life.force == 1400 <= curve.force[-1]
    past = (curve.force[-1] - 1400) / curve.force[-1]
    assert (1 - 2 * past - 1e-3) * curve.greatest_compression <= life.coils[0].greatest
    assert life.coils[0].greatest <= curve.greatest_compression + 1e-6
    assert life.residual <= 1e-5


def test_a_coil_goes_from_how_the_bed_holds_it_to_how_the_force_presses_it() -> None:
    tufted, pocketed = found("WHIMBREL").coils[0], found("PLOVER").coils[0]
    assert tufted.held == 0 and 1 < tufted.least < tufted.greatest  # tufts press it before anybody does
    group = next(one for one in at_size("PLOVER").unit.groups if one.coil.code == pocketed.code)
    height = at_size("PLOVER").unit.card.pocket_height
    assert height is not None
    heat = pocketed.held - (group.coil.free_height + group.wire.diameter - height)
    assert abs(heat) < 5  # the free height after heat, not that of the card
    assert pocketed.check.cycle.low > 0


def test_the_check_is_the_coils_own_between_the_two_ways() -> None:
    coil = found("PLOVER").coils[0]
    kind = bed_model(at_size("PLOVER")).main.kinds[0]
    grade = at_size("PLOVER").unit.groups[0].wire.grade
    again = life_check(kind.live, grade, coil.held + coil.least, coil.held + coil.greatest)
    assert (again.cycle, again.goodman, again.gerber) == (coil.check.cycle, coil.check.goodman, coil.check.gerber)


def test_solid_coils_and_the_pads_contact_are_said() -> None:
    avocet = found("AVOCET")
    assert avocet.coils[0].solid and any("pressed solid" in note for note in avocet.notes)
    assert not found("WHIMBREL").coils[0].solid
    assert NO_ROLLER in avocet.notes and "not the roller's" in NO_ROLLER
    assert "no promise of years" in avocet.coils[0].check.notes[-1]


def test_every_kind_of_coil_is_reckoned_or_said_to_stand_elsewhere() -> None:
    for bed in ("WHIMBREL", "PLOVER", "DUNLIN", "AVOCET"):
        codes = {group.coil.code for group in at_size(bed).unit.groups}
        assert {*(coil.code for coil in found(bed).coils), *found(bed).away} == codes
