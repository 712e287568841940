"""Cards of the bed itself: size, panel, border, panel edge, closure, bed with build-up by face, evidence."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from bedwright.works.card import Card, Row, Text, measure, refer, rows, says
from bedwright.works.refused_words import SaleText

Face = Literal["A", "B"]
Hazard = Literal["low", "medium", "high", "very high"]
Composite = Annotated[str, Field(max_length=2000)]


class Size(Card):
    """A label size. Sizes of babies' and children's cots are refused: they need standards of their own.

    Refused is more than the law's own small mattress, which is both short and narrow: one of the two is enough.
    """

    KIND = "size"
    SHEET = "sizes"
    SAYS = "label sizes"

    width: float = measure("width", low=600, high=3000)
    length: float = measure("length", low=1200, high=2600)
    market: Text = says("where this size is usual", "")
    book: Text = says("where the size comes from", "")

    @model_validator(mode="after")
    def _not_for_infants(self) -> Self:
        if self.length < 1700 or self.width < 750:
            raise ValueError(
                f"{self.width:g} x {self.length:g} mm, under 1700 long or 750 wide, is a size of babies' and "
                "children's beds; these are out of scope here, follow the cot standards and an accredited laboratory"
            )
        return self


class PanelPly(Row):
    """A ply of the panel below the ticking, outermost first."""

    SHEET = "panel_plies"

    position: int = measure("position")
    part: str = refer("filling", "cloth", says="filling or backing of this ply")


class Panel(Card):
    """A quilted panel, made either way: continuous multi-needle, or one deep panel at a time; or plain."""

    KIND = "panel"
    SHEET = "panels"
    SAYS = "quilted panels"

    method: Literal["continuous multi-needle", "single deep panel", "plain"] = says(
        "fed from rolls, trimmed and cut after; or pre-cut ticking with deep padding, stitched as one"
    )
    ticking: str = refer("cloth", says="ticking of the panel")
    pattern: Text = says("name of the quilting pattern", "")
    needle_spacing: float | None = measure("needle_spacing", None)
    quilt_run: float = measure("quilt_run", 0.0)
    stitch_class: Literal["101", "301", "401"] = says("stitch class of the quilting", "301")
    stitches_per_cm: float = measure("stitches_per_cm", 2.0)
    thread: str | None = refer("trim", default=None, says="quilting thread")
    contraction_along: float | None = measure("contraction_along", None)
    contraction_across: float | None = measure("contraction_across", None)
    quilted_thickness: float | None = measure("quilted_thickness", None)
    plies: tuple[PanelPly, ...] = rows("plies below the ticking, outermost first")

    @model_validator(mode="after")
    def _quilting_is_complete(self) -> Self:
        if self.method != "plain" and self.thread is None:
            raise ValueError("thread is empty, and a quilted panel is sewn with one")
        if self.method != "plain" and not self.plies:
            raise ValueError("plies are empty, and a quilted panel has at least one ply below the ticking")
        return self


class BorderFitting(Row):
    """Handles or vents on one border."""

    SHEET = "border_fittings"

    position: int = measure("position")
    fitting: str = refer("fitting", says="handle or vent")
    per_bed: int = measure("per_bed")


class Border(Card):
    """The border loop round the bed: cloth, filling, handles and vents, side-stitch."""

    KIND = "border"
    SHEET = "borders"
    SAYS = "borders"

    cloth: str = refer("cloth", says="border cloth")
    filling: str | None = refer("filling", default=None, says="filling quilted to the border")
    backing: str | None = refer("cloth", default=None, says="backing of the border")
    quilted: bool = says("quilted, or plain", True)
    quilt_run: float = measure("quilt_run", 0.0)
    thread: str | None = refer("trim", default=None, says="thread of quilting and joins")
    side_stitch: Literal["none", "machine", "hand"] = says(
        "machine side-stitch is done on the flat border; true hand side-stitch ties the border to the unit", "none"
    )
    side_stitch_rows: int = measure("side_stitch_rows", 0)
    side_stitch_cord: str | None = refer("trim", default=None, says="twine of the side-stitch")
    side_stitch_pull: float | None = measure("side_stitch_pull", None)
    standing_stiffness: float | None = measure("standing_stiffness", None)
    fittings: tuple[BorderFitting, ...] = rows("handles and vents of this border")

    @model_validator(mode="after")
    def _side_stitch_is_complete(self) -> Self:
        if self.side_stitch != "none" and (self.side_stitch_rows == 0 or self.side_stitch_cord is None):
            raise ValueError("side-stitch needs side_stitch_rows and side_stitch_cord")
        if self.quilted and self.thread is None:
            raise ValueError("thread is empty, and a quilted border is sewn with one")
        return self


class PanelEdge(Card):
    """How the edge of a panel is finished: trimmed and overlocked, or with a flange sewn round it."""

    KIND = "panel edge"
    SHEET = "panel_edges"
    SAYS = "overlock or flange"

    form: Literal["overlock", "flange"] = says("trim and overlock, or a flange fixed to the unit")
    stitch_class: Literal["504", "514", "516", "301", "401"] = says("stitch class of the seam")
    stitches_per_cm: float = measure("stitches_per_cm", 2.0)
    bite: float = measure("bite", 8.0)
    thread: str = refer("trim", says="thread of the seam")
    flange_cloth: str | None = refer("cloth", default=None, says="cloth of the flange")
    flange_width: float | None = measure("flange_width", None)

    @model_validator(mode="after")
    def _flange_is_complete(self) -> Self:
        if self.form == "flange" and (self.flange_cloth is None or self.flange_width is None):
            raise ValueError("a flange needs flange_cloth and flange_width")
        return self


class Closure(Card):
    """How the bed is closed: taped, zipped cover, bagged knife edge, and what lies under a one-sided bed."""

    KIND = "closure"
    SHEET = "closures"
    SAYS = "closures"

    form: Literal["taped", "zipped", "knife edge"] = says("how panels and border are joined")
    tape: str | None = refer("trim", default=None, says="tape of a taped bed")
    thread: str = refer("trim", says="closing thread")
    stitch_class: Literal["301", "401", "101"] = says("stitch class of the closing seam", "301")
    stitches_per_cm: float = measure("stitches_per_cm", 2.0)
    zip: str | None = refer("trim", default=None, says="zip of a zipped cover")
    zip_sides: int | None = measure("zip_sides", None)
    base_cloth: str | None = refer("cloth", default=None, says="plain or non-slip cloth under a one-sided bed")

    @model_validator(mode="after")
    def _form_has_its_fields(self) -> Self:
        if self.form == "taped" and self.tape is None:
            raise ValueError("tape is empty, and a taped bed needs it")
        if self.form == "zipped" and (self.zip is None or self.zip_sides is None):
            raise ValueError("a zipped cover needs zip and zip_sides")
        return self


class BedLayer(Row):
    """One layer of the build-up: from the unit outwards on its face."""

    SHEET = "bed_layers"

    face: Face = says("face A or B; a one-sided bed has A on top")
    position: int = measure("position")
    part: str = refer("filling", "unit", says="filling, or a mini-spring unit")
    layer_count: int = measure("layer_count", 1)
    glued: bool = says("fixed with the glue on its card", False)


class BedClaim(Row):
    """Something said about the bed to those who buy it; it needs evidence."""

    SHEET = "bed_claims"

    position: int = measure("position")
    claim: Literal["spring count", "fire", "filling share", "hand tufted", "hand side-stitched", "origin"] = says(
        "what is claimed"
    )
    words: SaleText = says("the words used; a filling share says how many percent of what", "")
    counts: Literal["coils of the unit", "coils and mini coils", "not a count"] = says(
        "what a spring count counts", "not a count"
    )
    claimed: float | None = measure("claimed", None)
    size: str | None = refer("size", default=None, says="the size at which the count is claimed")
    evidence: str | None = refer("evidence", default=None, says="report or sheet that shows it")


class BedTest(Row):
    """A roller test of your own: height and hardness of one sample before and after so many cycles."""

    SHEET = "bed_tests"

    position: int = measure("position")
    size: str | None = refer("size", default=None, says="size of the sample")
    sample: Text = says("which sample, when, and how it was read", "")
    cycles: int = measure("cycles")
    height_before: float | None = measure("test_height", None)
    height_after: float | None = measure("test_height", None)
    hardness_before: float | None = measure("test_hardness", None)
    hardness_after: float | None = measure("test_hardness", None)

    @model_validator(mode="after")
    def _says_something(self) -> Self:
        faults = []
        for what in ("height", "hardness"):
            before, after = getattr(self, f"{what}_before"), getattr(self, f"{what}_after")
            if (before is None) != (after is None):
                empty = f"{what}_{'before' if before is None else 'after'}"
                faults.append(f"{empty} is empty, and a change needs both ends")
        if self.height_before is None and self.hardness_before is None and not faults:
            faults.append("height_before and hardness_before are both empty; give what was read, or take the row out")
        if faults:
            raise ValueError("; ".join(faults))
        return self


class Bed(Card):
    """A mattress design: unit, edge, build-up by face, panels, border, closing, tufts, label, wrap, route."""

    KIND = "bed"
    SHEET = "beds"
    SAYS = "beds and their build-up"

    faces: int = measure("faces")
    unit: str = refer("unit", says="main spring unit")
    edge: str | None = refer("edge", default=None, says="what strengthens the unit's edge")
    panel_a: str = refer("panel", says="panel of face A")
    panel_b: str | None = refer("panel", default=None, says="panel of face B of a two-sided bed")
    border: str = refer("border", says="border loop")
    panel_edge: str = refer("panel edge", says="overlock or flange")
    closure: str = refer("closure", says="how it is closed")
    tuft: str | None = refer("trim", default=None, says="tuft (one through-tuft with both ends)")
    tuft_spacing: float | None = measure("tuft_spacing", None)
    tuft_edge: float | None = measure("tuft_edge", None)
    tufted_height: float | None = measure("tufted_height", None)
    tuft_pull: float | None = measure("tuft_pull", None)
    panel_tension: float | None = measure("panel_tension", None)
    panel_fullness: float | None = measure("panel_fullness", None)
    tape_pull: float | None = measure("tape_pull", None)
    label: str = refer("trim", says="product label")
    film: str = refer("film", says="film of bag or roll")
    edge_guard: str | None = refer("trim", default=None, says="edge guard at packing")
    wrap: Literal["flat", "rolled", "plain bag"] = says("how it is packed")
    route: str = refer("route", says="making route")
    corner_radius: float = measure("corner_radius", 0.0)
    finished_height: float | None = measure("finished_height", None)
    turning: Literal["turn and rotate", "rotate only", "none"] = says("care: turn over, turn end for end")
    hazard: Hazard | None = says("ignition hazard class it is to meet, shown by a laboratory's report", None)
    upper_bunk: bool = says("may lie on an upper bunk, whose mark limits the height", False)
    pair: Literal["none", "zip-linked"] = says("sold as a zip-linked pair: two beds that travel together", "none")
    pair_zip: str | None = refer("trim", default=None, says="zip that links the pair")
    layers: tuple[BedLayer, ...] = rows("layers from the unit outwards, by face")
    claims: tuple[BedClaim, ...] = rows("what is claimed of this bed")
    tests: tuple[BedTest, ...] = rows("your own roller tests of this bed")

    @model_validator(mode="after")
    def _faces_hold(self) -> Self:
        faults = []
        if self.faces == 2 and self.panel_b is None:
            faults.append("panel_b is empty, and a two-sided bed needs it")
        if self.faces == 1 and self.panel_b is not None:
            faults.append("panel_b is filled, and a one-sided bed has base cloth in its closure instead")
        if self.tuft is not None and None in (self.tuft_spacing, self.tuft_edge, self.tufted_height):
            faults.append("tufts need tuft_spacing, tuft_edge and tufted_height")
        places = [(layer.face, layer.position) for layer in self.layers]
        twice = sorted({place for place in places if places.count(place) > 1})
        if twice:
            faults.append(f"two layers stand at face {twice[0][0]} position {twice[0][1]}")
        if self.pair == "zip-linked" and self.pair_zip is None:
            faults.append("pair_zip is empty, and a zip-linked pair needs it")
        if faults:
            raise ValueError("; ".join(faults))
        return self

    def face_layers(self, face: str) -> tuple[BedLayer, ...]:
        """Layers of one face from the unit outwards."""
        return tuple(sorted((layer for layer in self.layers if layer.face == face), key=lambda layer: layer.position))


class Evidence(Card):
    """A report or sheet that shows a claim. The program reads what is typed here; it certifies nothing."""

    KIND = "evidence"
    SHEET = "evidence"
    SAYS = "reports behind claims, as issued by an accredited laboratory or signed by a person"

    form: Literal["fire report", "count sheet", "fibre certificate", "filling certificate", "photo and sample"] = says(
        "what kind of evidence"
    )
    bed: str = refer("bed", says="bed that it covers")
    hazard: Hazard | None = says("hazard class the report states", None)
    tests: Text = says("tests and sources the report states, parted by ;", "")
    composite: Composite = says(
        "what the report covers: for a fire report every word of the bed sheet's composite, parted by ;", ""
    )
    report: Text = says("number of the report")
    issued: date = says("date of the report")
    voided_by_change: bool = says("a layer changed since: the report no longer covers this bed", False)
