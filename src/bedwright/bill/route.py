"""The making route of one bed: which steps it has, what each counts, minutes, and the net in which streams meet.

Steps of a stream follow each other by position; the first step of `meet` waits for the last of unit, panels and border,
because a bed cannot start until its own set is complete (common practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass

from bedwright.bill.rows import Operation, shown
from bedwright.design.bed_at_size import BedAtSize, PanelAtSize, UnitAtSize
from bedwright.works.making import RouteStep
from bedwright.works.works import Works

METHODS = {"multi-needle panel": "continuous multi-needle", "deep panel": "single deep panel"}


def has(bed: BedAtSize, only_if: str | None) -> bool:
    """Whether a bed has what a step asks for; a step that asks for nothing is on every bed."""
    if only_if is None:
        return True
    unit, edge = bed.unit, bed.edge
    rod = edge is not None and edge.card.form == "edge rod"
    heat = {group.coil.heat for group in unit.groups}
    facts = {
        "made unit": unit.card.origin == "made",
        "bought unit": unit.card.origin == "bought",
        "open-coil": unit.card.construction == "open-coil",
        "pocket": unit.card.construction == "pocket",
        "edge strip": edge is not None and edge.card.form == "edge strip",
        "foam rail": edge is not None and edge.card.form == "foam rail",
        "whole unit heat": "whole unit" in heat,
        "quilted border": bed.border.card.quilted,
        "fittings": bool(bed.border.fittings),
        "machine side-stitch": bed.border.card.side_stitch == "machine",
        "hand side-stitch": bed.border.card.side_stitch == "hand",
        "flange": bed.edging.card.form == "flange",
        "overlock": bed.edging.card.form == "overlock",
        "tufts": bed.tufts is not None,
        "two faces": bed.bed.faces == 2,
        "one face": bed.bed.faces == 1,
        "mini-spring layer": bool(_minis(bed)),
        "rolled": bed.wrap.how == "rolled",
        "not rolled": bed.wrap.how != "rolled",
        "edge guard": bed.wrap.edge_guard is not None,
        "zip": bed.closure.card.form == "zipped",
    }
    for when in ("before the oven", "after the oven", "not heated"):
        facts[f"edge rod {when}"] = rod and edge is not None and edge.card.clipped == when
    for word, method in METHODS.items():
        facts[word] = any(panel.card.method == method for panel in bed.panels)
    return facts[only_if]


def _minis(bed: BedAtSize) -> tuple[tuple[UnitAtSize, int], ...]:
    return tuple((layer.part, layer.count) for layer in bed.layers if isinstance(layer.part, UnitAtSize))


def step_panels(bed: BedAtSize, step: RouteStep) -> tuple[PanelAtSize, ...]:
    """The panels that a step works on: those of its method where it asks for one, else all."""
    method = METHODS.get(step.only_if or "")
    return tuple(panel for panel in bed.panels if method in (None, panel.card.method))


def counted(bed: BedAtSize, step: RouteStep) -> float:
    """What a step counts on one bed, in the unit of its driver. Tape counts one pass: each pass is its own step."""
    panels = step_panels(bed, step)
    units = _minis(bed) if step.only_if == "mini-spring layer" else ((bed.unit, 1),)
    if step.per == "bed":
        return 1.0
    if step.per == "coil":
        return float(sum(unit.count * times for unit, times in units))
    if step.per == "unit m2":
        return sum(unit.width * unit.length * times for unit, times in units) / 1e6
    if step.per == "lacing m":
        return sum(unit.lacing_lines * unit.lacing_line_length * times for unit, times in units) / 1000
    if step.per == "face":
        return float(len(panels))
    if step.per == "panel m2":
        return sum(panel.quilted_width * panel.quilted_length for panel in panels) / 1e6
    if step.per == "panel edge m":
        return len(panels) * bed.edging.seam_length / 1000
    if step.per == "border m":
        return bed.border.cut_length / 1000
    if step.per == "fitting":
        return float(sum(count for _, count in bed.border.fittings))
    if step.per == "tape m":
        return (bed.closure.tape_per_pass or bed.closure.perimeter) / 1000
    if step.per == "tuft":
        return float(bed.tufts.count if bed.tufts is not None else 0)
    return bed.border.side_stitch_length / 1000


def family_value(bed: BedAtSize, step: RouteStep) -> str:
    """What must stand set up for a step: code of wire, ticking or tape, coil height, needles and pattern."""
    minis = _minis(bed)
    units = [mini for mini, _ in minis] if step.only_if == "mini-spring layer" and minis else [bed.unit]
    groups = [group for unit in units for group in unit.groups]
    panels = step_panels(bed, step)
    if step.set_up == "wire":
        return " + ".join(sorted({group.wire.code for group in groups}))
    if step.set_up == "coil height":
        return " + ".join(sorted({f"{shown(group.coil.free_height)} mm" for group in groups}))
    if step.set_up == "ticking":
        if step.stream == "border":
            return bed.border.cloth.code
        return " + ".join(sorted({panel.ticking.code for panel in panels}))
    if step.set_up == "needle spacing":
        needles = {_needles(panel) for panel in panels}
        return " + ".join(sorted(needles))
    if step.set_up == "tape colour":
        return bed.closure.tape.code if bed.closure.tape is not None else ""
    return ""


def _needles(panel: PanelAtSize) -> str:
    """Needle spacing and pattern, each where the card has one."""
    spacing = panel.card.needle_spacing
    return " ".join(part for part in (f"{shown(spacing)} mm" if spacing else "", panel.card.pattern) if part)


@dataclass(frozen=True, slots=True)
class _Place:
    oven: bool
    caution: str


def bed_operations(works: Works, bed: BedAtSize) -> tuple[Operation, ...]:
    """The operations of one bed, each after all that it waits for: parts by position, then what meets by position."""
    steps = [step for step in works.routes[bed.bed.route].ordered() if has(bed, step.only_if)]
    last: dict[str, int] = {}
    made = []
    for step in sorted(steps, key=lambda step: (step.stream == "meet", step.position)):
        if step.stream in last:
            after: tuple[int, ...] = (last[step.stream],)
        elif step.stream == "meet":
            after = tuple(sorted(last.values()))
        else:
            after = ()
        made.append(_operation(works, bed, step, after))
        last[step.stream] = step.position
    return tuple(made)


def _operation(works: Works, bed: BedAtSize, step: RouteStep, after: tuple[int, ...]) -> Operation:
    card = works.work_places[step.work_place]
    place = _Place(card.form == "oven", "" if card.caution == "none" else card.caution)
    count = counted(bed, step)
    value = family_value(bed, step)  # none where the bed has no such thing, as a zipped cover has no tape: no set-up
    minutes = 0.0 if place.oven else step.base_minutes + step.minutes_per * count
    if place.oven:
        how = "charge time of the oven"
    elif step.minutes_per:
        how = f"{shown(step.base_minutes)} + {shown(step.minutes_per)} x {shown(count)} {step.per} = {shown(minutes)}"
    else:
        how = shown(minutes)
    return Operation(
        position=step.position,
        operation=step.operation,
        stream=step.stream,
        work_place=card.code,
        skill=None if place.oven else step.skill,
        hands=step.hands,
        minutes=minutes,
        count=count,
        per=step.per,
        how=f"{how} min" if not place.oven else how,
        family=(step.set_up or "") if value else "",
        family_value=value,
        wait_minutes=step.wait_minutes,
        after=after,
        piece_paid=step.piece_paid,
        subcontracted=step.subcontracted,
        oven=place.oven,
        rack_units=1 if place.oven else 0,
        caution=place.caution if step.caution in (None, "none") else step.caution,
        check=step.check or "",
    )
