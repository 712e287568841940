"""The drawings of a pad test as SVG files of a folder: one name for one bed at a size, nothing written over unasked."""

from __future__ import annotations

from pathlib import Path

from bedcli.pad_sheet import BedTest
from bedwright.design.bed_at_size import BedAtSize
from bedwright.errors import NotReadable
from bedwright.mechanics.card_coil import shape_of
from bedwright.mechanics.coil import coil_answer
from bedwright.mechanics.coil_force import force_curve
from bedwright.papers.drawings.coil_profile import coil_profile
from bedwright.papers.drawings.edge_profile import edge_profile
from bedwright.papers.drawings.unit_plan import unit_plan
from bedwright.papers.figures import file_stem
from bedwright.papers.pad_figures import Tested, draw_curve, draw_moves, draw_section, readings

SHOWN = 6


def names(bed: BedAtSize, *, edge: bool) -> dict[str, str]:
    """File names by what they show, before anything is pressed; coils under "coil CODE"."""
    stem = file_stem(bed.bed.code, bed.size.code)
    found = {what: f"{what}_{stem}.svg" for what in ("pad-curve", "moves", "bed-section", "unit-plan")}
    for group in bed.unit.groups:
        found[f"coil {group.coil.code}"] = f"coil_{stem}_{file_stem(group.coil.code)}.svg"
    if edge:
        found["edge-profile"] = f"edge-profile_{stem}.svg"
    return found


def refuse_taken(folder: Path, bed: BedAtSize, *, edge: bool, replace: bool) -> None:
    """Raises NotReadable for a folder that is none, and for drawings that are there already unless they may go."""
    if folder.exists() and not folder.is_dir():
        raise NotReadable(f"{folder} is no folder; name another one for --draw")
    taken = sorted(name for name in names(bed, edge=edge).values() if (folder / name).exists())
    if taken and not replace:
        more = f" and {len(taken) - SHOWN} more" if len(taken) > SHOWN else ""
        held = ", ".join(taken[:SHOWN]) + more
        raise NotReadable(f"{folder} holds {held} already; name another folder, or write over them with --replace")


def draw(test: BedTest, folder: Path) -> list[str]:
    """Write every drawing of the test; their names, in order. All are drawn before the first is written."""
    bed, curve = test.bed, test.curve
    points = () if test.measured is None else tuple(zip(test.measured.depth, test.measured.force, strict=True))
    found = {
        "pad-curve": draw_curve(curve, measured=points),
        "moves": draw_moves(curve),
        "bed-section": draw_section(curve, bed),
        "unit-plan": unit_plan(bed),
    }
    for group in bed.unit.groups:
        shape, code = shape_of(group.coil, group.wire), group.coil.code
        answer = coil_answer(shape, group.wire.grade)
        found[f"coil {code}"] = coil_profile(answer, force_curve(shape), group.coil.hand, f"coil {code}", 84.0, 80.0)
    near: list[tuple[float | None, Tested]] = [
        (spot.distance, spot.curve) for spot in test.edge if not isinstance(spot.curve, str)
    ]
    if near:
        middle: list[tuple[float | None, Tested]] = [(None, curve)] if test.in_the_middle else []
        found["edge-profile"] = edge_profile(readings([*near, *middle]), "H as tangent", "N/mm")
    called = names(bed, edge=bool(near))
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for what, svg in found.items():
            part = folder / f".{called[what]}.part"
            part.write_text(svg + "\n", encoding="utf-8")
            part.replace(folder / called[what])
    except OSError as error:
        raise NotReadable(f"{folder} cannot be written: {error.strerror}; name another folder for --draw") from None
    return sorted(called[what] for what in found)
