"""What a reader of a coil's numbers has to know: sentences, the gravest first. They judge nothing for anybody."""

from __future__ import annotations

from bedwright.mechanics.coil import CoilAnswer
from bedwright.mechanics.coil_life import index_notes
from bedwright.mechanics.coil_shape import steepest_pitch_angle
from bedwright.mechanics.wire import ASTM_GRADES

LINEAR_ANGLE, CHECKED_ANGLE = 12.0, 20.0  # degrees: Shigley's linear formula; steepest coil tried by finite elements
THICKEST_CHECKED, THINNEST_CHECKED = 2.5, 0.9  # mm


def coil_notes(answer: CoilAnswer) -> tuple[str, ...]:
    """Notes on one answer, in a fixed order. Books named in the sentences."""
    return (*_on_force(answer), *_on_set(answer), *_on_range(answer), *_always(answer))


def _on_force(answer: CoilAnswer) -> list[str]:
    notes = []
    beyond = [row.compression for row in answer.at if not row.checked]
    if beyond:
        which = ", ".join(f"{value:g}" for value in beyond[:6]) + (" and more" if len(beyond) > 6 else "")
        notes.append(
            f"Not verified: force at {which} mm. Finite elements checked such a coil to {answer.checked_to:.4g} mm;"
            f" beyond, and near solid at {answer.longest_way:.4g} mm, the force is the model's alone."
        )
    if any(row.compression > answer.closing for row in answer.at):
        notes.append(
            f"From about {answer.closing:.3g} mm coils lie flat one after another and the force rises faster;"
            " finite elements differ by up to 0.6 % there (1.1 % for three turns), by 0.3 % before."
        )
    if answer.bows is not None:
        notes.append(
            f"A coil alone between its ends bows out from about {answer.bows:.3g} mm, its wire followed as one line;"
            " lacing or pockets hold it, so the force is that of a coil held upright."
        )
    elif answer.buckling is not None and answer.buckling < answer.longest_way:
        notes.append(
            f"A coil alone between plates may bow out from about {answer.buckling:.3g} mm (EN 13906-1, from memory);"
            " lacing or pockets hold it."
        )
    return notes


def _on_set(answer: CoilAnswer) -> list[str]:
    limit = f"{answer.set_limit:.4g} (0.45 of the least strength)"
    flat = answer.flat
    seen = f"Pressed solid, the smallest coil sees {flat.stress:.4g} MPa, {flat.corrected:.4g} with curvature"
    if flat.may is None:
        return [f"{seen}, against {limit}: too close to call whether it takes a set; press ten coils and measure."]
    if flat.may:
        return [f"{seen}, below {limit}: it may be pressed flat without a set."]
    return [f"{seen}, above {limit}: it takes a set unless it was pressed solid by the maker first."]


def _on_range(answer: CoilAnswer) -> list[str]:
    shape = answer.shape
    notes = index_notes(shape)
    angle = steepest_pitch_angle(shape)
    if angle > LINEAR_ANGLE:
        tried = "finite elements agree to 20" if angle <= CHECKED_ANGLE else "above 20 it has not been checked"
        notes.append(f"The pitch angle reaches {angle:.3g} degrees, above 12 of the handbook's plain rate; {tried}.")
    if not THINNEST_CHECKED <= shape.wire_diameter <= THICKEST_CHECKED:
        notes.append(f"Wire of {shape.wire_diameter:g} mm: finite elements checked 0.9 to 2.5 mm.")
    if answer.grade in ASTM_GRADES:
        notes.append(
            f"E {shape.youngs_modulus:g} and G {shape.shear_modulus:g} MPa of {answer.grade};"
            " those of EN 10270-1 would give another rate."
        )
    return notes


def _always(answer: CoilAnswer) -> list[str]:
    rate = answer.rate
    return [
        f"Live turns only: knots, end rings and dead turns are more wire. The interval of the rate joins wire"
        f" +/-{rate.wire_tolerance:g} mm, a quarter turn and 1 % of diameter; weigh and press coils to know better.",
        "Ends are held as in a unit: they neither tilt, turn nor shift. Computed; nothing here is certified.",
    ]
