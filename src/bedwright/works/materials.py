"""Cards of soft goods and small parts: fillings, cloths, trims, fittings, films, carbon factors."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Literal, Self

from pydantic import model_validator

from bedwright.works.card import Card, Row, Text, measure, refer, rows, says

Family = Literal["foam", "latex", "felt", "fibre", "wool", "cotton", "insulator", "coir"]
NATURAL: tuple[str, ...] = ("wool", "cotton", "coir")
"""Families whose mass follows the humidity: regain is reckoned for these."""


class FillingPoint(Row):
    """A point of the supplier's table: stress at a compression, loading branch."""

    SHEET = "filling_points"

    position: int = measure("position")
    compression: float = measure("compression")
    stress: float = measure("stress")


class FillingReturn(Row):
    """A point of the branch coming back from the greatest compression of the table."""

    SHEET = "filling_returns"

    position: int = measure("position")
    compression: float = measure("compression")
    stress: float = measure("return_stress")


class Filling(Card):
    """Pads and fillings with the supplier's figures and their tolerance. Figures not given stay empty: not known."""

    KIND = "filling"
    SHEET = "fillings"
    SAYS = "pads and fillings"

    family: Family = says("what it is made of")
    thickness: float = measure("thickness")
    density: float | None = measure("density", None)
    areal_mass: float | None = measure("areal_mass", None)
    hardness_40: float | None = measure("hardness_40", None)
    indentation_25: float | None = measure("indentation_25", None)
    indentation_40: float | None = measure("indentation_40", None)
    indentation_65: float | None = measure("indentation_65", None)
    figure_tolerance: float = measure("figure_tolerance", 15.0)
    loss_share: float | None = measure("loss_share", None)
    first_press: float | None = measure("first_press", None)
    set_share: float | None = measure("set_share", None)
    set_share_high: float | None = measure("set_share_high", None)
    poisson: float | None = measure("poisson", None)
    regain: float | None = measure("regain", None)
    build_loss: float | None = measure("build_loss", None)
    sheet_width: float = measure("sheet_width")
    sheet_length: float | None = measure("sheet_length", None)
    may_be_rolled: bool = says("recovers after being rolled, by the supplier's word", False)
    goes_soft_warm: bool = says("its hardness changes with temperature", False)
    glue: str | None = refer("trim", default=None, says="glue that fixes it to what lies below")
    glue_mass: float = measure("areal_mass", 0.0, low=0.0)
    supplier: str | None = refer("supplier", default=None, says="who delivers it")
    carbon: str | None = refer("carbon", default=None, says="carbon factor of the material")
    points: tuple[FillingPoint, ...] = rows("the supplier's table of stress against compression")
    returns: tuple[FillingReturn, ...] = rows("the branch coming back, from the supplier or your own press")

    @model_validator(mode="after")
    def _mass_is_known(self) -> Self:
        if self.density is None and self.areal_mass is None:
            raise ValueError("density and areal_mass are both empty; one of them is needed for the mass")
        return self

    @model_validator(mode="after")
    def _branches_hold(self) -> Self:
        faults = [*_falls("the table", self.points), *_falls("the branch coming back", self.returns)]
        for point in () if faults else self.returns:
            down = self._going_down(point.compression)
            if down is not None and point.stress > down + 1e-9:
                faults.append(
                    f"the branch coming back must lie below the way down: {point.stress:g} kPa at "
                    f"{point.compression:g} % lies above {down:.4g} kPa"
                )
        if faults:
            raise ValueError("; ".join(faults))
        return self

    @model_validator(mode="after")
    def _losses_hold(self) -> Self:
        faults = []
        if self.loss_share is not None and self.returns:
            faults.append("loss_share is filled, and the branch coming back says it already; leave one of them out")
        if self.set_share_high is not None and self.set_share is None:
            faults.append("set_share is empty, and set_share_high is its upper end; give both, or the first alone")
        if self.set_share is not None and self.set_share_high is not None and self.set_share_high < self.set_share:
            faults.append(f"set_share_high {self.set_share_high:g} % is below set_share {self.set_share:g} %")
        if faults:
            raise ValueError("; ".join(faults))
        return self

    def _going_down(self, compression: float) -> float | None:
        """Stress [kPa] of the way down at a compression [%], straight between its points; None where not known."""
        known = [(0.0, 0.0), *sorted((point.compression, point.stress) for point in self.points)]
        if not self.points and self.hardness_40 is not None and compression == 40:
            return self.hardness_40
        for (before, low), (after, high) in pairwise(known):
            if before <= compression <= after:
                return low + (high - low) * (compression - before) / (after - before) if after > before else high
        return None

    @property
    def mass_per_m2(self) -> float:
        """Mass of one layer as supplied [kg/m2]."""
        if self.areal_mass is not None:
            return self.areal_mass / 1000
        assert self.density is not None
        return self.density * self.thickness / 1000


def _falls(what: str, points: Sequence[FillingPoint | FillingReturn]) -> list[str]:
    """What to say of a branch that does not rise from point to point."""
    ordered = sorted(points, key=lambda point: point.position)
    return [
        f"{what} must rise: {above.stress:g} kPa at {above.compression:g} % does not lie above "
        f"{below.stress:g} kPa at {below.compression:g} %"
        for below, above in pairwise(ordered)
        if above.compression <= below.compression or above.stress <= below.stress
    ][:1]


class Cloth(Card):
    """Ticking, border cloth, backing, pocket cloth, base cloth: on the roll."""

    KIND = "cloth"
    SHEET = "cloths"
    SAYS = "cloths on the roll"

    use: Literal["ticking", "border", "backing", "pocket", "base", "flange"] = says("what it is for")
    roll_width: float = measure("roll_width")
    usable_width: float | None = measure("usable_width", None)
    roll_length: float = measure("roll_length")
    areal_mass: float = measure("areal_mass")
    thickness: float = measure("thickness", 0.5)
    stretch_along: float | None = measure("stretch_along", None)
    stretch_across: float | None = measure("stretch_across", None)
    repeat_along: float = measure("repeat_along", 0.0)
    one_way: bool = says("nap or motif runs head to foot: panels may not be turned", False)
    shade_matters: bool = says("panels of one bed, and of a pair, come from one shade lot", True)
    textile_share: float = measure("textile_share", 100.0)
    fibres: Text = says("fibre names and percentages for the label, falling", "")
    supplier: str | None = refer("supplier", default=None, says="who delivers it")
    carbon: str | None = refer("carbon", default=None, says="carbon factor of the material")

    @model_validator(mode="after")
    def _usable_fits(self) -> Self:
        if self.usable_width is not None and self.usable_width > self.roll_width:
            raise ValueError(
                f"usable_width {self.usable_width:g} mm is above roll_width {self.roll_width:g} mm; it is never wider"
            )
        return self


class Trim(Card):
    """Tape, thread, cord, tufts, clips, glue, labels, zips, guards: counted, metred or weighed."""

    KIND = "trim"
    SHEET = "trims"
    SAYS = "tapes, threads, tufts, clips, glues, labels, zips, edge guards"

    use: Literal["tape", "thread", "tuft", "cord", "clip", "glue", "label", "zip", "edge guard", "pack", "strap"] = (
        says("what it is")
    )
    counted_in: Literal["each", "m", "kg"] = says("how it is bought and booked")
    piece_mass: float | None = measure("piece_mass", None)
    mass_per_metre: float | None = measure("mass_per_metre", None)
    width: float | None = measure("width", None)
    length: float | None = measure("length", None)
    roll_length: float | None = measure("roll_length", None)
    supplier: str | None = refer("supplier", default=None, says="who delivers it")
    carbon: str | None = refer("carbon", default=None, says="carbon factor of the material")

    @model_validator(mode="after")
    def _mass_is_known(self) -> Self:
        if self.counted_in == "each" and self.piece_mass is None:
            raise ValueError("piece_mass is empty, and what is counted needs it")
        if self.counted_in == "m" and self.mass_per_metre is None:
            raise ValueError("mass_per_metre is empty, and what is metred needs it")
        return self


class Fitting(Card):
    """A handle or a vent, by kind: how it is put on decides its minutes and its place in the border's work."""

    KIND = "fitting"
    SHEET = "fittings"
    SAYS = "handles and vents by kind"

    form: Literal["punched vent", "cord handle", "tape handle sewn flat", "tape handle under the tape"] = says(
        "kind of handle or vent"
    )
    piece_mass: float = measure("piece_mass")
    length: float | None = measure("length", None)
    backing: bool = says("a piece of backing goes behind it", False)
    supplier: str | None = refer("supplier", default=None, says="who delivers it")
    carbon: str | None = refer("carbon", default=None, says="carbon factor of the material")


class Film(Card):
    """Film of the bag or roll. The suffocation warning belongs on it."""

    KIND = "film"
    SHEET = "films"
    SAYS = "films for bags and rolls"

    gauge_um: float = measure("gauge_um")
    film_density: float = measure("film_density", 0.92)
    tube_width: float | None = measure("tube_width", None)
    supplier: str | None = refer("supplier", default=None, says="who delivers it")
    carbon: str | None = refer("carbon", default=None, says="carbon factor of the material")


class Carbon(Card):
    """A dated carbon factor of a material. All of them are the user's: change me."""

    KIND = "carbon"
    SHEET = "carbon"
    SAYS = "carbon factors, dated, with their source; typical, change me"

    factor: float = measure("factor")
    year: int = measure("year")
    book: Text = says("where the figure comes from")
