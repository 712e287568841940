"""Persons lying as JSON and as a sheet for people: every figure with its unit, threshold and cell always beside it."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from bedcli.pad_plain import six_figures
from bedwright import __version__, typed
from bedwright.design.bed_at_size import BedAtSize
from bedwright.mechanics.lain import CAUTION, SHOWN_ABOVE, THRESHOLD, Lying
from bedwright.mechanics.lying import Lies
from bedwright.mechanics.turned import Turned
from bedwright.mechanics.zip_link import NOT_SAID, ZipLinked
from bedwright.papers.lying_figures import NO_INTERVAL, told, turning_words, who_lies
from bedwright.papers.lying_surety import HOW, Sure, spans
from bedwright.works.works import Works

WIDE = 110  # characters of a line of notes
FIGURES = {
    "contact_area": "contact_area_m2", "lumbar_gap": "lumbar_gap_mm", "mean": "mean_kpa", "p95": "p95_kpa",
    "p99": "p99_kpa", "roll": "roll_deg", "spine_angle": "spine_deg", "spine_departure": "spine_departure_mm",
}  # fmt: skip
MEANINGS = {
    "above": "share of the touched area above so many mmHg; for comparison only, no limit of anything",
    "back_gap_mm": "supine: the largest gap between the small of the back and the bed; null on the side",
    "contact_area_m2": "cells of more than threshold_kpa",
    "force_error": "what the bed carries less the weight, as a share of the weight",
    "interval": "least and greatest, every open figure of bed and body at its limits, as independent; null: left out",
    "lumbar_gap_mm": "supine: how far the small of the back lies over the line from blades to buttocks",
    "mean_kpa": "over touched cells, as p95_kpa and p99_kpa; compare at one cell_mm and threshold_kpa only",
    "moment_error": "of the pressure about the middle of mass, as a share of weight x stature",
    "roll_deg": "of the trunk about the bed's length, towards the right edge positive",
    "seconds": "time of bringing the persons to rest, once; neither starting nor reading the works",
    "share": "of the weight: to the seventh neck vertebra, to the tenth rib, to mid thigh, below",
    "sink_mm": "of the face under each part, below the untouched face",
    "spine_deg": "of the spine's line of least squares, head higher positive; less the standing spine's own shape",
    "spine_departure_mm": "largest distance of the spine from that line",
    "settled_percent": "share of their set that the fillings have lost; 0 is new",
    "zip_link": "two of the bed side by side, each with its person; step_mm: how much deeper the left one lies",
    "turn": "what moves of the one who lies still when the other turns; after less before, deeper positive",
}


@dataclass(frozen=True, slots=True)
class LyingAsked:
    """Persons on a bed of a works as it was asked, and what came of it; seconds: of `lying` alone.

    turned: what the turning of each does to the other, where that was asked; sure: how sure the figures of each person
    are, empty where that was left out; moves: the open figures of one reckoning or of each bed's; link: two zip-linked
    beds, of which `lying` is the joined plan. settled: the share of its set that the bed has lost [%].
    """

    works: Works
    bed: BedAtSize
    lies: tuple[Lies, ...]
    lying: Lying
    seconds: float
    turned: tuple[Turned, ...] = ()
    sure: tuple[Sure, ...] = ()
    link: ZipLinked | None = None
    settled: float = 0.0
    more: tuple[str, ...] = ()

    @property
    def joint(self) -> float | None:
        """Where two linked beds meet [mm from the left]; None for one bed."""
        return None if self.link is None else self.link.left.width


def lying_json(asked: LyingAsked) -> dict[str, Any]:
    """All of it as plain data, floats with six figures."""
    bed, lying = asked.bed, asked.lying
    found: dict[str, Any] = {
        **_person(asked, 0),
        "base": lying.base,
        "bed": bed.bed.code,
        "caution": CAUTION,
        "cell_mm": lying.cell,
        "face": lying.face,
        "meanings": MEANINGS,
        "model": lying.model,
        "newton": lying.newton,
        "nodes": lying.nodes,
        "notes": [*asked.more, *lying.notes, HOW if asked.sure else NO_INTERVAL],
        "residual": lying.residual,
        "settled_percent": asked.settled,
        "seconds": asked.seconds,
        "size": bed.size.code,
        "size_mm": [bed.width, bed.length],
        "threshold_kpa": THRESHOLD,
        "turn": [_turn(one) for one in asked.turned],
        "version": __version__,
        "with": _person(asked, 1) if len(lying.persons) > 1 else None,
        "works": asked.works.about.name,
        "works_revision": bed.works_revision,
        "zip_link": _link(asked.link),
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
    wide = 24 if asked.sure else 12
    for group, rows in groupby(told(lying), key=lambda one: one.group):
        lines += ["", f"{group}:"]
        for row in rows:
            values = spans(row, asked.sure) if asked.sure else row.values
            lines.append(f"  {row.word:<36}" + "".join(f"{value:>{wide}}" for value in values) + f"  {row.unit}")
    for index, one in enumerate(asked.sure):
        most = dict.fromkeys(one.most[key] for key in ("p99", "mean", "sink_hip", "spine_angle") if key in one.most)
        who = f" of {lying.persons[index].called}" if len(asked.sure) > 1 else ""
        lines += [
            "",
            *textwrap.wrap(f"What moves P99, mean, sink of the hip and spine{who} most: {', '.join(most)}", WIDE),
        ]
    for moved in asked.turned:
        lines += ["", *textwrap.wrap(turning_words(moved), WIDE)]
    if asked.link is not None:
        lines += ["", *textwrap.wrap(link_words(asked.link), WIDE)]
    residual = f"worst place of the bed unbalanced by {typed.show(100 * lying.residual, 1)} % of the weight"
    notes = (*asked.more, *lying.notes, HOW if asked.sure else NO_INTERVAL, f"{residual}; model {lying.model}")
    lines.append("")
    for note in notes:
        lines += textwrap.wrap(note, WIDE, initial_indent="- ", subsequent_indent="  ")
    return "\n".join([*lines, "", *textwrap.wrap(CAUTION, WIDE)])


def _person(asked: LyingAsked, index: int) -> dict[str, Any]:
    one, lies = asked.lying.persons[index], asked.lies[index]
    sure = asked.sure[index] if asked.sure else None
    side = lies.posture == "side"
    return {
        "above": {f"{limit:g}": share for limit, share in zip(SHOWN_ABOVE, one.above, strict=True)},
        "back_gap_mm": one.clearance,
        "carried_n": one.carried,
        "contact_area_m2": one.contact_area,
        "facing": lies.facing if side else None,
        "force_error": one.force_error,
        "interval": None if sure is None else _named({key: [sure.low[key], sure.high[key]] for key in sure.value}),
        "lumbar_gap_mm": one.lumbar_gap,
        "mean_kpa": one.mean,
        "moment_error": float(one.moment_error),
        "moved_most_by": None if sure is None else _named(sure.most),
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


def _named(figures: Mapping[str, Any]) -> dict[str, Any]:
    """Figures under the keys that the answer has for them."""
    found: dict[str, Any] = {"share": {}, "sink_mm": {}}
    for key, value in figures.items():
        kind, _, part = key.partition("_")
        if kind in ("share", "sink"):
            found["share" if kind == "share" else "sink_mm"][part] = value
        else:
            found[FIGURES[key]] = value
    return found


def _link(link: ZipLinked | None) -> dict[str, Any] | None:
    if link is None:
        return None
    return {
        "along_mm": [float(y) for y in link.along],
        "dip_mm": [float(dip) for dip in link.dip],
        "largest_dip_mm": link.largest_dip,
        "largest_step_mm": link.largest_step,
        "note": NOT_SAID,
        "step_mm": [float(step) for step in link.step],
    }


def link_words(link: ZipLinked) -> str:
    """What two linked beds do at their joint, in one sentence."""
    step, dip = typed.show(link.largest_step, 3, interval=1.0), typed.show(link.largest_dip, 3, interval=1.0)
    return (
        f"zip-linked: at the joint one bed's face stands up to {step} mm over the other's, and lies up to {dip} mm "
        "below the untouched faces"
    )


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
