"""The facts of the product label, and what is missing from them, by name.

Facts must be complete when the border job is released, because the label is sewn in there or at the tape edge
(common practice, no source). Which facts a market asks for is law that changes: the list follows the books named here
(`gpsr`, `eu-1007-2011`, `bs-7177`), and the maker checks it against the law of the place and day.
"""

from __future__ import annotations

from dataclasses import dataclass

from bedwright.design.bed_at_size import BedAtSize
from bedwright.marks.contents import fibres_must_be_named
from bedwright.marks.evidence import JudgedClaim
from bedwright.works.trading import CustomerBed
from bedwright.works.works import Works


@dataclass(frozen=True, slots=True)
class LabelFacts:
    """What goes on the label: (what, text, book) in order; `missing` names each fact that stands in the way."""

    facts: tuple[tuple[str, str, str], ...]
    missing: tuple[str, ...]
    side_one: str
    care: str
    hazard: str

    @property
    def complete(self) -> bool:
        """Whether the border job could be released as far as the label goes."""
        return not self.missing


def label_facts(
    works: Works, bed: BedAtSize, judged: tuple[JudgedClaim, ...], names: CustomerBed | None = None
) -> LabelFacts:
    """The label of a bed at size, under the customer's own name where they have one. Batch and date come at release."""
    about = works.about
    called = names.their_name if names is not None and names.their_name else bed.bed.name or bed.bed.code
    fibres = "; ".join(_cover_parts(bed))
    facts = [
        ("maker", about.name, "gpsr"),
        ("postal address", about.address, "gpsr"),
        ("electronic address", about.contact, "gpsr"),
        ("bed", called, "gpsr"),
        ("size", f"{bed.width / 10:g} x {bed.length / 10:g} x {bed.height / 10:.0f} cm", "en-1334"),
        ("cover fibres", fibres, "eu-1007-2011"),
        ("care", care_text(bed), "common-practice"),
    ]
    missing = [f"{what} is empty" for what, text, _ in facts if not text.strip()]
    missing += [f"fibres of {part} are empty on its cloth card" for part in _parts_without_fibres(bed)]
    hazard = ""
    if bed.bed.hazard is None:
        missing.append("hazard class is empty on the bed card")
    for claim in judged:
        if claim.claim == "fire" and claim.shown:
            hazard = hazard or claim.says  # made from the report, never the claim's own words
        elif not claim.shown:
            missing.append(f"claim refused: {claim.says}: {claim.why}")
    if names is not None and names.label_text:
        facts.append(("customer's text", names.label_text, "common-practice"))
    return LabelFacts(
        facts=tuple((what, text, book) for what, text, book in facts if text.strip()),
        missing=tuple(missing),
        side_one="Side one" if bed.bed.faces == 2 else "This side up",
        care=care_text(bed),
        hazard=hazard,
    )


def care_text(bed: BedAtSize) -> str:
    """Turning and rotating, in words for the user."""
    if bed.bed.turning == "turn and rotate":
        return "Turn over and turn end for end as the care leaflet says."
    if bed.bed.turning == "rotate only":
        return "Turn end for end; do not turn over."
    return "No turning needed."


def _cover_parts(bed: BedAtSize) -> list[str]:
    parts = [(f"panel {panel.face}", panel.ticking.fibres) for panel in bed.panels]
    parts.append(("border", bed.border.cloth.fibres))
    if bed.closure.base_cloth is not None:
        parts.append(("base", bed.closure.base_cloth.fibres))
    texts = {text for _, text in parts if text}
    if len(texts) == 1 and all(text for _, text in parts):
        return [texts.pop()]
    return [f"{part} {text}" for part, text in parts if text]


def _parts_without_fibres(bed: BedAtSize) -> list[str]:
    """Cloths of the cover that must name their fibres: textile 80 % and more of their mass (eu-1007-2011)."""
    cloths = [(f"panel {panel.face}", panel.ticking) for panel in bed.panels]
    cloths.append(("the border", bed.border.cloth))
    if bed.closure.base_cloth is not None:
        cloths.append(("the base", bed.closure.base_cloth))
    return [part for part, cloth in cloths if fibres_must_be_named(cloth.textile_share) and not cloth.fibres]
