"""The product label as a draft: the facts that there are, and by name the facts that are missing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bedwright.design.bed_at_size import BedAtSize
from bedwright.marks.label_facts import LabelFacts
from bedwright.papers.cautions import CERTIFIES_NOTHING, LABEL_KEYS, cautions
from bedwright.papers.figures import Issue, Paper, file_stem
from bedwright.papers.typeset import typeset

CARELESS = "Carelessness causes fire."
"""Usual warning line of UK labels (from-memory)."""


@dataclass(frozen=True, slots=True)
class ProductLabel:
    """What one label is made from; customer: whose name it carries, "" for the works' own."""

    bed: BedAtSize
    facts: LabelFacts
    customer: str = ""


def product_labels(issue: Issue, labels: Sequence[ProductLabel], name: str) -> Paper:
    """Labels as one document, A6, one to a page; each says draft until release. Raises NotPrinted."""
    data = {
        "issue": issue.plain(),
        "labels": [_label(label) for label in labels],
        "certifies": CERTIFIES_NOTHING,
    }
    printed = typeset("product_label", data, title=f"Product labels {name}", as_of=issue.as_of)
    return Paper(f"labels_{file_stem(name)}.pdf", printed.pdf, printed.written_out)


def label_keys(bed: BedAtSize) -> tuple[str, ...]:
    """Keys of the cautions that a label carries."""
    keys = [*LABEL_KEYS, "slats"]
    if bed.bed.wrap == "rolled" or bed.unit.card.origin == "bought":
        keys.append("recovery")
    if bed.bed.wrap == "rolled":
        keys.append("rolled")
    if bed.bed.upper_bunk:
        keys.append("bunk")
    return tuple(keys)


def _label(label: ProductLabel) -> dict[str, object]:
    facts = label.facts
    shown = {what: text for what, text, _ in facts.facts}
    rest = [[what, text] for what, text, _ in facts.facts if what not in ("bed", "size")]
    return {
        "bed": shown.get("bed", label.bed.bed.code),
        "size": shown.get("size", ""),
        "side": facts.side_one,
        "customer": label.customer,
        "facts": [*rest, ["date made", "set at release"], ["serial", "draft"]],
        "hazard": facts.hazard,
        "careless": CARELESS,
        "missing": list(facts.missing),
        "cautions": [one.plain() for one in cautions(label_keys(label.bed))],
    }
