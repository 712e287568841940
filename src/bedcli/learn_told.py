"""What was learned as JSON and as a sheet for people: every figure with its unit, none finer than it is sure."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass
from typing import Any

from bedcli.pad_plain import six_figures
from bedwright import __version__, typed
from bedwright.design.bed_at_size import BedAtSize
from bedwright.mechanics.base import Base
from bedwright.mechanics.learn import Learned, LearnedFigure, LearnedSinks, LearnedTest
from bedwright.mechanics.learn_known import Known, Spread
from bedwright.mechanics.learn_revision import Proposal

WIDE = 118
WITHIN = "90 of 100 between low and high"
MEANINGS = {
    "apart": "figures that the readings say nothing of, that act alike, or that stand in for each other",
    "check": "misfit by chi-square of so many degrees; rare: share of beds within the cards that lie as far off",
    "figures": f"before and after, {WITHIN}; left: width after over width before; z: standard deviations from the card",
    "h": f"at the first test's spot, {WITHIN}; what the model leaves out is in none of it",
    "proposals": "fields of cards that would say what was learned; nothing is changed by itself",
    "rate_of_coils": "over what the card's own coil has: wire, turns and diameter together",
    "tests": "off: readings less prediction, root of the mean square, less zero and scale; zero and scale: likeliest",
}


@dataclass(frozen=True, slots=True)
class Asked:
    """A bed, the file of its tests, and what came of it."""

    works: str
    bed: BedAtSize
    file: str
    kind: str
    base: Base
    learned: Learned
    seconds: float


def learn_json(asked: Asked) -> dict[str, Any]:
    """Everything as plain data, floats with six figures."""
    bed, found = asked.bed, asked.learned
    told = {
        "apart": [{"how": one.how, "names": list(one.names), "words": one.words} for one in found.apart],
        "base": asked.base.words(),
        "bed": bed.bed.code,
        "check": {
            "directions": found.check.directions,
            "figures": list(found.check.figures),
            "misfit": found.check.misfit,
            "outside": found.check.outside,
            "rare_misfit": found.check.rare_misfit,
            "rare_strain": found.check.rare_strain,
            "readings": found.check.readings,
            "strain": found.check.strain,
            "words": found.check.words,
        },
        "curve_after": _curve(found.after),
        "curve_before": _curve(found.before),
        "figures": [_figure(one) for one in found.figures],
        "file": asked.file,
        "h_secant_after": _spread(found.after.secant),
        "h_secant_before": _spread(found.before.secant),
        "h_tangent_after": _spread(found.after.tangent),
        "h_tangent_before": _spread(found.before.tangent),
        "kind": asked.kind,
        "meanings": MEANINGS,
        "model": found.model,
        "notes": list(found.notes),
        "proposals": [_proposal(one) for one in found.proposals],
        "rate_of_coils": {"after": _spread(found.rate_after), "before": _spread(found.rate_before)},
        "seconds": asked.seconds,
        "sinks": [_sunk(one) for one in found.sinks],
        "size": bed.size.code,
        "size_mm": [bed.width, bed.length],
        "steps": found.steps,
        "tests": [_test(one) for one in found.tests],
        "units": {"depth": "mm", "force": "N", "h": "N/mm", "rate_of_coils": "1", "scale": "1", "zero": "mm"},
        "version": __version__,
        "works": asked.works,
        "works_revision": bed.works_revision,
    }
    rounded = six_figures(told)
    assert isinstance(rounded, dict)
    return rounded


def learn_text(asked: Asked) -> str:
    """The sheet for people."""
    bed, found = asked.bed, asked.learned
    sizes = f"{typed.show(bed.width)} x {typed.show(bed.length)} mm, works revision {bed.works_revision}"
    lines = [
        f"{'bed':<17}{bed.bed.code} {bed.bed.name}, {sizes}",
        f"{'learned from':<17}{asked.file}, base {asked.base.words()}",
    ]
    for number, test in enumerate(found.tests, 1):
        lines += _hung(f"{'test ' + (test.called or str(number)):<17}", _test_words(test))
    for sunk in found.sinks:
        lines += _hung(f"{'sinks':<17}", _sinks_words(sunk))
    away = "" if not found.tests or in_the_middle(bed, found.tests[0]) else ", at the first test's spot"
    for name, before, after in (
        ("H tangent", found.before.tangent, found.after.tangent),
        ("H secant", found.before.secant, found.after.secant),
    ):
        lines.append(f"{name:<17}{_span(before)} by the cards; {_span(after)} N/mm learned ({WITHIN}){away}")
    lines.append(f"{'rate of coils':<17}x {_span(found.rate_before)} by the cards; x {_span(found.rate_after)} learned")
    lines += _hung(f"{'check':<17}", found.check.words)
    lines += ["", f"{'open figure':<30}{'by the cards':>26}{'learned':>26}   left"]
    lines += [_row(one) for one in sorted(found.figures, key=lambda one: one.left)]
    told = [one for one in found.apart if one.how != "says nothing"]
    silent = [one for one in found.apart if one.how == "says nothing"]
    if found.apart:
        lines += ["", "What cannot be told:"]
        for one in (*told, *silent):
            lines += _hung("  - ", one.words)
    lines += ["", "Proposed for the cards (nothing is changed by itself):"]
    for proposal in found.proposals:
        lines += _hung("  - ", proposal.words)
    if not found.proposals:
        why = "see the check" if found.check.outside else "what was learned does not differ from them"
        lines.append(f"  nothing: {why if found.tests else 'see the notes'}")
    lines.append("")
    for note in found.notes:
        lines += _hung("- ", note)
    return "\n".join(lines)


def in_the_middle(bed: BedAtSize, test: LearnedTest) -> bool:
    """Whether a test stood in the middle of the bed, where EN 1957 reads H."""
    return abs(test.spot.x - bed.width / 2) < 1 and abs(test.spot.y - bed.length / 2) < 1


def _test_words(test: LearnedTest) -> str:
    spot = test.spot
    where = f"face {spot.face}, {typed.show(spot.x)} mm across, {typed.show(spot.y)} mm along"
    out = f", {test.left_out} not counted" if test.left_out else ""
    show = typed.show
    off = f"off by {show(test.off_before, 2)} N by the cards, {show(test.off_after, 2)} N after"
    common = f"zero {test.zero:+.1f} mm, scale {100 * test.scale:+.1f} %"
    return f"{where}; {len(test.depth)} readings{out}; {off} ({common}); noise {test.noise.words}"


def _sinks_words(sunk: LearnedSinks) -> str:
    told = [
        f"{part} {value:.0f} mm read, {before:.0f} by the cards, {after:.0f} learned"
        for part, value, before, after in zip(sunk.parts, sunk.measured, sunk.before, sunk.after, strict=True)
    ]
    off = ", ".join(f"{one:.0f}" for one in sunk.off)
    return f"{sunk.called}, {sunk.posture}: {'; '.join(told)}; each off by {off} mm (ruler and body; ruler {sunk.how})"


def _row(one: LearnedFigure) -> str:
    name = one.name if one.unit in ("", "share") else f"{one.name} [{one.unit}]"
    left = "all" if one.left > 0.95 else f"{100 * one.left:.0f} %"
    return f"{name[:38]:<38}{_span(one.before):>22}{_span(one.after):>22}{left:>7}"


def _span(spread: Spread | None) -> str:
    """A value with its ends, none finer than the first figure of the narrower half."""
    if spread is None:
        return "not reached"
    half = min((side for side in (spread.high - spread.value, spread.value - spread.low) if side > 0), default=0.0)
    value, low, high = (typed.show(one, 3, interval=half) for one in (spread.value, spread.low, spread.high))
    return f"{value} ({low} to {high})"


def _spread(spread: Spread | None) -> dict[str, float] | None:
    return None if spread is None else {"high": spread.high, "low": spread.low, "value": spread.value}


def _curve(known: Known) -> list[list[float]]:
    columns = (known.depth, known.force, known.low, known.high)
    return [[float(value) for value in row] for row in zip(*columns, strict=True)]


def _figure(one: LearnedFigure) -> dict[str, Any]:
    return {
        "after": _spread(one.after),
        "before": _spread(one.before),
        "left": one.left,
        "name": one.name,
        "unit": one.unit,
        "z": one.z,
    }


def _sunk(sunk: LearnedSinks) -> dict[str, Any]:
    return {
        "after_mm": list(sunk.after),
        "before_mm": list(sunk.before),
        "called": sunk.called,
        "measured_mm": list(sunk.measured),
        "off_mm": list(sunk.off),
        "parts": list(sunk.parts),
        "posture": sunk.posture,
    }


def _test(test: LearnedTest) -> dict[str, Any]:
    return {
        "called": test.called,
        "face": test.spot.face,
        "noise": {"depth_mm": test.noise.depth, "how": test.noise.how, "share": test.noise.share},
        "off_after_n": test.off_after,
        "off_before_n": test.off_before,
        "presses": test.presses,
        "readings": [[float(d), float(f)] for d, f in zip(test.depth, test.force, strict=True)],
        "readings_left_out": test.left_out,
        "scale": test.scale,
        "spot_mm": [test.spot.x, test.spot.y],
        "zero_mm": test.zero,
    }


def _proposal(one: Proposal) -> dict[str, Any]:
    return {
        "code": one.code,
        "field": one.field,
        "high": one.high,
        "kind": one.kind,
        "low": one.low,
        "new": one.new,
        "old": one.old,
        "row": one.row,
        "sheet": one.sheet,
        "unit": one.unit,
        "words": one.words,
    }


def _hung(head: str, words: str) -> list[str]:
    """Words behind a head, the lines after the first under their beginning."""
    return textwrap.wrap(words, WIDE, initial_indent=head, subsequent_indent=" " * len(head))
