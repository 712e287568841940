"""The job card: one run of beds through the works, in letters that can be read at two metres and with gloves on.

It carries no price. Until release it says draft, and its id derives from order line and size; once released it bears
the ids that last, and a ticket for each bed with its serial as a code, to be scanned at the stations.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from bedwright.bill.rows import Bill, Operation
from bedwright.design.bed_at_size import BedAtSize, LayerAtSize
from bedwright.loading.lifting import lift_words, usual_people
from bedwright.marks.label_facts import LabelFacts
from bedwright.papers.cautions import CARD_KEYS, CAUTIONS, cautions
from bedwright.papers.drawings.code128 import code128
from bedwright.papers.figures import Issue, Paper, day, file_stem, moment, size_words
from bedwright.papers.typeset import typeset
from bedwright.schedule.plan import Plan
from bedwright.schedule.problem import Problem
from bedwright.works.runs import Run

Starts = Mapping[int, str]
"""Position of a step -> when it begins by the draft plan, in words."""


@dataclass(frozen=True, slots=True)
class JobCard:
    """What one card is made from. their_name: the customer's name for the bed, "" for none; starts: by the plan;
    says: what whoever holds the card must know, printed behind a heavy rule."""

    run: Run
    bed: BedAtSize
    bill: Bill
    label: LabelFacts
    customer: str = ""
    their_name: str = ""
    starts: Starts = field(default_factory=dict)
    says: tuple[str, ...] = ()


def planned_starts(problem: Problem, plan: Plan) -> dict[str, dict[int, str]]:
    """Run id -> position of the step -> when its first slip begins, wall time of the works."""
    operations = {operation.id: operation for operation in problem.operations}
    found: dict[str, dict[int, tuple[int, str]]] = {}
    for slip in plan.slips:
        order = operations[slip.operation].works_order
        position = int(slip.operation.removeprefix(f"{order}-").split("-")[0])
        steps = found.setdefault(order, {})
        if position not in steps or slip.setup_start < steps[position][0]:
            steps[position] = (slip.setup_start, moment(problem.clock.wall(slip.setup_start)))
    return {order: {place: words for place, (_, words) in steps.items()} for order, steps in found.items()}


def job_cards(issue: Issue, cards: Sequence[JobCard], name: str, *, two_people_from: float = 25.0) -> Paper:
    """The cards of several runs as one document, A4, one card after the other. Raises NotPrinted."""
    data = {"issue": issue.plain(), "cards": [_card(card, two_people_from) for card in cards]}
    printed = typeset("job_card", data, title=f"Job cards {name}", as_of=issue.as_of)
    return Paper(f"job-cards_{file_stem(name)}.pdf", printed.pdf, printed.written_out)


def card_keys(card: JobCard, two_people_from: float = 25.0) -> tuple[str, ...]:
    """Keys of the cautions that a card carries: the works' own, those of its work places, its pack and its mass."""
    keys = [*CARD_KEYS, *(step.caution for step in card.bill.operations if step.caution not in ("", "none"))]
    if card.bed.bed.wrap == "rolled":
        keys += ["nip", "rolled", "recovery"]  # the step's own caution may stand for the roller's
    if card.bed.unit.card.origin == "bought":
        keys.append("bale")
    if usual_people(card.bill.packed_mass, two_from=two_people_from) != 1:
        keys.append("lift")
    return tuple(dict.fromkeys([*keys, "film", "fire"]))


def _card(card: JobCard, two_people_from: float) -> dict[str, object]:
    run, bed, van = card.run, card.bed, card.run.van
    faults = [] if van.in_time else [f"No van is left that gets there in time; this one leaves on {day(van.day)}."]
    faults += [*card.says, *(f"Label: {one}." for one in card.label.missing)]
    many = f", run {run.number} of {run.of}" if run.of > 1 else ""
    return {
        "id": run.id,
        "draft": not run.serials,
        "tickets": [{"serial": one, "code": code128(one, 78.0, 13.0)} for one in run.serials],
        "code": code128(run.id, 82.0, 19.0),
        "bed": bed.bed.name or bed.bed.code,
        "size": size_words(bed.width, bed.length),
        "count": str(run.beds),
        "beds": "bed" if run.beds == 1 else "beds",
        "van": van.van_round,
        "day": day(van.day),
        "cut_off": f"wrapped by {moment(van.cut_off)}",
        "facts": [
            ["bed and size code", f"{bed.bed.code}, {bed.size.code}"],
            ["order", f"{run.order} line {run.line}{many}"],
            ["for", f"{card.customer or run.customer}" + (f": {card.their_name}" if card.their_name else "")],
            ["tape", _tape(bed)],
            ["label", f"{bed.label.name or bed.label.code}; {card.label.side_one.lower()}"],
            ["pack", bed.bed.wrap + (", edge guard" if bed.wrap.edge_guard is not None else "")],
            ["one bed packed", lift_words(card.bill.packed_mass, two_from=two_people_from)],
            ["unit", f"{bed.unit.card.code}, {bed.unit.count} coils"],
            ["finished, mm", f"{bed.width:g} × {bed.length:g} × {bed.height:.0f}"],
        ],
        "faces": [
            {"face": face, "panel": _panel(bed, face), "layers": [_layer(layer) for layer in bed.face_layers(face)]}
            for face in ("A", "B")
            if bed.face_layers(face) or bed.panel(face) is not None
        ],
        "one_sided": bed.bed.faces == 1,
        "border": f"Border {bed.border.card.code}: cut {bed.border.cut_height:.0f} × {bed.border.cut_length:.0f} mm"
        + "".join(f"; {count} {fitting.name or fitting.code}" for fitting, count in bed.border.fittings),
        "tufts": f"Tufts: {bed.tufts.count}, clamped at {bed.tufts.height:.0f} mm" if bed.tufts is not None else "",
        "steps": [_step(step, run.beds, card.starts) for step in card.bill.operations],
        "faults": faults,
        "cautions": [one.plain() for one in cautions(card_keys(card, two_people_from))],
    }  # fmt: skip


def _tape(bed: BedAtSize) -> str:
    tape = bed.closure.tape
    return bed.closure.card.form if tape is None else tape.name or tape.code


def _panel(bed: BedAtSize, face: str) -> str:
    panel = bed.panel(face)
    if panel is None:
        cloth = bed.closure.base_cloth
        return f"base cloth {cloth.name or cloth.code}" if cloth is not None else ""
    return f"panel {panel.card.code}, trimmed {panel.trimmed_width:g} × {panel.trimmed_length:g} mm"


def _layer(layer: LayerAtSize) -> str:
    times = f"{layer.count} × " if layer.count > 1 else ""
    return f"{times}{layer.name}, {layer.width:g} × {layer.length:g} mm" + (", glued" if layer.glued else "")


def _step(step: Operation, beds: int, starts: Starts) -> dict[str, str]:
    """A line with a box: what, where, minutes for the run, when, and the wait that must follow."""
    minutes = "oven" if step.oven else "outside" if step.subcontracted else f"{step.minutes * beds:.0f} min"
    words = step.operation + (f", {step.hands} people" if step.hands > 1 else "")
    if step.wait_minutes:
        words += f"; then wait {step.wait_minutes:g} min"
    return {
        "what": words,
        "at": step.work_place,
        "care": CAUTIONS[step.caution].word if step.caution in CAUTIONS else "",
        "min": minutes,
        "when": starts.get(step.position, ""),
    }
