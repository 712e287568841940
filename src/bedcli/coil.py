"""`bedwright coil`: one coil from its few numbers, as a short table or as JSON."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import click

from bedwright import __version__, typed
from bedwright.errors import Fault, FaultsFound, NotUnderstood, OutsideRange

if TYPE_CHECKING:
    from bedwright.mechanics.coil import CoilAnswer
    from bedwright.mechanics.coil_life import LifeCheck

OPTIONS = {
    "profile": "--profile",
    "end_diameter": "--end",
    "middle_diameter": "--middle",
    "live_turns": "--turns",
    "free_height": "--height",
    "wire_diameter": "--wire",
    "grade": "--grade",
    "diameters": "--diameters",
    "at": "--at",
    "cycle": "--cycle",
}
LONGEST_LIST = 20_000  # characters of a list
UNITS = {"at": "mm", "density": "kg/dm3", "force": "N", "length": "mm", "mass": "g", "rate": "N/mm", "stress": "MPa"}
MEANINGS = {
    "at_mm": "compression from free",
    "bows_from_mm": "alone between held ends, its wire followed; null: not on its way; buckling_from_mm is a formula's",
    "cycle": "between two compressions from free; stresses corrected, in the turn whose range is widest",
    "coils_close_from_mm": "compression from which coils lie flat",
    "flat_stress_mpa": "smallest coil pressed flat, G d h / (pi D^2)",
    "may_be_pressed_flat": "without a set, against 0.45 of the least strength; null: too close to call",
    "force_checked": "within the way that finite elements or a finer beam have checked",
    "mass_g": "live turns",
    "rate_n_per_mm": "ends that neither tilt, turn nor shift; at the start of the way",
    "rate_plain_n_per_mm": "G d^4 / (8 * integral of D^3 over the live turns)",
    "solid_height_mm": "over the wire; longest_compression_mm leads there from free",
    "wire_length_mm": "live turns",
}


@click.command()
@click.option("--profile", help="cylinder, cone, barrel, hourglass-parabolic, hourglass-straight or table.")
@click.option("--end", help="Mean diameter of the large end of a cone, else of both ends [mm].")
@click.option("--middle", help="Mean diameter of a cone's small end, of the middle of a barrel or hourglass [mm].")
@click.option("--turns", help="Live turns: those that give way.")
@click.option("--height", help="Free height of the live turns, wire centre to wire centre [mm].")
@click.option("--wire", help='Wire diameter: 2.2 (mm), "2.2 mm", "13 1/2 SWG".')
@click.option("--grade", default="SM", show_default=True, help="SL SM DM SH DH (EN 10270-1) or A227 A228 A229.")
@click.option("--diameters", default="", help="A table: mean diameters at equal steps of the live turns [mm].")
@click.option("--cycle", default="", help="Two compressions from free, as 0,60: fatigue of the wire between them [mm].")
@click.option("--at", "at", default="", help="Compressions from free, as 10,25,40 [mm].")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def coil(
    profile: str | None,
    end: str | None,
    middle: str | None,
    turns: str | None,
    height: str | None,
    wire: str | None,
    grade: str,
    diameters: str,
    cycle: str,
    at: str,
    as_json: bool,
) -> None:
    """Rate, force, stress, wire and solid height of one coil.

    Mean diameters are to the wire's centre; lengths alone are millimetres, or say "3 in", "7.5 cm". `barrel` and
    `hourglass-straight` have straight sides (a double cone). Stress is the closed form 8 F D/(pi d^3) in the largest
    coil still free; the corrected one has the curvature factor too. A `table` takes --diameters and needs no --end.
    Nothing here is certified.
    """
    from bedwright.mechanics.coil import coil_answer, compression_faults, graded_coil
    from bedwright.mechanics.coil_life import life_check
    from bedwright.mechanics.coil_shape import longest_way

    faults: list[Fault] = []
    table = _read_list("diameters", diameters, faults)
    if profile == "table" and end is None and table:
        end = str(table[0])
    readers: dict[str, tuple[str | None, Callable[[str], float]]] = {
        "end_diameter": (end, _length),
        "middle_diameter": (middle, _length),
        "live_turns": (turns, typed.number),
        "free_height": (height, _length),
        "wire_diameter": (wire, _wire),
    }
    sizes: dict[str, Any] = {}
    for field, (text, reader) in {"profile": (profile, None), **readers}.items():
        if text is None and field == "middle_diameter":
            sizes[field] = None
        elif text is None:
            faults.append(Fault(says=f"{OPTIONS[field]} is missing", remedy="a coil needs it: see --help"))
        elif reader is None:
            continue
        elif (value := _read(field, text, reader, faults)) is not None:
            sizes[field] = value
    compressions, ends = _read_list("at", at, faults), _read_list("cycle", cycle, faults)
    if cycle.strip() and (len(ends) != 2 or ends[0] > ends[1]):
        faults.append(Fault(says=f"{cycle!r} is no cycle", remedy="give two, the lower one first", field="--cycle"))
    if len(sizes) < len(readers) or profile is None:
        raise FaultsFound([*faults, *_faults_of_the_rest(profile, grade, sizes)])
    try:
        shape = graded_coil(profile, grade=grade, diameters=table, **sizes)
    except FaultsFound as error:
        raise FaultsFound([*faults, *map(_at_option, error.faults)]) from None
    solid = longest_way(shape)
    faults += map(_at_option, compression_faults(compressions, solid))
    faults += [replace(_at_option(fault), field="--cycle") for fault in compression_faults(ends, solid)]
    if faults:
        raise FaultsFound(faults)
    answer = coil_answer(shape, grade, compressions)
    life = life_check(shape, grade, *ends) if ends else None
    click.echo(json.dumps(_as_json(answer, life), indent=2, sort_keys=True) if as_json else _as_text(answer, life))


def _wire(text: str) -> float:
    """Millimetres of a wire: a bare number is millimetres here, as --help says; a gauge names its system."""
    try:
        return typed.number(text)
    except NotUnderstood:
        return typed.wire_diameter(text).mm


def _length(text: str) -> float:
    return typed.length_mm(text, bare="mm")


def _read(field: str, text: str, reader: Callable[[str], float], faults: list[Fault]) -> float | None:
    """The number in one box, or None with its fault kept."""
    try:
        return reader(text)
    except NotUnderstood as error:
        faults.append(replace(error.fault, field=OPTIONS[field]))
    except OutsideRange as error:
        faults.append(Fault(says=str(error), value=text, field=OPTIONS[field]))
    return None


def _read_list(field: str, text: str, faults: list[Fault]) -> tuple[float, ...]:
    """The lengths of a list; one fault for each that cannot be read."""
    if not text.strip():
        return ()
    if len(text) > LONGEST_LIST:
        says = f"{len(text)} characters are too long a list"
        faults.append(Fault(says=says, remedy="ask for fewer at once", field=OPTIONS[field]))
        return ()
    found = [_read(field, part, _length, faults) for part in text.split(",")]
    return tuple(value for value in found if value is not None)


def _faults_of_the_rest(profile: str | None, grade: str, sizes: Mapping[str, float | None]) -> list[Fault]:
    """Faults of the boxes that could be read, when others could not."""
    from bedwright.mechanics.coil_shape import field_faults
    from bedwright.mechanics.wire import known_grade

    faults = [_at_option(fault) for fault in field_faults(profile or "cylinder", sizes)]
    try:
        known_grade(grade)
    except OutsideRange as error:
        faults.append(Fault(says=str(error), field="--grade"))
    return faults


def _at_option(fault: Fault) -> Fault:
    """The fault in the words of the options: its field, and every field that its sentence names."""
    option = OPTIONS.get(fault.field, fault.field)
    return replace(fault, field=option, says=_by_options(fault.says).removeprefix(f"{option} "))


def _by_options(says: str) -> str:
    for field, option in OPTIONS.items():
        if "_" in field:  # the others are words of the language
            says = says.replace(field, option)
    return says


def _as_json(answer: CoilAnswer, life: LifeCheck | None) -> dict[str, Any]:
    from bedwright.mechanics.coil import STRESS_FORM

    shape, rate = answer.shape, answer.rate
    numbers: dict[str, Any] = {
        "at_mm": [row.compression for row in answer.at],
        "bows_from_mm": answer.bows,
        "buckling_from_mm": answer.buckling,
        "coils_close_from_mm": answer.closing,
        "cycle": None if life is None else cycle_json(life),
        "density_kg_per_dm3": shape.density * 1e6,
        "flat_stress_corrected_mpa": answer.flat.corrected,
        "flat_stress_mpa": answer.flat_stress,
        "force_checked_to_mm": answer.checked_to,
        "force_n": [row.force for row in answer.at],
        "free_diameter_mm": [row.free_diameter for row in answer.at],
        "longest_compression_mm": answer.longest_way,
        "mass_g": answer.mass,
        "outside_when_flat_mm": answer.grown_outside,
        "rate_half_widths_n_per_mm": {
            "diameter_1_percent": rate.from_diameter,
            "quarter_turn": rate.from_turns,
            "wire_tolerance": rate.from_wire,
        },
        "rate_interval_n_per_mm": [rate.low, rate.high],
        "rate_n_per_mm": rate.rate,
        "rate_plain_n_per_mm": answer.plain_rate,
        "set_limit_mpa": answer.set_limit,
        "shear_modulus_mpa": shape.shear_modulus,
        "solid_height_mm": answer.solid_height,
        "strength_greatest_mpa": answer.strength.greatest,
        "strength_least_mpa": answer.strength.least,
        "stress_corrected_mpa": [row.stress_corrected for row in answer.at],
        "stress_mpa": [row.stress for row in answer.at],
        "surge_hz": answer.surge,
        "wire_length_mm": answer.wire_length,
        "wire_mm": shape.wire_diameter,
        "wire_tolerance_mm": rate.wire_tolerance,
        "youngs_modulus_mpa": shape.youngs_modulus,
    }
    words = {
        "books": ["conical-springs", "en-10270-1", "fe-coils", "love-helix", "shigley-11", "zimmerli"],
        "force_checked": [row.checked for row in answer.at],
        "grade": answer.grade,
        "may_be_pressed_flat": answer.flat.may,
        "meanings": MEANINGS,
        "notes": _notes(answer, life),
        "profile": shape.profile,
        "strength_from": answer.strength.how,
        "stress_form": STRESS_FORM,
        "units": UNITS,
        "version": __version__,
    }
    return {**{key: _six_figures(value) for key, value in numbers.items()}, **words}


def cycle_json(life: LifeCheck) -> dict[str, Any]:
    """A coil's cycle and its two fatigue factors as plain data."""
    cycle = life.cycle
    return {
        "coil_diameter_mm": cycle.diameter,
        "force_n": [cycle.force_low, cycle.force_high],
        "gerber_factor": _factor(life.gerber.factor),
        "goodman_factor": _factor(life.goodman.factor),
        "share_of_set_limit": life.static_share,
        "stress_corrected_mpa": [cycle.low, cycle.high],
        "turns_close": cycle.closes,
    }


def _notes(answer: CoilAnswer, life: LifeCheck | None) -> list[str]:
    """Notes of the coil, then those of its cycle that do not say the same again."""
    from bedwright.mechanics.coil_notes import coil_notes

    notes = list(coil_notes(answer))
    return notes if life is None else [*notes, *(n for n in life.notes if n not in notes and n != life.flat.note)]


def _factor(value: float) -> float | None:
    """A factor, None for a coil that does not move: JSON knows no infinity."""
    return value if math.isfinite(value) else None


def _six_figures(value: Any) -> Any:
    if isinstance(value, float):
        return float(f"{value:.6g}")
    if isinstance(value, list):
        return [_six_figures(item) for item in value]
    if isinstance(value, dict):
        return {key: _six_figures(item) for key, item in value.items()}
    return value


def _as_text(answer: CoilAnswer, life: LifeCheck | None) -> str:
    from bedwright.mechanics.coil import STRESS_FORM

    rate, shape, strength = answer.rate, answer.shape, answer.strength
    show, unit = typed.show, typed.show_with_unit
    greatest = f" to {show(strength.greatest, 4)}" if strength.greatest is not None else ""
    middle = "" if shape.waist == shape.end_diameter else f", {show(shape.waist)} mm in the middle"
    if shape.profile == "cone":
        middle = f" to {show(shape.waist)} mm"
    facts = [
        ("coil", f"{shape.profile} {show(shape.end_diameter)} mm{middle}, {show(shape.live_turns)} live turns"),
        ("free height", f"{unit(shape.free_height, 'mm')} centre to centre"),
        ("wire", f"{show(shape.wire_diameter)} mm {answer.grade}, strength {show(strength.least, 4)}{greatest} MPa"),
        ("rate, ends held", unit(rate.rate, "N/mm", 4) + f", {show(rate.low, 2)} to {show(rate.high, 2)} N/mm"),
        ("rate, plain", unit(answer.plain_rate, "N/mm", 4)),
        ("wire, live turns", f"{unit(answer.wire_length, 'mm', 5)}, {unit(answer.mass, 'g', 4)}"),
        ("solid height", f"{unit(answer.solid_height, 'mm', 4)} over the wire, {show(answer.longest_way, 5)} mm down"),
    ]
    lines = [f"{name:<18}{value}" for name, value in facts]
    if answer.at:
        lines += ["", f"{'down mm':>10}{'force N':>12}{'stress MPa':>13}{'corrected MPa':>16}"]
        for row in answer.at:
            mark = "" if row.checked else "   not verified"
            lines.append(
                f"{show(row.compression):>10}{show(row.force, 4):>12}{show(row.stress, 4):>13}"
                f"{show(row.stress_corrected, 4):>16}{mark}"
            )
        lines += ["", STRESS_FORM.replace("stress_corrected_mpa", "corrected").replace("stress_mpa", "Stress") + "."]
    if life is not None:
        cycle = life.cycle
        stresses = (
            f"{show(cycle.low, 4)} to {show(cycle.high, 4)} MPa, corrected, in the {show(cycle.diameter, 3)} mm coil"
        )
        factors = f"Goodman {show(life.goodman.factor, 3)}, Gerber {show(life.gerber.factor, 3)}"
        lines += ["", f"{'cycle':<18}{stresses if cycle.high > cycle.low else 'the coil does not move'}"]
        if math.isfinite(life.goodman.factor):
            lines.append(f"{'fatigue factors':<18}{factors} (plain wire, not peened)")
    return "\n".join([*lines, "", *(f"- {note}" for note in _notes(answer, life))])
