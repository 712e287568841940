"""The product label read back: facts, what is missing by name, and nothing that is not shown by evidence."""

from __future__ import annotations

import pytest

from bedwright.marks.label_facts import LabelFacts
from bedwright.papers.cautions import CAUTIONS, CERTIFIES_NOTHING
from bedwright.papers.product_label import CARELESS, ProductLabel, label_keys, product_labels

WHOLE = LabelFacts(
    facts=(
        ("maker", "Pask & Wherry", "gpsr"), ("postal address", "Ropewalk Yard", "gpsr"),
        ("electronic address", "beds@example.invalid", "gpsr"), ("bed", "Teal", "gpsr"),
        ("size", "150 x 200 x 26 cm", "en-1334"), ("cover fibres", "100 % cotton", "eu-1007-2011"),
        ("care", "Turn end for end; do not turn over.", "common-practice"),
    ),
    missing=(), side_one="This side up", care="Turn end for end; do not turn over.", hazard="BS 7177 low hazard",
)  # fmt: skip


@pytest.mark.parametrize(("bed", "size"), [("SNIPE", "150"), ("KNOT", "135"), ("RUFF", "90")])
def test_missing_facts_are_refused_by_name(issue, bed_of, label_of, read, bed, size) -> None:  # type: ignore[no-untyped-def]
    one = bed_of(bed, size)
    facts = label_of(one)
    sheet = read(product_labels(issue, [ProductLabel(one, facts)], "own").data)
    assert facts.missing
    assert "This label is refused" in sheet.text
    for words in facts.missing:
        assert words in sheet.text
    assert sheet.pages == 1
    assert CARELESS not in sheet.text, "no hazard statement without evidence"
    for key in label_keys(one):
        assert CAUTIONS[key].says in sheet.text
    assert CERTIFIES_NOTHING in sheet.text


def test_a_whole_label_has_its_facts_and_stays_a_draft(issue, bed_of, read) -> None:  # type: ignore[no-untyped-def]
    sheet = read(product_labels(issue, [ProductLabel(bed_of("KNOT", "135"), WHOLE, "The Quiet Corner")], "own").data)
    assert "for The Quiet Corner" in sheet.text
    for _, text, _ in WHOLE.facts:
        assert text in sheet.text
    assert "date made set at release" in sheet.text
    assert "serial draft" in sheet.text
    assert "DRAFT: not released" in sheet.text
    assert f"BS 7177 low hazard. {CARELESS}" in sheet.text
    assert "This label is refused" not in sheet.text


def test_one_page_a_label_and_the_same_bytes(issue, bed_of, read) -> None:  # type: ignore[no-untyped-def]
    labels = [ProductLabel(bed_of(bed, "90"), WHOLE) for bed in ("SNIPE", "KNOT", "RUFF")]
    paper = product_labels(issue, labels, "Copperbeech Rooms")
    assert read(paper.data).pages == 3
    assert paper == product_labels(issue, labels, "Copperbeech Rooms")
    assert paper.name == "labels_copperbeech-rooms.pdf"
