"""Sinks by string and ruler: what is read, how far off they may be, and what they teach."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bedwright.design.bed_at_size import BedAtSize
from bedwright.design.buildup import bed_at_size
from bedwright.errors import FaultsFound, NotReadable, NotUnderstood
from bedwright.mechanics.base import SOLID
from bedwright.mechanics.bed_model import bed_model
from bedwright.mechanics.learn import learn
from bedwright.mechanics.learn_csv import cells_in
from bedwright.mechanics.learn_figures import figures
from bedwright.mechanics.learn_strings import PARTS, StringReadings, body_scatter, ruler, sink_noise, strings, together
from bedwright.mechanics.learn_sunk import SunkPress
from bedwright.mechanics.lying import Lies
from bedwright.mechanics.person import Person, person
from bedwright.works.workbook.csv_folder import read_csv_folder

ROOT = Path(__file__).resolve().parents[2]
MAN = person("man 1755 mm 80 kg")
COARSE, LOOSE = 0.5, 1e-5


@lru_cache
def bed() -> BedAtSize:
    works = read_csv_folder(ROOT / "demo")
    return bed_at_size(works, works.beds["AVOCET"], works.sizes["150x200"])


@lru_cache
def press() -> SunkPress:
    model = bed_model(bed())
    return SunkPress(bed(), model, figures(model, bed().tolerances, SOLID), Lies(MAN, "side"), PARTS, SOLID)


def test_rows_are_read_in_any_order_of_columns() -> None:
    found = strings(
        cells_in("hip;posture;person;shoulder\n55,5;side;man 1755 mm 80 kg;90\n60;supine;woman 163 cm 62 kg;\n")
    )
    assert found[0].sink == (("shoulder", 90.0), ("hip", 55.5)) and found[0].lies.posture == "side"
    assert found[1].sink == (("hip", 60.0),) and found[1].lies.person.sex == "woman"


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "nothing is in the file"),
        ("person;shoulder\nman 1755 mm 80 kg;3", "the heading lacks posture"),
        ("person;posture\nman 1755 mm 80 kg;side", "the heading lacks shoulder, waist or hip"),
        ("person;posture;hip", "no row below the heading"),
        ("person;posture;hip\nman 1755 mm 80 kg;prone;50", "row 2 names no posture"),
        ("person;posture;hip\nman 1755 mm 80 kg;side;deep", "row 2, hip: cannot be read"),
        ("person;posture;hip\nman 1755 mm 80 kg;side;900", "hip sinks 900 mm"),
        ("person;posture;hip\nman 1755 mm 80 kg;side;", "row 2 has no sink"),
        ("person;posture;hip\nboy 1200 mm 30 kg;side;50", "row 2, person: "),
        ("person;posture;hip\n" + "man 1755 mm 80 kg;side;50\n" * 13, "13 rows"),
    ],
)
def test_what_is_not_right_is_named(text: str, says: str) -> None:
    with pytest.raises(FaultsFound, match=says):
        strings(cells_in(text))


@given(st.text(max_size=150))
def test_any_text_is_read_or_refused_in_words(text: str) -> None:
    try:
        assert strings(cells_in("person;posture;hip\n" + text))
    except (FaultsFound, NotReadable) as error:
        assert str(error)


def test_own_breadths_make_a_body_surer() -> None:
    known = Person("man", 1755.0, 80.0, own={"hip_breadth": 360.0})
    plain, own = (body_scatter(Lies(one, "side"), PARTS) for one in (MAN, known))
    assert plain[0] == pytest.approx(MAN.scatter("bideltoid_breadth") / 2)  # book ansur-2
    assert own[2] == 0.0 < plain[2] and own[0] == plain[0]
    off = sink_noise(StringReadings(Lies(known, "side"), (("hip", 50.0),)), ((3.0,),), 4.0)
    assert off.spread(np.zeros(1), np.zeros(1))[0, 0] == pytest.approx(4**2 + 4**2 + 3**2) and off.how == "as given"


def test_repeats_of_one_body_are_one_reading_of_it() -> None:
    rows = strings(
        cells_in(
            "person;posture;shoulder;hip\nman 1755 mm 80 kg;side;90;50\nman 1755 mm 80 kg;side;96;56\n"
            "man 1755 mm 80 kg;supine;40;70\nman 1755 mm 81 kg;side;90;50\n"
        )
    )
    found = together(rows)
    assert [one.times for one in found] == [2, 1, 1]
    assert found[0].sink == (("shoulder", 93.0), ("hip", 53.0))
    ruler_mm = [sink_noise(one, (), 4.0).ruler for one in found[:2]]
    assert ruler_mm == pytest.approx([4 / 2**0.5, 4.0])
    bodies = [sink_noise(one).body for one in (found[0], rows[0])]
    assert bodies[0] == bodies[1]  # however often it is read, it stays the body that it is


def test_a_ruler_as_typed() -> None:
    assert ruler("3") == 3.0 and ruler("0.5 cm") == 5.0
    for wrong in ("0", "-1", "long", "80 mm"):
        with pytest.raises(NotUnderstood):
            ruler(wrong)


def test_what_a_tension_does_is_what_lying_anew_says() -> None:
    one = press()
    names = [figure.name for figure in one.figures]
    z = np.zeros(len(names))
    k = names.index("panel tension")
    seen = one.seen(z)
    up, down = (one.seen(z + sign * 0.4 * np.eye(len(z))[k], seen, by=False).sink for sign in (1, -1))
    assert seen.by[:, k] == pytest.approx((up - down) / 0.8, rel=0.25)
    assert np.all(seen.by[:, k] < -3)  # a tenser panel holds everything up
    (tissue, shoulder) = one.unsure()
    assert len(tissue) == 3 and abs(shoulder[0]) > abs(shoulder[2])  # the shoulder's place moves the shoulder most


def test_sinks_teach_a_tension_and_alone_propose_nothing() -> None:
    one = press()
    k = [figure.name for figure in one.figures].index("panel tension")
    truth = np.zeros(len(one.figures))
    truth[k] = -1.2
    sink = one.seen(truth, by=False).sink
    readings = StringReadings(Lies(MAN, "side"), tuple(zip(PARTS, sink.tolist(), strict=True)), MAN.called)
    found = learn(bed(), strings=[readings], ruler=1.0, fineness=COARSE, tolerance=LOOSE)
    tension = found.figures[k]
    assert tension.after.low <= one.figures[k].value(-1.2) <= tension.after.high
    assert tension.left < 0.8 and tension.after.value < tension.before.value
    assert found.proposals == () and any("alone propose nothing" in note for note in found.notes)
    (sunk,) = found.sinks
    assert sunk.parts == PARTS and sunk.measured == pytest.approx(sink.tolist())
    apart = [
        sum(abs(a - b) for a, b in zip(values, sunk.measured, strict=True)) for values in (sunk.before, sunk.after)
    ]
    assert apart[1] < apart[0]
    with pytest.raises(FaultsFound, match="no test to learn from"):
        learn(bed())
