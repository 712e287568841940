"""House rules: allowances, tolerances, rates. Every default is "typical, change me", low confidence, from memory.

A works overrides a rule by a card of the same code; `Works.rule(code)` reads the card, else the default here.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, Self

from pydantic import model_validator

from bedwright.identity import fold
from bedwright.works.card import Card, Row, Text, measure, rows, says

RATING = "firmness_rating"
"""The rule whose rows are the formula of the firmness rating; its figure is the formula's constant."""


class RatingTerm(Row):
    """A term of the firmness rating: coefficient x H^power_of_hardness x W^power_of_work, H [N/mm], W [J]."""

    SHEET = "rating_terms"

    position: int = measure("position")
    coefficient: float = measure("coefficient")
    power_of_hardness: float = measure("power_of_hardness", 0.0)
    power_of_work: float = measure("power_of_work", 0.0)


class Rule(Card):
    """A house rule with its figure, usual range and where the figure comes from."""

    KIND = "rule"
    SHEET = "house_rules"
    SAYS = "allowances, tolerances and rates"

    name: Text = says("what the rule says", "")
    rule_value: float = measure("rule_value")
    unit: Text = says("unit of the figure", "")
    usual_low: float | None = measure("rule_value", None)
    usual_high: float | None = measure("rule_value", None)
    mark: Literal["typical, change me", "our own"] = says("whose figure it is", "our own")
    terms: tuple[RatingTerm, ...] = rows(
        "formula of the firmness rating, from the standard that you own; no term: no rating"
    )

    @model_validator(mode="after")
    def _only_the_rating_has_terms(self) -> Self:
        if self.terms and fold(self.code) != RATING:
            raise ValueError(f"terms belong to rule {RATING}, and this is {self.code}; take them out")
        return self


@dataclass(frozen=True, slots=True)
class Default:
    """A default figure: value, unit, usual range, meaning."""

    value: float
    unit: str
    low: float
    high: float
    meaning: str


DEFAULTS: dict[str, Default] = {
    "panel_oversize": Default(30, "mm", 20, 50, "quilted panel over finished size before trimming, each edge"),
    "deep_ticking_take_up": Default(25, "mm", 10, 60, "extra ticking of a deep panel for its curve, each edge"),
    "seam": Default(12, "mm", 10, 15, "seam allowance, each edge"),
    "border_join": Default(30, "mm", 20, 40, "extra border length for the join"),
    "border_height_seams": Default(25, "mm", 20, 35, "extra border height for both seams together"),
    "border_tape_share": Default(8, "mm", 4, 12, "height that one tape edge takes over from the border"),
    "border_under_perimeter": Default(0.4, "%", 0, 1, "border loop shorter than the perimeter, so that it sits tight"),
    "tape_join": Default(40, "mm", 20, 60, "extra tape for the overlapped join, each pass"),
    "tape_corner": Default(15, "mm", 5, 30, "extra tape eased round one corner"),
    "unit_under_label": Default(40, "mm", 20, 60, "unit smaller than the label size, each way"),
    "filling_oversize": Default(10, "mm", 0, 20, "foam and pads over the unit and its edge, each way"),
    "layers_build_loss": Default(4, "%", 0, 15, "thickness that layers lose when built in, where not measured"),
    "overlap_edge_rod": Default(60, "mm", 30, 90, "overlap of an edge rod at its join"),
    "lacing_turns_over": Default(40, "mm", 20, 80, "extra lacing wire at the two crimped ends of a lacing line"),
    "clips_per_edge_coil": Default(1, "each", 0.5, 1, "clips that tie a rod or strip to one edge coil"),
    "stitched_thickness": Default(40, "%", 20, 80, "thickness under a quilting stitch, of the panel's own"),
    "closing_thickness": Default(8, "mm", 4, 15, "plies under the foot in overlock, tape edge and border join"),
    "border_stitches": Default(2, "1/cm", 1.5, 3, "stitches of border quilting and border join, class 301"),
    "side_stitch_take_up": Default(3, "m/m", 2, 5, "cord of one metre of one row of side-stitch"),
    "thread_waste": Default(12.5, "%", 10, 15, "thread lost over the stitch formula"),
    "pocket_cloth_seam": Default(24, "mm", 15, 40, "weld allowance in the height of a pocket string, both edges"),
    "tuft_thread": Default(30, "mm", 0, 60, "tuft cord beyond the clamped height"),
    "film_overlap": Default(100, "mm", 50, 300, "film longer than the bed"),
    "rolled_diameter": Default(360, "mm", 250, 450, "outside diameter of a rolled bed"),
    "rolled_turns_film": Default(2, "turns", 1, 4, "turns of film round a rolled bed"),
    "tolerance_length_width": Default(10, "mm", 5, 20, "house tolerance of length and width"),
    "tolerance_height": Default(10, "mm", 5, 15, "house tolerance of height"),
    "tolerance_diagonals": Default(15, "mm", 8, 20, "house tolerance of the difference of diagonals"),
    "tolerance_mass_synthetic": Default(3, "%", 2, 5, "house tolerance of mass, synthetic fillings"),
    "tolerance_mass_natural": Default(7, "%", 5, 12, "house tolerance of mass, natural fillings"),
    "tolerance_coil_height": Default(3, "mm", 1, 5, "tolerance of coil height"),
    "tolerance_panel": Default(10, "mm", 5, 15, "tolerance of a cut panel"),
    "tolerance_tuft": Default(15, "mm", 10, 25, "tolerance of the place of a tuft"),
    "tolerance_border_join": Default(3, "mm", 2, 5, "border join out of square"),
    "scrap_quilting": Default(4, "%", 2, 8, "quilting ends lost"),
    "scrap_foam": Default(3, "%", 1, 8, "foam and filling lost in cutting"),
    "scrap_wire": Default(1, "%", 0.5, 2, "wire lost at starts"),
    "scrap_trim": Default(2, "%", 1, 5, "trims lost"),
    "reject_taped": Default(1, "%", 0.5, 3, "taped beds that cannot be put right"),
    "clearance_pocket": Default(2, "mm", 0, 6, "least room between coil and pocket wall"),
    "gap_border_unit": Default(15, "mm", 0, 40, "least room that border and fillings need beside the unit"),
    "bunk_height_limit": Default(150, "mm", 100, 200, "height that the upper bunk is marked for; take the mark's own"),
    "rolled_height_limit": Default(300, "mm", 200, 350, "greatest height that our roller takes"),
    "pair_height_limit": Default(4, "mm", 2, 6, "difference of height inside a linked pair"),
    "overhead_per_minute": Default(0.35, "money", 0.1, 1, "overhead absorbed by one labour minute"),
    "exchange_move": Default(5, "%", 2, 15, "move of the exchange rate, each way, that a bought bed is shown with"),
    "margin": Default(35, "%", 20, 55, "margin on the selling price"),
    "labour_per_hour": Default(14.5, "money", 10, 25, "labour rate where no price card names the skill"),
    "two_people_from": Default(25, "kg", 16, 30, "mass from which two people lift"),
    "old_bed_thickness": Default(250, "mm", 150, 350, "thickness of a bagged old bed, which nobody measures first"),
    "old_bed_mass_per_m2": Default(12, "kg/m2", 6, 20, "mass of an old bed by its size, where it is not weighed"),
    "crushed_stack": Default(6, "beds", 1, 12, "flat beds that may lie on each other; not known: measure the crush"),
    "relative_run_batch": Default(1, "beds", 1, 20, "beds that share one set-up when the plan is not known"),
    "roll_end_trim": Default(150, "mm", 50, 500, "lost at each start of a roll or lay"),
    "rod_stock_length": Default(150_000, "mm", 3_000, 300_000, "length on one coil, or of one bar, of edge rod"),
    "tape_roll_length": Default(100_000, "mm", 25_000, 500_000, "tape on a roll, where its card does not say"),
    "kerf_foam": Default(2, "mm", 0, 5, "width of the foam cutter's kerf"),
    "wire_diameter_tolerance": Default(1, "%", 0.5, 2, "tolerance of coil diameter in coiling"),
    "turns_tolerance": Default(0.25, "turns", 0.1, 0.5, "tolerance of live turns"),
    "tension_tolerance": Default(
        50, "%", 20, 100, "panel tension, each way, entered or solved (common practice, no source)"
    ),
    "lacing_tolerance": Default(
        50, "%", 20, 100, "pull of lacing, end rings and glue, each way (common practice, no source)"
    ),
    "firmness_rating": Default(
        0, "", -100, 100, "constant of the firmness rating's formula; the rating is off while no rating terms are typed"
    ),
    "order_early_days": Default(14, "days", 1, 30, "how early an order may be made before its van"),
    "max_run": Default(8, "beds", 2, 40, "beds of one run on the floor"),
}


def rating_terms(rule: Rule | None) -> tuple[RatingTerm, ...]:
    """The formula of the firmness rating from its rule, a constant as a term of its own; empty while it is off."""
    if rule is None or not rule.terms:
        return ()
    terms = tuple(sorted(rule.terms, key=lambda term: term.position))
    constant = (RatingTerm(position=terms[-1].position + 1, coefficient=rule.rule_value),) if rule.rule_value else ()
    return terms + constant


def default_cards() -> list[Rule]:
    """Every default as a card, for starter and demo: each marked "typical, change me"."""
    return [
        Rule(
            code=code,
            name=default.meaning,
            rule_value=float(default.value),
            unit=default.unit,
            usual_low=float(default.low),
            usual_high=float(default.high),
            mark="typical, change me",
        )
        for code, default in DEFAULTS.items()
    ]
