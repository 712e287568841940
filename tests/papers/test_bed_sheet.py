"""The bed sheet read back: every sum, every caution, what is not known."""

from __future__ import annotations

import numpy as np
import pypdfium2
import pytest

from bedwright.design.bed_at_size import BedAtSize
from bedwright.design.fit import fit
from bedwright.errors import Fault
from bedwright.marks.composite import composite_text
from bedwright.marks.evidence import JudgedClaim
from bedwright.mechanics.bed_section import Section
from bedwright.mechanics.card_ties import bed_settling
from bedwright.mechanics.coil import coil_answer, graded_coil
from bedwright.mechanics.coil_force import force_curve
from bedwright.mechanics.hardness import Hardness
from bedwright.mechanics.intervals import Move
from bedwright.mechanics.pad_test import Curve, Heights, centre
from bedwright.mechanics.settling import FillingSet, LossPart, settling
from bedwright.papers.bed_sheet import CoilShown, bed_sheet, sheet_keys
from bedwright.papers.cautions import CAUTIONS, CERTIFIES_NOTHING
from bedwright.papers.letters import letters

STILL = LossPart("still", 0.0, 0.0, "measured")
BEDS = [("SNIPE", "150"), ("KNOT", "135"), ("RUFF", "90")]


def pad_of(bed: BedAtSize, by: float = 1.0) -> Curve:
    """A pad test as mechanics would give it, made up so that its figures are round; by: on every force."""
    x = np.linspace(0.0, bed.width, 31)
    tops = [bed.reckoned_height, 0.8 * bed.reckoned_height, 0.0]
    flat = np.array([np.full_like(x, top) for top in tops])
    depth, force = np.linspace(0.0, 60.0, 13), by * np.linspace(0.0, 480.0, 13)
    high = bed.reckoned_height
    return Curve(
        depth=depth, force=force, depth_back=depth[::-1], force_back=0.9 * force[::-1], force_low=0.9 * force,
        force_high=1.1 * force, hardness=Hardness(8.0 * by, 8.0 * by, (26.25, 34.375, 42.5)),
        low=7.2 * by, high=8.8 * by, secant_low=7.0 * by, secant_high=9.1 * by,
        moves=(
            Move("live turns", 0.61, 0.5, -0.6, 0.61, -0.5, 0.5),
            Move("wire diameter", 0.4, 0.3, -0.4, 0.4, -0.3, 0.3),
        ),
        heights=Heights(high, high, high - 42.5, 340.0), height_half=2.0,
        section=Section(x, ("upper face", "under the panel", "base"), flat, flat, 0.8 * flat, 340.0, 0.8 * high),
        residual=4e-7, newton=60, nodes=900, closing_from=700.0, solid_from=900.0, greatest_compression=50.0,
        spot=centre(bed), base="solid", model="interface fields 1", notes=("the base is solid",), last_force=340.0,
    )  # fmt: skip


@pytest.fixture(scope="module")
def sheets(issue, bed_of, bill_of, read):  # type: ignore[no-untyped-def]
    found = {}
    for bed, size in BEDS:
        one = bed_of(bed, size)
        found[bed] = (one, bill_of(one), read(bed_sheet(issue, one, bill_of(one), pad_of(one)).data))
    return found


@pytest.mark.parametrize("bed", [bed for bed, _ in BEDS])
class TestEveryBed:
    def test_size_chain_and_take_off_are_there_row_by_row(self, sheets, bed) -> None:  # type: ignore[no-untyped-def]
        one, bill, sheet = sheets[bed]
        plain = sheet.text.replace(" ", "")
        for line in one.chain:
            assert line.what.replace(" ", "") in plain
            assert line.how.replace(" ", "") in plain
        for row in bill.rows:
            assert row.how.replace(" ", "") in plain
        for step in bill.operations:
            assert step.how.replace(" ", "") in plain

    def test_cautions_are_read_back(self, sheets, bed) -> None:  # type: ignore[no-untyped-def]
        one, bill, sheet = sheets[bed]
        keys = sheet_keys(one, bill)
        assert {"film", "fire", "infants", "detector"} <= set(keys)
        for key in keys:
            assert f"{CAUTIONS[key].word}. {CAUTIONS[key].says}" in sheet.text
        assert CERTIFIES_NOTHING in sheet.text

    def test_pages_are_a4_and_few(self, sheets, bed) -> None:  # type: ignore[no-untyped-def]
        sheet = sheets[bed][2]
        assert 3 <= sheet.pages <= 6
        assert all(size == pytest.approx((595.3, 841.9), abs=0.5) for size in sheet.sizes)

    def test_every_sign_has_a_letter(self, sheets, bed) -> None:  # type: ignore[no-untyped-def]
        missing = {sign for sign in sheets[bed][2].text if sign != " " and not letters().has(sign)}
        assert missing == set()

    def test_it_says_draft_revision_day_and_page(self, sheets, bed) -> None:  # type: ignore[no-untyped-def]
        sheet = sheets[bed][2]
        assert "DRAFT: not released" in sheet.text
        assert "revision 1" in sheet.text
        assert "As of Mon 2 Mar 2026" in sheet.text
        assert f"page 1 of {sheet.pages}" in sheet.text


def test_the_wired_and_the_rolled_bed_carry_their_own_cautions(sheets) -> None:  # type: ignore[no-untyped-def]
    snipe, knot, ruff = (sheet_keys(one, bill) for one, bill, _ in sheets.values())
    assert {"wire", "oven", "lift"} <= set(snipe)
    assert {"rolled", "recovery", "hot melt"} <= set(knot)
    assert {"bale", "recovery"} <= set(ruff)
    assert "rolled" not in snipe


def test_hardness_is_printed_with_its_interval_and_how_sure(sheets) -> None:  # type: ignore[no-untyped-def]
    text = sheets["SNIPE"][2].text
    assert "8.0 (7.2 to 8.8) N/mm as tangent and 8.0 (7.0 to 9.1) N/mm as secant" in text
    assert "Left unbalanced: 0.00004 % of the force at most" in text
    assert "the main coil is solid from 900 N" in text


def pictures(raw: bytes) -> list[int]:
    """How many marks each page holds: drawings are marks, not pictures, on these sheets."""
    return [len(list(page.get_objects(max_depth=8))) for page in pypdfium2.PdfDocument(raw)]


def test_drawings_of_the_pad_test_have_a_page_of_their_own(issue, bed_of, bill_of, read) -> None:  # type: ignore[no-untyped-def]
    one = bed_of("SNIPE", "150")
    without = read(bed_sheet(issue, one, bill_of(one), "not known").data)
    with_it = read(bed_sheet(issue, one, bill_of(one), pad_of(one)).data)
    assert with_it.pages == without.pages + 1
    assert "Pad test, predicted" in with_it.text
    assert pictures(with_it.raw)[1] > 150, "curve, list and section"


def test_coils_and_the_edge_are_drawn_where_they_are_given(issue, bed_of, bill_of, read) -> None:  # type: ignore[no-untyped-def]
    one = bed_of("SNIPE", "150")
    shape = graded_coil(
        "cylinder", end_diameter=58.0, middle_diameter=None, live_turns=5.0, free_height=190.0, wire_diameter=1.9,
        grade="SM",
    )  # fmt: skip
    coil = CoilShown("P19", "right", coil_answer(shape, "SM"), force_curve(shape))
    edge = [(0.0, pad_of(one, 0.5)), (200.0, pad_of(one, 0.9))]
    plain = bed_sheet(issue, one, bill_of(one), pad_of(one))
    drawn = bed_sheet(issue, one, bill_of(one), pad_of(one), edge=edge, coils=[coil])
    assert sum(pictures(drawn.data)) > sum(pictures(plain.data)) + 100
    assert read(drawn.data).pages <= 7
    only_known = bed_sheet(issue, one, bill_of(one), "not known", edge=edge)
    assert sum(pictures(only_known.data)) < sum(pictures(plain.data)), "an edge is nothing without its centre"


def test_what_is_not_known_is_said(issue, bed_of, bill_of, read) -> None:  # type: ignore[no-untyped-def]
    one = bed_of("RUFF", "90")
    sheet = read(bed_sheet(issue, one, bill_of(one), "filling FELT has no figure; ask the supplier").data)
    assert "Not known: filling FELT has no figure; ask the supplier" in sheet.text
    assert "not known: BALE" in sheet.text, "the steel of a bought unit is its supplier's"


def test_settling_is_printed_with_what_is_not_known(issue, bed_of, bill_of, read) -> None:  # type: ignore[no-untyped-def]
    one = bed_of("SNIPE", "150")
    says = "Settling in the middle, no promise of years: {}"
    open_, known = bed_settling(one), settling((FillingSet("foam", 40.0, 2.0, 5.0),), STILL, STILL)
    assert open_.high is None and known.told == "0.8 to 2 mm"
    for pad in (pad_of(one), "filling FELT has no figure"):
        for found in (open_, known):
            text = read(bed_sheet(issue, one, bill_of(one), pad, settling=found).data).text
            assert says.format(found.told) in text
        assert "Settling" not in read(bed_sheet(issue, one, bill_of(one), pad).data).text
    assert "not known: fillings" in open_.told


def test_faults_and_refused_claims_are_in_words(issue, small_works, bed_of, bill_of, read) -> None:  # type: ignore[no-untyped-def]
    one = bed_of("KNOT", "135")
    faults = [*fit(small_works, one), Fault("stands 4 mm over its mark", "lower it", card="bed KNOT")]
    claims = [JudgedClaim("fire", "BS 7177 low hazard", False, "no fire report names this bed", "")]
    sheet = read(bed_sheet(issue, one, bill_of(one), pad_of(one), faults, claims).data)
    assert "bed KNOT: stands 4 mm over its mark; lower it" in sheet.text
    assert "Refused: BS 7177 low hazard. no fire report names this bed" in sheet.text


def test_same_bytes_twice(issue, bed_of, bill_of) -> None:  # type: ignore[no-untyped-def]
    one = bed_of("SNIPE", "150")
    first, second = (bed_sheet(issue, one, bill_of(one), pad_of(one)) for _ in range(2))
    assert first.data == second.data
    assert first.name == "bed-sheet_snipe_150.pdf"


def test_a_name_cannot_write_the_sheet(issue, bed_of, bill_of, named, read) -> None:  # type: ignore[no-untyped-def]
    one = named(bed_of("RUFF", "90"), '#panic() *R* <u> & "ff" \U0001f6cf')
    paper = bed_sheet(issue, one, bill_of(one), pad_of(one))
    assert paper.written_out == ("U+1F6CF",)
    assert '#panic() *R* <u> & "ff" [U+1F6CF]' in read(paper.data).text


def test_the_composite_is_printed_in_the_words_that_a_report_must_hold(sheets) -> None:  # type: ignore[no-untyped-def]
    for one, _, sheet in sheets.values():
        assert "Composite, in the words a report’s card must hold" in sheet.text
        plain = sheet.text.replace(" ", "").replace("-", "")
        assert composite_text(one).replace(" ", "").replace("-", "") in plain
