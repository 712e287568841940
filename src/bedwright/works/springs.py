"""Cards of steel: wire, coil, unit (made or bought), edge."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal, Self

from pydantic import Field, model_validator

from bedwright.identity import fold
from bedwright.works.card import Card, Row, Text, measure, refer, rows, says

Grade = Literal["SL", "SM", "DM", "SH", "DH", "A227", "A228", "A229"]
Profile = Literal["cylinder", "cone", "barrel", "hourglass-parabolic", "hourglass-straight", "table"]
Heat = Literal["none", "at the coiler", "whole unit"]
TABLE_SLACK = 0.5
"""How far the end diameter may lie off the largest of a table [mm]: both are measured to the half millimetre."""


class Wire(Card):
    """Wire by its measured diameter; a gauge number is converted at the door and never kept."""

    KIND = "wire"
    SHEET = "wires"
    SAYS = "wire for coils, lacing, rods and strip"

    form: Literal["round", "strip"] = says("round wire or flat strip", "round")
    diameter: float = measure("diameter")
    grade: Grade = says("strength grade: EN 10270-1 SL SM DM SH DH, or ASTM A227 A228 A229", "SM")
    supplier: str | None = refer("supplier", default=None, says="who delivers it")
    carbon: str | None = refer("carbon", default=None, says="carbon factor of the material")


class CoilPoint(Row):
    """A mean diameter of a coil that no plain profile describes; points lie at equal steps of the live turns."""

    SHEET = "coil_points"

    position: int = measure("position")
    diameter: float = measure("turn_diameter")


class CoilHeat(Row):
    """What the heat, or the wire, does to the coils of one wire lot, as the maker measures it: heights, no factor."""

    SHEET = "coil_heats"

    position: int = measure("position")
    wire_lot: Annotated[str, Field(min_length=1, max_length=60)] = says("lot of the wire, as on its coil or spool")
    height_shift: float | None = measure("height_shift", None)
    first_set: float | None = measure("first_set", None)

    @model_validator(mode="after")
    def _says_something(self) -> Self:
        if self.height_shift is None and self.first_set is None:
            raise ValueError("height_shift and first_set are both empty; give what was measured, or take the row out")
        return self


class Coil(Card):
    """One coil. Rate uses live turns; steel uses all turns, the end rings and the knots."""

    KIND = "coil"
    SHEET = "coils"
    SAYS = "coils as they leave the coiler"

    profile: Profile = says("shape along the axis; a table takes its diameters from the rows of coil points")
    wire: str = refer("wire", says="wire it is coiled from")
    end_diameter: float = measure("end_diameter")
    middle_diameter: float | None = measure("middle_diameter", None)
    live_turns: float = measure("live_turns")
    total_turns: float = measure("total_turns")
    free_height: float = measure("free_height")
    end_ring_wire: float | None = measure("end_ring_wire", None)
    knot_wraps: float = measure("knot_wraps", 0.0)
    knot_tail: float = measure("knot_tail", 0.0)
    hand: Literal["right", "left", "alternate"] = says("hand of coiling; alternate hands keep a unit from leaning")
    heat: Heat = says("how the coil is relieved: none, at the coiler, or in the oven with the whole unit", "none")
    points: tuple[CoilPoint, ...] = rows("diameters of a table, from end to end at equal steps of live turns")
    heats: tuple[CoilHeat, ...] = rows("shift of height and first set by wire lot, measured")

    @model_validator(mode="after")
    def _turns_hold(self) -> Self:
        if self.total_turns < self.live_turns:
            raise ValueError(
                f"total_turns {self.total_turns:g} is below live_turns {self.live_turns:g}; count all turns as total"
            )
        if self.profile == "cylinder" and self.middle_diameter not in (None, self.end_diameter):
            raise ValueError("middle_diameter differs from end_diameter, and a cylinder has one; leave it empty")
        if self.profile not in ("cylinder", "table") and self.middle_diameter is None:
            raise ValueError(f"middle_diameter is empty, and a {self.profile} needs it")
        return self

    @model_validator(mode="after")
    def _table_holds(self) -> Self:
        found = self.diameters
        if self.profile != "table":
            if found:
                raise ValueError(f"points are the diameters of a table, and this is a {self.profile}; take them out")
            return self
        if self.middle_diameter is not None:
            raise ValueError("middle_diameter is filled, and a table has its diameters in its points; leave it empty")
        if len(found) < 2:
            raise ValueError(f"points are {len(found)} diameters, and a table needs 2 or more")
        if abs(self.end_diameter - max(found)) > TABLE_SLACK:
            raise ValueError(
                f"end_diameter {self.end_diameter:g} is not the largest diameter of the table, {max(found):g}"
            )
        return self

    @model_validator(mode="after")
    def _lots_are_once(self) -> Self:
        lots = [fold(heat.wire_lot) for heat in self.heats]
        twice = [heat.wire_lot for heat in self.heats if lots.count(fold(heat.wire_lot)) > 1]
        if twice:
            raise ValueError(f"wire_lot {twice[0]} stands twice; one row for each lot")
        return self

    @property
    def diameters(self) -> tuple[float, ...]:
        """Mean diameters of a table [mm], from end to end at equal steps of live turns; empty for other profiles."""
        return tuple(point.diameter for point in sorted(self.points, key=lambda point: point.position))

    @property
    def widest(self) -> float:
        """Largest mean diameter anywhere along the coil [mm]."""
        return max(self.end_diameter, self.middle_diameter or 0.0, *self.diameters)

    @property
    def ends(self) -> tuple[float, float]:
        """Mean diameters of both ends [mm], where the dead turns lie."""
        found = self.diameters
        return (found[0], found[-1]) if found else (self.end_diameter, self.end_diameter)


class UnitZone(Row):
    """Places of the unit that take another coil: rows counted from the head, columns from the left with the head up.

    Empty ends are open: a zone without columns runs across the whole unit, one without rows along it. Where zones lie
    over each other, the later position counts.
    """

    SHEET = "unit_zones"

    position: int = measure("position")
    first_row: int | None = measure("first_row", None)
    last_row: int | None = measure("last_row", None)
    first_column: int | None = measure("first_column", None)
    last_column: int | None = measure("last_column", None)
    coil: str = refer("coil", says="coil of this zone")
    per_place: int = measure("per_place", 1)

    @model_validator(mode="after")
    def _holds(self) -> Self:
        faults = []
        for what in ("row", "column"):
            first, last = getattr(self, f"first_{what}"), getattr(self, f"last_{what}")
            if first is not None and last is not None and last < first:
                faults.append(f"last_{what} {last} is before first_{what} {first}")
        if {self.first_row, self.last_row, self.first_column, self.last_column} == {None}:
            faults.append("first_row and all other ends are empty: a zone is a part of the unit, not all of it")
        if self.per_place not in (1, 4, 9):
            faults.append(
                f"per_place is {self.per_place}, and coils stand singly, two by two (4) or three by three (9)"
            )
        if faults:
            raise ValueError("; ".join(faults))
        return self

    def covers(self, row: int, column: int) -> bool:
        """Whether a place lies in the zone; row and column count from 0."""
        rows = (self.first_row or 1) - 1 <= row and (self.last_row is None or row < self.last_row)
        return (
            rows and (self.first_column or 1) - 1 <= column and (self.last_column is None or column < self.last_column)
        )


class Unit(Card):
    """A spring unit: open-coil or pocket, made here or bought in. A mini-spring layer is a pocket unit too."""

    KIND = "unit"
    SHEET = "units"
    SAYS = "spring units and mini-spring layers"

    origin: Literal["made", "bought"] = says("made here or bought in")
    construction: Literal["open-coil", "pocket"] = says("open coils laced, or coils in pockets")
    coil: str = refer("coil", says="coil of the unit (of its main zone)")
    pitch_across: float = measure("pitch_across")
    pitch_along: float = measure("pitch_along")
    layout: Literal["square", "nested"] = says("coils in a square lattice, or nested rows", "square")
    lacing: Literal["across", "along", "none"] = says("which way the lacing helix runs", "none")
    lacing_wire: str | None = refer("wire", default=None, says="wire of the lacing helix")
    helix_diameter: float | None = measure("helix_diameter", None)
    helix_pitch: float | None = measure("helix_pitch", None)
    clip: str | None = refer("trim", default=None, says="clip that ties rod or strip to the edge coils")
    pocket_height: float | None = measure("pocket_height", None)
    pocket_cloth: str | None = refer("cloth", default=None, says="cloth of the pockets")
    glue: str | None = refer("trim", default=None, says="glue between pockets")
    glue_pattern: Literal["every contact", "every second contact", "none"] = says(
        "which contacts between strings carry glue", "none"
    )
    glue_per_spot: float = measure("glue_per_spot", 0.0)
    lacing_tie: float | None = measure("lacing_tie", None)
    ring_bending: float | None = measure("ring_bending", None)
    glue_tie: float | None = measure("glue_tie", None)
    cloth_hold: float | None = measure("cloth_hold", None)
    sheet_cloth: str | None = refer("cloth", default=None, says="cloth glued over top and bottom of the unit")
    unit_height: float | None = measure("unit_height", None)
    areal_mass: float | None = measure("areal_mass", None)
    supplier: str | None = refer("supplier", default=None, says="who delivers a bought unit")
    recovery_hours: float | None = measure("recovery_hours", None)
    longest_compressed: float | None = measure("longest_compressed", None)
    pack_count: int | None = measure("pack_count", None)
    least_height: float | None = measure("least_height", None)
    carbon: str | None = refer("carbon", default=None, says="carbon factor of a bought unit")
    zones: tuple[UnitZone, ...] = rows("zones of other coils, by rows from the head and columns from the left")

    @model_validator(mode="after")
    def _construction_holds(self) -> Self:
        faults = []
        if self.construction == "pocket":
            if self.pocket_height is None:
                faults.append("pocket_height is empty, and a pocket unit needs it")
            if self.origin == "made" and self.pocket_cloth is None:
                faults.append("pocket_cloth is empty, and a pocket unit made here needs it")
            if self.lacing != "none":
                faults.append("lacing runs through open coils only; set it to none for a pocket unit")
        elif self.lacing == "none" and self.origin == "made":
            faults.append("lacing is none, and an open-coil unit made here is laced across or along")
        if self.lacing != "none" and None in (self.lacing_wire, self.helix_diameter, self.helix_pitch):
            faults.append("lacing needs lacing_wire, helix_diameter and helix_pitch")
        if self.glue_pattern != "none" and self.glue is None and self.origin == "made":
            faults.append("glue is empty, and the glue pattern asks for it")
        if self.origin == "bought" and (self.unit_height is None or self.areal_mass is None):
            faults.append("a bought unit needs unit_height and areal_mass from its supplier")
        faults += self._tie_faults()
        if any(zone.per_place > 1 for zone in self.zones) and (self.construction, self.layout) != ("pocket", "square"):
            faults.append("zones have several coils in one place, and only pocket units in square rows can")
        if faults:
            raise ValueError("; ".join(faults))
        return self

    def _tie_faults(self) -> list[str]:
        """Ties that a unit of this construction does not have."""
        pocket = self.construction == "pocket"
        wrong = ("lacing_tie", "ring_bending") if pocket else ("glue_tie", "cloth_hold")
        kind = "a pocket unit has no lacing" if pocket else "an open-coil unit has no pockets"
        faults = [f"{name} is filled, and {kind}; leave it empty" for name in wrong if getattr(self, name) is not None]
        if pocket and self.glue_tie is not None and self.glue_pattern == "none" and self.origin == "made":
            faults.append("glue_tie is filled, and glue_pattern is none")
        return faults


class Edge(Card):
    """What strengthens the unit's edge."""

    KIND = "edge"
    SHEET = "edges"
    SAYS = "edge rods, edge strips, foam rails, stiff rows"

    form: Literal["edge rod", "edge strip", "foam rail", "stiff rows"] = says("kind of edge")
    wire: str | None = refer("wire", default=None, says="wire of the rod or strip")
    rods: int = measure("rods", 0)
    clipped: Literal["before the oven", "after the oven", "not heated"] = says(
        "when the rod is clipped on; both ways exist", "not heated"
    )
    strip_width: float | None = measure("strip_width", None)
    strip_thickness: float | None = measure("strip_thickness", None)
    strip_row: int | None = measure("strip_row", None)
    rail: str | None = refer("filling", default=None, says="foam of the rail")
    rail_width: float | None = measure("rail_width", None)
    stiff_rows: int | None = measure("stiff_rows", None)
    coil: str | None = refer("coil", default=None, says="coil of the stiff rows")

    NEEDS: ClassVar[dict[str, tuple[str, ...]]] = {
        "edge rod": ("wire",),
        "edge strip": ("wire", "strip_width", "strip_thickness", "strip_row"),
        "foam rail": ("rail", "rail_width"),
        "stiff rows": ("stiff_rows", "coil"),
    }

    @model_validator(mode="after")
    def _form_has_its_fields(self) -> Self:
        empty = [field for field in self.NEEDS[self.form] if getattr(self, field) is None]
        if self.form == "edge rod" and self.rods == 0:
            empty.append("rods")
        if empty:
            raise ValueError(f"{', '.join(empty)} empty, and an edge of the form {self.form} needs it")
        return self


__all__ = ["Coil", "CoilHeat", "CoilPoint", "Edge", "Grade", "Heat", "Profile", "Text", "Unit", "UnitZone", "Wire"]
