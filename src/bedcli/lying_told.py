"""Persons lying as JSON and as a sheet for people: every figure with its unit, threshold and cell always beside it."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from bedcli.pad_plain import six_figures
from bedwright import __version__, typed
from bedwright.design.bed_at_size import BedAtSize
from bedwright.mechanics.lain import CAUTION, SHOWN_ABOVE, THRESHOLD, Lain, Lying
from bedwright.mechanics.lying import Lies
from bedwright.mechanics.turned import Turned
from bedwright.papers.lying_figures import NO_INTERVAL, told, turning_words, who_lies
from bedwright.works.works import Works

WIDE = 110  # characters of a line of notes
MEANINGS = {
    "above": "share of the touched area above so many mmHg; for comparison only, no limit of anything",
    "back_gap_mm": "supine: the largest gap between the small of the back and the bed; null on the side",
    "contact_area_m2": "cells of more than threshold_kpa",
    "force_error": "what the bed carries less the weight, as a share of the weight",
    "lumbar_gap_mm": "supine: how far the small of the back lies over the line from blades to buttocks",
    "mean_kpa": "over touched cells, as p95_kpa and p99_kpa; compare at one cell_mm and threshold_kpa only",
    "moment_error": "of the pressure about the middle of mass, as a share of weight x stature",
    "roll_deg": "of the trunk about the bed's length, towards the right edge positive",
    "seconds": "time of bringing the persons to rest, once; neither starting nor reading the works",
    "share": "of the weight: to the seventh neck vertebra, to the tenth rib, to mid thigh, below",
    "sink_mm": "of the face under each part, below the untouched face",
    "spine_deg": "of the spine's line of least squares, head higher positive; less the standing spine's own shape",
    "spine_departure_mm": "largest distance of the spine from that line",
    "turn": "what moves of the one who lies still when the other turns; after less before, deeper positive",
}


@dataclass(frozen=True, slots=True)
class LyingAsked:
    """Persons on a bed of a works as it was asked, and what came of it; seconds: of `lying` alone.

    turned: what the turning of each does to the other, where that was asked.
    """

    works: Works
    bed: BedAtSize
    lies: tuple[Lies, ...]
    lying: Lying
    seconds: float
    turned: tuple[Turned, ...] = ()


def lying_json(asked: LyingAsked) -> dict[str, Any]:
    """All of it as plain data, floats with six figures."""
    bed, lying = asked.bed, asked.lying
    found: dict[str, Any] = {
        **_person(lying.persons[0], asked.lies[0]),
        "base": lying.base,
        "bed": bed.bed.code,
        "caution": CAUTION,
        "cell_mm": lying.cell,
        "face": lying.face,
        "interval": None,
        "meanings": MEANINGS,
        "model": lying.model,
        "newton": lying.newton,
        "nodes": lying.nodes,
        "notes": [*lying.notes, NO_INTERVAL],
        "residual": lying.residual,
        "seconds": asked.seconds,
        "size": bed.size.code,
        "size_mm": [bed.width, bed.length],
        "threshold_kpa": THRESHOLD,
        "turn": [_turn(one) for one in asked.turned],
        "version": __version__,
        "with": _person(lying.persons[1], asked.lies[1]) if len(lying.persons) > 1 else None,
        "works": asked.works.about.name,
        "works_revision": bed.works_revision,
    }
    rounded = six_figures(found)
    assert isinstance(rounded, dict)
    return rounded


def lying_text(asked: LyingAsked) -> str:
    """The sheet for people."""
    bed, lying = asked.bed, asked.lying
    sizes = f"{typed.show(bed.width)} x {typed.show(bed.length)} mm, works revision {bed.works_revision}"
    facts = [
        ("bed", f"{bed.bed.code} {bed.bed.name}, {sizes}"),
        ("lies", f"face {lying.face} up, base {lying.base}"),
        *(("who lies" if not index else "", words) for index, words in enumerate(who_lies(lying))),
    ]
    lines = [f"{name:<17}{value}" for name, value in facts]
    for group, rows in groupby(told(lying), key=lambda one: one.group):
        lines += ["", f"{group}:"]
        for row in rows:
            lines.append(f"  {row.word:<36}" + "".join(f"{value:>12}" for value in row.values) + f" {row.unit}")
    for one in asked.turned:
        lines += ["", *textwrap.wrap(turning_words(one), WIDE)]
    residual = f"worst place of the bed unbalanced by {typed.show(100 * lying.residual, 1)} % of the weight"
    notes = (*lying.notes, NO_INTERVAL, f"{residual}; model {lying.model}")
    lines.append("")
    for note in notes:
        lines += textwrap.wrap(note, WIDE, initial_indent="- ", subsequent_indent="  ")
    return "\n".join([*lines, "", *textwrap.wrap(CAUTION, WIDE)])


def _person(one: Lain, lies: Lies) -> dict[str, Any]:
    side = lies.posture == "side"
    return {
        "above": {f"{limit:g}": share for limit, share in zip(SHOWN_ABOVE, one.above, strict=True)},
        "back_gap_mm": one.clearance,
        "carried_n": one.carried,
        "contact_area_m2": one.contact_area,
        "facing": lies.facing if side else None,
        "force_error": one.force_error,
        "lumbar_gap_mm": one.lumbar_gap,
        "mean_kpa": one.mean,
        "moment_error": float(one.moment_error),
        "p95_kpa": one.p95,
        "p99_kpa": one.p99,
        "person": one.called,
        "posture": one.posture,
        "roll_deg": one.roll,
        "share": one.share,
        "sink_mm": one.sink,
        "spine_deg": one.spine.angle,
        "spine_departure_mm": one.spine.departure,
        "spine_points_mm": [[float(a), float(h)] for a, h in zip(one.spine.along, one.spine.height, strict=True)],
        "spine_rms_mm": one.spine.rms,
        "upper_leg": lies.upper_leg if side else None,
        "weight_n": one.weight,
    }


def _turn(one: Turned) -> dict[str, Any]:
    return {
        "from": one.was,
        "p99_kpa": one.p99,
        "roll_deg": one.roll,
        "sink_mm": one.sink,
        "spine_deg": one.spine,
        "still": one.still,
        "to": one.now,
        "turning": one.turning,
    }
