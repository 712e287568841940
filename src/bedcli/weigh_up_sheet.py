"""The best set of a weigh-up as JSON and as a sheet for people."""

from __future__ import annotations

import textwrap
from typing import Any

from bedcli.pad_plain import six_figures
from bedwright import __version__, typed
from bedwright.mechanics.lain import CAUTION
from bedwright.weigh_up import AIMS, BestSet, Member, Question, Searched
from bedwright.weighing.chances import Chance
from bedwright.weighing.search import Tried
from bedwright.words import counted

PREDICTED = "predicted from the cards, not measured: make and press a sample before a figure is promised"
OUTSIDE = (
    "beds outside the band: each open figure drawn evenly between its limits; by making: only wire, coils, fillings "
    "and heights, the others as reckoned"
)
NO_ANSWER = "No build answers the brief: shown is the one that misses it least."
NO_INTERVAL = (
    "pressures and spines have no interval here: write the drafts with --into and set them side by side, which gives "
    "each its interval and says what the beds share"
)
MEANINGS = {
    "aims": "what is to be as small as can be, in this order; figures of them stand with each build",
    "answers": "builds pressed that fit, hold the ceilings and, as screened, lie in the band and hold the edge",
    "best": "solved in full; none is beaten by another in all aims",
    "best_not_shown": "builds of the best set that were not solved in full: they lie between those shown",
    "cards": "drafts that the build is made of, fields that are not usual only",
    "dropped_in_full": "builds that another beats, or that miss the brief, once solved in full",
    "edge_share": "H with the pad's middle 200 mm from the long side, over H in the middle; null: not asked",
    "h_screened": "H as tangent on the coarse mesh of the search",
    "outside_band": "of beds drawn with every open figure evenly between its limits; interval: of the count, 95 %",
    "outside_band_by_making": "the same with only wire, coils, fillings and heights drawn",
    "refused": "proposals that were not pressed, by the first reason",
    "screened_h_off_at_most": "largest share by which a screened H was off the full one, of the set",
    "seconds": "time of search and best set; all else is the same every time",
    "stopped": "why the search ended",
}
WIDE = 100


def weighed_json(
    asking: Question, found: Searched, best: BestSet, seed: int, work: int, seconds: float, drawn: list[str]
) -> dict[str, Any]:
    """The weigh-up as plain data, floats with six figures. seconds stands alone: all else is the same every time."""
    ask = asking.ask
    told: dict[str, Any] = {
        "aims": [{"aim": aim, "says": AIMS[aim][0], "unit": _unit(asking, aim)} for aim in ask.aims],
        "answers": len(found.answers),
        "band_n_per_mm": list(ask.band),
        "best": [_member(asking, member) for member in best.members],
        "best_not_shown": best.left,
        "brief": ask.brief.code,
        "currency": asking.works.about.currency,
        "drawn": drawn,
        "dropped_in_full": best.dropped,
        "failed": found.failed,
        "failed_in_full": list(best.failed),
        "meanings": MEANINGS,
        "notes": _notes(asking, best),
        "own_bed": None if best.own is None else _one(asking, best.own),
        "own_bed_not_known": best.own_says,
        "persons": [one.called for one in ask.persons],
        "pressed": len(found.tried) + found.failed,
        "refused": dict(sorted(found.refused.items())),
        "screened_h_off_at_most": best.apart,
        "seconds": seconds,
        "seed": seed,
        "size": asking.spaces[0].size,
        "spaces": [{"bed": space.bed, "knobs": len(space.knobs), "rows": space.count} for space in asking.spaces],
        "stopped": found.stopped,
        "version": __version__,
        "work": work,
        "works": asking.works.about.name,
        "works_revision": asking.works.about.revision,
    }
    rounded = six_figures(told)
    assert isinstance(rounded, dict)
    return rounded


def _unit(asking: Question, aim: str) -> str:
    unit = AIMS[aim][1]
    return asking.works.about.currency if unit == "money" else unit


def _notes(asking: Question, best: BestSet) -> list[str]:
    found = [PREDICTED, *([OUTSIDE] if asking.ask.band != (None, None) else [])]
    if any(member.one.off > 0 for member in best.members):
        found.insert(0, NO_ANSWER)
    if asking.ask.persons:
        found += [NO_INTERVAL, CAUTION]
    return found


def _one(asking: Question, one: Tried) -> dict[str, Any]:
    """Figures of a build solved in full."""
    facts, behaves = one.facts, one.behaviour
    sure = behaves.sure
    return {
        "aims": dict(zip(asking.ask.aims, one.aims, strict=True)),
        "answers_the_brief": one.off == 0 and not facts.refused,
        "carbon_kg_co2e": facts.carbon,
        "coils_close_inside_h": behaves.closes,
        "cost": facts.cost,
        "edge_share": behaves.edge,
        "h_secant": None if sure is None else sure.secant,
        "h_secant_interval": None if sure is None else [sure.secant_low, sure.secant_high],
        "h_tangent": behaves.h,
        "h_tangent_interval": None if sure is None else [sure.low, sure.high],
        "height_mm": facts.height,
        "mass_kg": facts.mass,
        "mass_interval_kg": [facts.mass_low, facts.mass_high],
        "not_known": list(facts.not_known),
        "persons": {
            name: {
                "contact_area_m2": lain.area, "mean_kpa": lain.mean, "p99_kpa": lain.p99,
                "spine_departure_mm": lain.departure,
            }
            for name, lain in sorted(behaves.persons.items())
        },
        "price": facts.price,
        "refused": facts.refused,
        "residual": None if sure is None else sure.residual,
        "springs": facts.springs,
        "steel_kg": facts.steel,
    }  # fmt: skip


def _member(asking: Question, member: Member) -> dict[str, Any]:
    return {
        "code": member.build.code,
        "cards": _cards(asking, member),
        "changes": list(member.build.changes),
        **_one(asking, member.one),
        "h_screened": member.screened.behaviour.h,
        "notes": list(member.notes),
        "outside_band": _chance(member.chance),
        "outside_band_by_making": _chance(member.chance_made),
        "says": list(member.says),
    }


def _cards(asking: Question, member: Member) -> list[dict[str, Any]]:
    """The draft cards of a member, as they would stand in the works."""
    return [
        {"kind": card.KIND, **card.model_dump(mode="json", exclude_defaults=True)}
        for card in member.build.works.all_cards()
        if asking.works.find(card.code, [card.KIND]) is None
    ]


def _chance(chance: Chance | None) -> dict[str, Any] | None:
    if chance is None:
        return None
    return {
        "drawn": chance.drawn, "interval": [chance.low, chance.high], "outside": chance.outside, "share": chance.share,
    }  # fmt: skip


def weighed_text(asking: Question, found: Searched, best: BestSet, seed: int) -> str:
    """The sheet for people."""
    ask, brief = asking.ask, asking.ask.brief
    low, high = ask.band
    band = f"H {_end(low, 'any')} to {_end(high, 'any')} N/mm" if ask.band != (None, None) else "no band of H"
    starts = ", ".join(f"{space.bed} ({len(space.knobs)} knobs)" for space in asking.spaces)
    refused = sum(found.refused.values())
    lines = [
        f"{'brief':<12}{brief.code} {brief.name}, size {asking.spaces[0].size}: {band}",
        f"{'aims':<12}{', '.join(f'{aim} ({AIMS[aim][0]})' for aim in ask.aims)}",
        f"{'from':<12}{starts}",
        f"{'pressed':<12}{counted(len(found.tried) + found.failed, 'build')}, seed {seed}; {found.stopped}",
        f"{'':<12}{len(found.answers)} answer the brief, {found.failed} did not settle, {refused} proposals refused",
    ]
    lines += [f"{'':<12}  {count} {why}" for why, count in sorted(found.refused.items(), key=lambda one: -one[1])[:5]]
    if best.own is not None:
        lines += ["", f"{brief.bed} as it is: {_figures(asking, best.own)}"]
        if best.own.facts.refused or best.own.off > 0:
            lines.append(f"  is no answer: {best.own.facts.refused or _off(best.own)}")
    elif best.own_says:
        lines += ["", *_wrapped(f"{brief.bed} as it is: not known: {best.own_says}", "  ")]
    if any(member.one.off > 0 for member in best.members):
        lines += ["", NO_ANSWER]
    else:
        left = f"; {best.left} more lie between these" if best.left else ""
        lines += ["", f"Best set, none better in all, {len(best.members)} solved in full{left}:"]
    for member in best.members:
        lines += ["", *_member_lines(asking, member)]
    off = f"screened H was at most {100 * best.apart:.1f} % off the full one in this set"
    dropped = f"; {best.dropped} dropped when solved in full" if best.dropped else ""
    lines += ["", *(line for note in (*_notes(asking, best), off + dropped) for line in _wrapped(f"- {note}", "  "))]
    return "\n".join(lines)


def _member_lines(asking: Question, member: Member) -> list[str]:
    lines = [f"{member.build.code}  {_figures(asking, member.one)}"]
    lines += _wrapped("  " + ("; ".join(member.build.changes) or "the bed as it is"), "    ")
    for words in (*member.says, *member.notes):
        lines += _wrapped(f"  - {words}", "    ")
    if member.chance is not None and member.chance_made is not None:
        lines += _wrapped(
            f"  - beds outside the band: {member.chance.words()}; by making alone {member.chance_made.words()}", "    "
        )
    return lines


def _figures(asking: Question, one: Tried) -> str:
    sure, show = one.behaviour.sure, typed.show
    h = f"H {show(one.behaviour.h, 3)} N/mm"
    if sure is not None:
        half = min((side for side in (sure.high - one.behaviour.h, one.behaviour.h - sure.low) if side > 0), default=0)
        value, low, high = (show(v, 3, interval=half) for v in (one.behaviour.h, sure.low, sure.high))
        h = f"H {value} N/mm ({low} to {high})"
    found = [h]
    if one.facts.mass:
        found += [
            f"cost {one.facts.cost:.2f} {asking.works.about.currency}", f"{show(one.facts.mass, 3)} kg",
            f"{one.facts.height:.0f} mm", f"{one.facts.springs} springs",
        ]  # fmt: skip
    if one.behaviour.edge is not None:
        found.append(f"edge {100 * one.behaviour.edge:.0f} %")
    for name, lain in sorted(one.behaviour.persons.items()):
        found.append(f"{name}: P99 {show(lain.p99, 2)} kPa, spine {show(lain.departure, 2)} mm off")
    return ", ".join(found)


def _off(one: Tried) -> str:
    return "coils close before H is read" if one.behaviour.closes else "H or the edge misses what is asked"


def _end(value: float | None, none: str) -> str:
    return none if value is None else f"{value:g}"


def _wrapped(text: str, indent: str) -> list[str]:
    return textwrap.wrap(text, WIDE, subsequent_indent=indent, break_long_words=False)
