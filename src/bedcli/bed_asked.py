"""What several commands ask alike: a works without a grave fault, a bed of it at a size, a face; faults gathered."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

import click

from bedcli.truth import examined
from bedwright import typed
from bedwright.errors import CardRefused, Fault, FaultsFound, NotUnderstood

if TYPE_CHECKING:
    from bedwright.design.bed_at_size import BedAtSize
    from bedwright.mechanics.pad import Spot
    from bedwright.works.works import Works

T = TypeVar("T")
SHOWN_CODES = 20
USUAL = (1500.0, 2000.0)  # mm, of a bed whose size nobody named


def kept(read: Callable[[], T], option: str, faults: list[Fault]) -> T | None:
    """What read gives, or None with its faults kept under the option's name."""
    try:
        return read()
    except NotUnderstood as error:
        faults.append(replace(error.fault, field=option))
    except FaultsFound as error:
        for fault in error.faults:
            inside = ", ".join(part for part in (fault.card, fault.field) if part and f"--{part}" != option)
            faults.append(replace(fault, card=option, field=inside) if option else fault)
    return None


def works_asked(path: Path, nothing: str) -> Works:
    """The works, without a grave fault; else every fault is told, what was not done, and the command ends with 1."""
    found = examined(path)
    if found.works is None or found.grave:
        refuse([str(fault) for fault in found.grave], nothing)
    assert found.works is not None
    return found.works


def refuse_what_does_not_fit(works: Works, bed: BedAtSize, nothing: str) -> None:
    """Ends the command with 1 for a bed whose parts do not fit; nothing: what was not done, "Nothing was pressed."."""
    from bedwright.design.fit import fit

    grave = [str(fault) for fault in fit(works, bed) if fault.grave]
    if grave:
        refuse(grave, nothing)


def refuse(faults: list[str], nothing: str) -> None:
    """Tell the faults, and end with 1."""
    for fault in faults:
        click.echo(fault, err=True)
    click.echo(f"{nothing} Put right what is named and ask again.", err=True)
    raise click.exceptions.Exit(1)


def bed_asked(works: Works, code: str, size: str | None, faults: list[Fault]) -> BedAtSize | None:
    """The bed at the size that was typed: a card's code, or the size itself."""
    from bedwright.design.buildup import bed_at_size
    from bedwright.works.beds import Size

    card = works.beds.get(code)
    if card is None:
        known = _listed([one.code for one in works.beds])
        faults.append(Fault(says="is no bed of this works", remedy=known, value=code[:60], field="BED"))
    known = _listed([one.code for one in works.sizes])
    if size is None:
        faults.append(Fault(says="--size is missing", remedy=f"{known}, or give it as 150x200"))
        return None
    found: Size | None = works.sizes.get(size)
    if found is None:
        try:
            width, length = typed.size_mm(size)
            same = (one for one in works.sizes if abs(one.width - width) < 0.5 and abs(one.length - length) < 0.5)
            found = next(same, None) or Size.make(code=f"{width:.0f}x{length:.0f}", width=width, length=length)
        except NotUnderstood as error:
            says = f"is no size of this works and {error.fault.says}"
            faults.append(Fault(says=says, remedy=f"{known}; or {error.fault.remedy}", value=size[:60], field="--size"))
        except CardRefused as error:
            faults += [replace(fault, card="--size") for fault in error.faults]
    return None if card is None or found is None else bed_at_size(works, card, found)


def usual_size(works: Works) -> str | None:
    """Code of the size card nearest to 1500 x 2000 mm; None where there is none."""
    return min(
        ((abs(one.width - USUAL[0]) + abs(one.length - USUAL[1]), one.code) for one in works.sizes), default=(0.0, None)
    )[1]


def size_or_usual(works: Works, size: str | None) -> str | None:
    """The size as typed, or the usual one, which is said on the error stream."""
    if size is not None:
        return size
    usual = usual_size(works)
    if usual is not None:
        click.echo(f"no size was named: taken {usual}; name another with --size", err=True)
    return usual


def face_asked(text: str, faults: list[Fault], bed: BedAtSize | None = None) -> str:
    """A or B; where the bed is known, one that it has."""
    up = text.strip().upper()
    if up not in ("A", "B"):
        faults.append(Fault(says="is no face", remedy="write A or B", value=text[:60], field="--face"))
    elif up == "B" and bed is not None and bed.bed.faces == 1:
        faults.append(Fault(says=f"bed {bed.bed.code} has one face", remedy="leave it A", value=up, field="--face"))
    return up


def spot_asked(bed: BedAtSize, text: str | None, up: str, faults: list[Fault]) -> Spot | None:
    """A spot of the bed as typed, its middle where none is; None with the faults kept."""
    from bedwright.mechanics.pad import Spot

    before = len(faults)
    if up == "B" and bed.bed.faces == 1:
        faults.append(Fault(says=f"bed {bed.bed.code} has one face", remedy="leave it A", value=up, field="--face"))
    if text is None:
        return Spot(bed.width / 2, bed.length / 2, up) if len(faults) == before else None
    parts = text.split(",")
    how = "write across and along from the head's left corner, as 750,1000 [mm]"
    if len(parts) != 2:
        faults.append(Fault(says="is not two lengths", remedy=how, value=text[:60], field="--spot"))
        return None
    x, y = (kept(lambda part=part: place_asked(part), "--spot", faults) for part in parts)  # type: ignore[misc]
    if x is None or y is None:
        return None
    if not (0 <= x <= bed.width and 0 <= y <= bed.length):
        says = f"{x:g}, {y:g} mm is off bed {bed.bed.code} of {bed.width:g} x {bed.length:g} mm"
        remedy = f"give 0 to {bed.width:g} across and 0 to {bed.length:g} along"
        faults.append(Fault(says=says, remedy=remedy, field="--spot"))
    return Spot(x, y, up) if len(faults) == before else None


def place_asked(text: str) -> float:
    """A place [mm] that may be off the bed on the left or above: then it is said so, and not that it cannot be read."""
    plain = text.strip()
    minus = plain[:1] in {"-", "\u2212"}
    return -typed.length_mm(plain[1:], bare="mm") if minus else typed.length_mm(plain, bare="mm")


def _listed(codes: list[str]) -> str:
    more = f" and {len(codes) - SHOWN_CODES} more" if len(codes) > SHOWN_CODES else ""
    return f"there are {', '.join(codes[:SHOWN_CODES])}{more}" if codes else "there is none on its cards"
