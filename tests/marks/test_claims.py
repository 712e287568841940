"""Claims of the demo beds: any part changed voids a fire claim, its words are the report's, shares are weighed.

The composite rule is BS 7177 practice (bs-7177): evidence covers the exact composite tested.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from bedwright.bill.make import make_bill
from bedwright.design.buildup import bed_at_size
from bedwright.marks.composite import composite, composite_fault, composite_text
from bedwright.marks.evidence import JudgedClaim, judged_claims
from bedwright.marks.label_facts import label_facts
from bedwright.works.beds import Bed, BedClaim
from bedwright.works.card import Card
from bedwright.works.workbook.csv_folder import read_csv_folder
from bedwright.works.works import Works

DEMO = Path(__file__).resolve().parents[2] / "demo"
OTHER = {
    "FOAM-SOFT": "FOAM-CONTRACT", "FOAM-COMFORT": "FOAM-SOFT", "FOAM-CONTRACT": "FOAM-SOFT", "INSULATOR": "FELT",
    "FELT": "COIR", "COIR": "FELT", "COTTON": "WOOL", "WOOL": "COTTON", "WADDING": "WOOL", "BACKING": "WADDING",
    "MINI-37": "FELT", "TICK-KNIT": "TICK-WOVEN", "TICK-WOVEN": "TICK-KNIT", "TICK-DAMASK": "TICK-KNIT",
    "TICK-CONTRACT": "TICK-KNIT", "TAPE-GREY": "TAPE-NAVY", "TAPE-SAND": "TAPE-NAVY", "TAPE-NAVY": "TAPE-GREY",
    "TAPE-IVORY": "TAPE-GREY",
}  # fmt: skip


@pytest.fixture(scope="module")
def demo() -> Works:
    return read_csv_folder(DEMO)


def changed(works: Works, card: Card, **fields: Any) -> Works:
    values = {name: getattr(card, name) for name in type(card).model_fields}
    new = type(card).make(**{**values, **fields})
    return Works.of(works.about, [new if old is card else old for old in works.all_cards()])


def with_row(card: Card, rows: str, place: int, **fields: Any) -> tuple[Any, ...]:
    old = getattr(card, rows)
    return tuple(row.model_copy(update=fields) if at == place else row for at, row in enumerate(old))


def judged(works: Works, bed: str, size: str = "150x200") -> tuple[JudgedClaim, ...]:
    one = bed_at_size(works, works.beds[bed], works.sizes[size])
    return judged_claims(works, one, works.about.as_of, make_bill(works, one))


def fire(works: Works, bed: str) -> JudgedClaim:
    return judged(works, bed)[0]


def changes(works: Works) -> list[tuple[str, str, Callable[[], Works]]]:
    """(bed, what is changed, the works with it changed) for every layer, ply, ticking, tape and tuft of the demo."""
    found: list[tuple[str, str, Callable[[], Works]]] = []

    def add(bed: Bed, what: str, card: Card, **fields: Any) -> None:
        found.append((bed.code, what, lambda: changed(works, card, **fields)))

    for bed in works.beds:
        for place, layer in enumerate(bed.layers):
            what = f"layer {layer.face}{layer.position}"
            add(bed, what, bed, layers=with_row(bed, "layers", place, part=OTHER[layer.part]))
            add(bed, f"{what} doubled", bed, layers=with_row(bed, "layers", place, layer_count=2))
        for code in dict.fromkeys(code for code in (bed.panel_a, bed.panel_b) if code is not None):
            panel = works.panels[code]
            add(bed, "ticking", panel, ticking=OTHER[panel.ticking])
            add(bed, "pattern", panel, pattern="another")
            for place, ply in enumerate(panel.plies):
                add(bed, f"ply {ply.position}", panel, plies=with_row(panel, "plies", place, part=OTHER[ply.part]))
        closure = works.closures[bed.closure]
        assert closure.tape is not None
        add(bed, "tape", closure, tape=OTHER[closure.tape])
        if closure.base_cloth is not None:
            add(bed, "base cloth", closure, base_cloth="BORDER-GREY")
        if bed.tuft is not None:
            add(bed, "tuft left out", bed, tuft=None, claims=())
            edge = works.panel_edges[bed.panel_edge]
            add(bed, "flange cloth", edge, flange_cloth="BASE-CLOTH")
        border = works.borders[bed.border]
        add(bed, "border cloth", border, cloth="BORDER-IVORY" if border.cloth != "BORDER-IVORY" else "BORDER-SAND")
    return found


class TestComposite:
    def test_same_words_at_every_size_and_each_word_once(self, demo: Works) -> None:
        for bed in demo.beds:
            words = {composite(bed_at_size(demo, bed, size)) for size in demo.sizes}
            assert len(words) == 1
            (one,) = words
            assert len(set(one)) == len(one)
            assert not any(";" in word for word in one)
            assert len("; ".join(one)) <= 2000

    def test_every_part_has_its_word(self, demo: Works) -> None:
        text = composite_text(bed_at_size(demo, demo.beds["WHIMBREL"], demo.sizes["150x200"]))
        for word in (
            "ticking B TICK-DAMASK (260 g/m2, 52 % cotton, 48 % viscose); ", "; ply A1 WOOL (wool, 25 mm, 600 g/m2); ",
            "quilting A single deep panel, wide diamonds, thread THREAD-QUILT", "layer B2 COIR",
            "border filling FLEECE",
            "flange cloth FLANGE-CLOTH", "; tuft TUFT; ", "tape TAPE-IVORY", "unit open-coil OPEN-312",
        ):  # fmt: skip
            assert word in text
        assert "base cloth BASE-CLOTH" in composite_text(bed_at_size(demo, demo.beds["TEAL"], demo.sizes["150x200"]))

    def test_order_and_capitals_do_not_count(self, demo: Works) -> None:
        bed = bed_at_size(demo, demo.beds["TEAL"], demo.sizes["150x200"])
        backwards = " ;  ".join(word.upper() for word in reversed(composite(bed)))
        assert composite_fault(bed, backwards) == ""
        assert "layer A9 FELT, which this bed does not have" in composite_fault(bed, f"{backwards}; layer A9 FELT")
        without = "; ".join(word for word in composite(bed) if word != "tape TAPE-GREY")
        assert "this bed has tape TAPE-GREY, which the report does not cover" in composite_fault(bed, without)

    def test_every_demo_bed_is_covered_as_it_stands(self, demo: Works) -> None:
        for bed in demo.beds:
            assert fire(demo, bed.code).shown, bed.code

    def test_any_part_changed_refuses_the_claim(self, demo: Works) -> None:
        every = changes(demo)
        assert {bed for bed, _, _ in every} == {bed.code for bed in demo.beds}
        for bed, what, make in every:
            claim = fire(make(), bed)
            assert not claim.shown, (bed, what)
            assert "is for another composite: " in claim.why, (bed, what, claim.why)

    def test_it_names_what_is_new_and_what_is_gone(self, demo: Works) -> None:
        redshank = demo.beds["REDSHANK"]
        works = changed(demo, redshank, layers=with_row(redshank, "layers", 2, part="FOAM-SOFT"))
        why = fire(works, "REDSHANK").why
        assert "this bed has layer A3 FOAM-SOFT (foam, 30 mm, 30 kg/m3)" in why
        assert "the report covers layer A3 FOAM-CONTRACT (foam, 25 mm, 38 kg/m3)" in why

    def test_another_thickness_or_other_fibres_behind_a_code_are_seen(self, demo: Works) -> None:
        assert not fire(changed(demo, demo.fillings["FOAM-SOFT"], thickness=50.0), "PLOVER").shown
        assert not fire(changed(demo, demo.cloths["TICK-KNIT"], fibres="100 % cotton"), "TEAL").shown

    def test_no_words_are_no_cover(self, demo: Works) -> None:
        claim = fire(changed(demo, demo.evidence["E-TEAL-FIRE"], composite=""), "TEAL")
        assert not claim.shown
        assert "words are printed on the bed sheet, for the person who signs" in claim.why


class TestClass:
    def with_words(self, demo: Works, words: str) -> JudgedClaim:
        redshank = demo.beds["REDSHANK"]
        return judged(changed(demo, redshank, claims=with_row(redshank, "claims", 0, words=words)), "REDSHANK")[-1]

    @pytest.mark.parametrize("words", ["HIGH hazard", "very  high hazard", "medium, even high", "low hazard"])
    def test_another_class_than_the_reports_is_refused(self, demo: Works, words: str) -> None:
        claim = self.with_words(demo, words)
        assert not claim.shown
        assert "states medium, and the claim's words say" in claim.why

    def test_its_words_never_go_to_the_label(self, demo: Works) -> None:
        redshank = demo.beds["REDSHANK"]
        works = changed(demo, redshank, claims=with_row(redshank, "claims", 0, words="never burns"), hazard=None)
        bed = bed_at_size(works, works.beds["REDSHANK"], works.sizes["150x200"])
        claims = judged_claims(works, bed, works.about.as_of)
        assert [claim.says for claim in claims] == ["BS 7177 medium hazard"]
        facts = label_facts(works, bed, claims)
        assert facts.hazard == "BS 7177 medium hazard"
        assert "never burns" not in str(facts)

    def test_a_claim_below_the_class_of_the_card_is_refused(self, demo: Works) -> None:
        works = changed(demo, demo.evidence["E-REDSHANK-FIRE"], hazard="low")
        assert [claim.shown for claim in judged(works, "REDSHANK")] == [False, False]

    def test_a_report_that_does_not_list_its_own_tests_is_refused(self, demo: Works) -> None:
        works = changed(demo, demo.evidence["E-TEAL-FIRE"], hazard="medium")
        assert "does not list BS 6807 cl. 9 source 5" in fire(works, "TEAL").why

    def test_very_high_asks_the_specifier(self, demo: Works) -> None:
        tests = "EN 597-1; EN 597-2; BS 6807 cl. 9 source 7"
        works = changed(demo, demo.evidence["E-TEAL-FIRE"], hazard="very high", tests=tests)
        works = changed(works, works.beds["TEAL"], hazard="very high")
        claim = fire(works, "TEAL")
        assert not claim.shown
        assert "ask the specifier which further tests are set" in claim.why

    def test_the_label_names_the_bed(self, demo: Works) -> None:
        bed = bed_at_size(demo, demo.beds["TEAL"], demo.sizes["150x200"])
        facts = label_facts(demo, bed, judged_claims(demo, bed, demo.about.as_of))
        assert ("bed", "Teal", "gpsr") in facts.facts
        assert "model" not in {what for what, _, _ in facts.facts}


class TestFillingShare:
    def claim(self, demo: Works, words: str, claimed: float | None, evidence: bool = True) -> JudgedClaim:
        works = demo
        if evidence:
            card = demo.evidence["E-DUNLIN-COUNT"]
            values = {name: getattr(card, name) for name in type(card).model_fields}
            paper = type(card).make(**{**values, "code": "E-WOOL", "form": "filling certificate"})
            works = Works.of(demo.about, [*demo.all_cards(), paper])
        row = BedClaim(
            position=1, claim="filling share", words=words, claimed=claimed, evidence="E-WOOL" if evidence else None
        )
        return judged(changed(works, works.beds["DUNLIN"], claims=(row,)), "DUNLIN")[-1]

    def test_shown_with_certificate_and_mass(self, demo: Works) -> None:
        """By hand: plies of the panel are wool 600 and wadding 300 g/m2 of one cut, so wool is 66.7 %."""
        assert self.claim(demo, "66 % wool in the panel", 66.0).shown
        refused = self.claim(demo, "67 per cent wool in the panel", 67.0)
        assert not refused.shown
        assert refused.why == "wool is 66.7 % of the dry mass of the panels' filling in the bill, below 67 %"

    def test_without_a_panel_all_filling_counts(self, demo: Works) -> None:
        refused = self.claim(demo, "66 % wool", 66.0)
        assert not refused.shown and "of all filling in the bill" in refused.why

    def test_no_certificate_no_claim(self, demo: Works) -> None:
        assert "needs a filling certificate" in self.claim(demo, "10 % wool", 10.0, evidence=False).why

    @pytest.mark.parametrize(
        ("words", "claimed"),
        [("over half wool", 30.0), ("30 % wool", None), ("70 % wool", 30.0), ("30 % of it", 30.0),
         ("30 % wool and cotton", 30.0), ("full of wool", None)],
    )  # fmt: skip
    def test_how_many_percent_of_what(self, demo: Works, words: str, claimed: float | None) -> None:
        claim = self.claim(demo, words, claimed)
        assert not claim.shown
        assert claim.why.startswith("say how many percent of what")

    def test_more_than_all_is_refused(self, demo: Works) -> None:
        assert "at most 100" in self.claim(demo, "120 % wool", 120.0).why
