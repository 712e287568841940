"""What is known of a build without pressing it: does it fit, do the ceilings hold, what it weighs and costs."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache

import numpy as np

from bedwright.bill.make import make_bill
from bedwright.cost.money import to_major
from bedwright.cost.rollup import cost
from bedwright.design.bed_at_size import BedAtSize
from bedwright.design.fit import fit
from bedwright.design.fit_claims import spring_counts
from bedwright.errors import BedwrightError
from bedwright.mechanics.card_coil import shape_of
from bedwright.mechanics.coil_rate import plain_rate
from bedwright.mechanics.filling import filling_law
from bedwright.weighing.asked import Asked
from bedwright.weighing.builds import Build
from bedwright.words import counted
from bedwright.works.materials import Filling

PRESSURE = 4.0
"""Pressure [kPa] at which layers are compared before anything is pressed: about what the pad has at 275 N over it."""


@dataclass(frozen=True, slots=True)
class Facts:
    """Of one build: cost [the works' currency], mass with its house tolerance [kg], steel [kg], carbon [kg CO2e],
    height [mm], springs [each], minutes of labour. not_known: what sums leave out. guide: logs of stiffness, for the
    emulator. refused: why it is no answer to the brief, "" where it is one so far."""

    cost: float
    price: float
    mass: float
    mass_low: float
    mass_high: float
    steel: float
    carbon: float
    height: float
    springs: int
    minutes: float
    not_known: tuple[str, ...]
    guide: tuple[float, ...]
    refused: str

    def of(self, aim: str) -> float:
        """The figure of an aim that needs no press: cost, mass or carbon."""
        return {"cost": self.cost, "mass": self.mass, "carbon": self.carbon}[aim]


def facts(made: Build, ask: Asked, day: date) -> Facts:
    """Everything that is known without a press, and the first reason to refuse the build."""
    works, bed, brief = made.works, made.bed, ask.brief
    if brief.faces is not None and bed.bed.faces != brief.faces:
        return refused(f"it has {counted(bed.bed.faces, 'face')}, and {brief.faces} asked")
    grave = [str(fault) for fault in fit(works, bed) if fault.grave]
    if grave:
        return refused(f"does not fit: {grave[0]}")
    bill = make_bill(works, bed)
    sheet = cost(works, bill, day)
    found = Facts(
        cost=float(to_major(sheet.total, sheet.currency)),
        price=float(to_major(sheet.price, sheet.currency)),
        mass=bill.mass,
        mass_low=bill.mass_low,
        mass_high=bill.mass_high,
        steel=bill.steel_mass,
        carbon=bill.carbon,
        height=bed.height,
        springs=spring_counts(bed)[brief.count_of],
        minutes=bill.minutes,
        not_known=(
            *(f"steel of {code}" for code in bill.steel_unknown),
            *(f"carbon of {code}" for code in bill.carbon_unknown),
            *(f"price of {one.of} {one.item}" for one in sheet.missing),
        ),
        guide=(),
        refused="",
    )
    over = _over(found, ask, works.about.currency)
    return refused(over, found) if over else replace(found, guide=guide(bed))


def refused(why: str, found: Facts | None = None) -> Facts:
    """Facts of a build that is no answer."""
    if found is None:
        return Facts(0, 0, 0, 0, 0, 0, 0, 0, 0, 0, (), (), why)
    return replace(found, refused=why)


def _over(found: Facts, ask: Asked, currency: str) -> str:
    """The first ceiling that does not hold; of the mass the upper end of its tolerance counts."""
    brief = ask.brief
    for name, value, most, unit in (
        ("height", found.height, brief.height_max, "mm"),
        ("mass", found.mass_high, brief.mass_max, "kg"),
        ("steel", found.steel, brief.steel_max, "kg"),
        ("carbon", found.carbon, brief.carbon_max, "kg CO2e"),
        ("cost", found.cost, None if brief.cost_max is None else float(brief.cost_max), currency),
        ("price", found.price, None if brief.price_max is None else float(brief.price_max), currency),
    ):
        if most is not None and value > most + 1e-9:
            return f"{name} {value:.5g} {unit} is above {most:g}"
    if brief.count_claim is not None and found.springs < brief.count_claim:
        return f"{found.springs} {brief.count_of} are fewer than the {brief.count_claim} to be claimed"
    return ""


def guide(bed: BedAtSize) -> tuple[float, ...]:
    """Closed forms that order builds before a press: log of the unit's stiffness per area, and of the fillings' give.

    The unit by its main coil's rate over its cell [kPa/mm]; the fillings by how far they go down
    together at PRESSURE [mm], upper face and lower. Raises nothing: what is not known counts as nothing.
    """
    group = bed.unit.groups[0]
    lattice = bed.unit.lattice
    try:
        rate = plain_rate(shape_of(group.coil, group.wire))
    except BedwrightError:
        rate = 1e-3
    stiff = rate / (lattice.pitch_across * lattice.pitch_along) * 1000
    gives = {face: 0.0 for face in "AB"}
    for layer in bed.layers:
        if isinstance(layer.part, Filling):
            gives[layer.face] += layer.built_thickness * layer.count * _give(layer.part)
    for panel in bed.panels:
        gives[panel.face] += sum(ply.thickness * _give(ply) for ply in panel.plies if isinstance(ply, Filling))
    return (float(np.log(stiff)), float(np.log1p(gives["A"])), float(np.log1p(gives["B"])), bed.height / 100)


@lru_cache(maxsize=1024)
def _give(filling: Filling) -> float:
    try:
        return float(filling_law(filling).compressions(np.array([PRESSURE]))[0])
    except BedwrightError:
        return 0.0
