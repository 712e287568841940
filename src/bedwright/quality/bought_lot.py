"""The plan for one bought lot in classes of defects: one sample, each class judged on its own first units.

Common buying default, editable: critical none, major AQL 2.5, minor AQL 4.0, level II (common-practice).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from bedwright.errors import OutsideRange
from bedwright.quality.sampling import Inspection, Level, SamplingPlan, Standard, single_plan


@dataclass(frozen=True, slots=True)
class DefectClass:
    """A class of defects, its AQL [% nonconforming] (0: not one may be found) and what belongs to it."""

    name: str
    aql: float
    examples: tuple[str, ...] = ()


# Examples from public inspection guidance and judgement (common-practice).
DEFAULT_CLASSES: tuple[DefectClass, ...] = (
    DefectClass(
        "critical",
        0.0,
        (
            "wire through the surface or a sharp end",
            "needle or metal fragment",
            "mould or insects",
            "fire or legal label missing or wrong",
            "ignition evidence failed or missing",
            "bag warning wrong or missing",
        ),
    ),
    DefectClass(
        "major",
        2.5,
        (
            "size or height out of tolerance",
            "build differs from the sealed sample",
            "tear, hole or lasting stain",
            "open seam, or three skipped stitches in a row",
            "spring broken, missing or upside down",
            "out of square",
            "tuft missing",
            "tape edge loose",
            "strong smell",
            "unit rattles",
        ),
    ),
    DefectClass(
        "minor", 4.0, ("loose thread", "slight shade difference", "mark that comes off", "light pucker", "label askew")
    ),
)


@dataclass(frozen=True, slots=True)
class ClassPlan:
    """One class: judged on the first n units, accepted at `accept` or fewer, refused at `reject` or more.

    plan is None for a class of which none may be found; it is judged on every unit taken.
    """

    name: str
    aql: float
    n: int
    accept: int
    reject: int
    plan: SamplingPlan | None


@dataclass(frozen=True, slots=True)
class BoughtLotPlan:
    """Units to take at random from a lot, and one row for each class, in the order given."""

    lot: int
    take: int
    whole_lot: bool
    rows: tuple[ClassPlan, ...]
    says: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LotVerdict:
    """Whether the lot is accepted; for each class what was said."""

    accepted: bool
    says: tuple[str, ...]


def bought_lot_plan(
    lot: int,
    classes: tuple[DefectClass, ...] = DEFAULT_CLASSES,
    *,
    level: Level = "II",
    inspection: Mapping[str, Inspection] | None = None,
    standard: Standard = "mil-105e",
) -> BoughtLotPlan:
    """How many units of a lot to look at, and what each class allows.

    MIL-STD-105E (mil-105e). Arrows may give each class its own sample size: the largest is taken and each class is
    judged on its own first n units, in the order drawn. inspection: severity by class name, since classes switch
    independently; normal where not said. Raises OutsideRange.
    """
    names = [one.name for one in classes]
    if not classes or len(set(names)) != len(names):
        raise OutsideRange(f"classes {names} must be one or more, each with its own name")
    severity = inspection or {}
    strangers = sorted(set(severity) - set(names))
    if strangers:
        raise OutsideRange(f"severity given for {', '.join(strangers)}; the classes are {', '.join(names)}")
    plans = {
        one.name: single_plan(lot, one.aql, level=level, inspection=severity.get(one.name, "normal"), standard=standard)
        for one in classes
        if one.aql > 0
    }
    if not plans:
        raise OutsideRange("every class has AQL 0: give one class an AQL, which sets how many units are taken")
    take = max(plan.n for plan in plans.values())
    rows = []
    for one in classes:
        plan = plans.get(one.name)
        if plan is None:
            rows.append(ClassPlan(one.name, 0.0, take, 0, 1, None))
        else:
            rows.append(ClassPlan(one.name, one.aql, plan.n, plan.accept, plan.reject, plan))
    says = ["A sample cannot show that a lot has no critical defect; not one may be found among the units taken."]
    if len({row.n for row in rows}) > 1:
        says.append("Sample sizes differ by class: number the units as drawn and judge each class on its own first n.")
    whole = take >= lot
    if whole:
        says.append("Every unit is looked at: the sample would reach the lot.")
    return BoughtLotPlan(lot, take, whole, tuple(rows), tuple(says))


def judge_lot(plan: BoughtLotPlan, found: Mapping[str, tuple[int, ...]]) -> LotVerdict:
    """The verdict on a lot from the units found bad: by class, the places (1 is the first drawn) of bad units.

    Units past a class's own n do not count for it. Raises OutsideRange for a place outside the sample, a place twice
    or a class that the plan has not.
    """
    strangers = sorted(set(found) - {row.name for row in plan.rows})
    if strangers:
        raise OutsideRange(f"found defects of class {', '.join(strangers)}, which the plan has not")
    accepted, says = True, []
    for row in plan.rows:
        places = found.get(row.name, ())
        if len(set(places)) != len(places) or not all(1 <= place <= plan.take for place in places):
            raise OutsideRange(f"{row.name}: places {list(places)} must differ and lie in 1 to {plan.take}")
        counted = sum(place <= row.n for place in places)
        good = counted < row.reject
        accepted = accepted and good
        word = "accepted" if good else "not accepted"
        if good and counted > row.accept:
            word = "accepted this once; normal inspection from the next lot"
        says.append(f"{row.name}: {counted} among the first {row.n}, limit {row.accept}: {word}")
    return LotVerdict(accepted, tuple(says))
