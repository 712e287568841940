"""Makers of bill rows: from a card and a cut size, a length, a count or a mass to quantity, mass and words."""

from __future__ import annotations

import math

from bedwright.bill.rows import BillRow, CountedIn, shown
from bedwright.errors import Fault, FaultsFound
from bedwright.mechanics.wire import mass_per_metre
from bedwright.works.materials import NATURAL, Cloth, Filling, Film, Fitting, Trim
from bedwright.works.springs import Unit, Wire

Piece = tuple[int, float, float]
"""How many, width [mm], length [mm]."""


def _row(
    group: str,
    card: Wire | Cloth | Filling | Trim | Fitting | Film | Unit,
    what: str,
    quantity: float,
    counted_in: CountedIn,
    how: str,
    mass: float,
    *,
    piece: Piece | None = None,
    pieces: int = 1,
    kept: float = 1.0,
    regain: float = 0.0,
) -> BillRow:
    """mass [kg] of the whole quantity; kept: share of it that is in the finished bed; packing is not in the bed."""
    share = 0.0 if group == "pack" else kept
    return BillRow(
        line=0,
        group=group,
        kind=card.KIND,
        code=card.code,
        name=card.name or card.code,
        what=what,
        pieces=piece[0] if piece else pieces,
        cut_width=piece[1] if piece else None,
        cut_length=piece[2] if piece else None,
        quantity=quantity,
        counted_in=counted_in,
        how=how,
        mass=mass * share,
        regain_mass=mass * share * regain / 100,
        taken_mass=mass,
    )


def wire_row(group: str, wire: Wire, what: str, pieces: int, length: float, how: str) -> BillRow:
    """Round wire by its whole length [mm]."""
    per_metre = mass_per_metre(wire.diameter)
    kilograms = length / 1000 * per_metre / 1000
    words = f"{how} = {shown(length / 1000)} m x {shown(per_metre)} g/m = {shown(kilograms)} kg"
    return _row(group, wire, what, kilograms, "kg", words, kilograms, pieces=pieces)


def strip_row(
    group: str, wire: Wire, what: str, pieces: int, length: float, width: float, thickness: float, density: float
) -> BillRow:
    """Flat steel by length, width and thickness [mm]; density [kg/mm3]."""
    kilograms = pieces * length * width * thickness * density
    how = (
        f"{pieces} x {shown(length)} x {shown(width)} x {shown(thickness)} mm x {shown(density * 1e6)} kg/dm3 = "
        f"{shown(kilograms)} kg"
    )
    return _row(group, wire, what, kilograms, "kg", how, kilograms, piece=(pieces, width, length))


def area_row(
    group: str, card: Cloth | Filling, what: str, piece: Piece, how: str, *, kept: float = 1.0, kept_says: str = ""
) -> BillRow:
    """Pieces of cloth or filling by width x length; kept: share that is left in the bed after trimming."""
    count, width, length = piece
    area = count * width * length / 1e6
    per_area = card.mass_per_m2 if isinstance(card, Filling) else card.areal_mass / 1000
    natural = isinstance(card, Filling) and card.family in NATURAL
    regain = (card.regain or 0.0) if natural and isinstance(card, Filling) else 0.0
    mass = area * per_area
    words = f"{how}: {count} x {shown(width)} x {shown(length)} mm = {shown(area)} m2 x {shown(per_area * 1000)} g/m2"
    if kept != 1.0:
        words += f" = {shown(mass)} kg; in the bed {kept_says} = {shown(kept)}"
    words += f" = {shown(mass * kept)} kg" + (" dry" if natural else "")
    if natural and isinstance(card, Filling) and card.regain is None:
        words += "; regain not known: weigh a dried kilogram after a day in the room"
    elif regain:
        words += f"; with {shown(regain)} % regain {shown(mass * kept * (1 + regain / 100))} kg"
    return _row(group, card, what, area, "m2", words, mass, piece=piece, kept=kept, regain=regain)


def block_row(group: str, card: Filling, what: str, piece: Piece, height: float) -> BillRow:
    """Pieces of foam by width x length x height, counted as area of the card's own sheet."""
    count, width, length = piece
    area = count * width * length * height / card.thickness / 1e6
    mass = area * card.mass_per_m2
    how = (
        f"{count} x {shown(length)} x {shown(width)} x {shown(height)} mm / {shown(card.thickness)} mm sheet = "
        f"{shown(area)} m2 x {shown(card.mass_per_m2 * 1000)} g/m2 = {shown(mass)} kg"
    )
    return _row(group, card, what, area, "m2", how, mass, piece=piece)


def trim_length_row(
    group: str,
    trim: Trim,
    what: str,
    metres: float,
    how: str,
    *,
    kept: float = 1.0,
    kept_says: str = "",
    pieces: int = 1,
) -> BillRow:
    """A trim by its length [m]: metred, weighed, or counted where the card says how long one is.

    kept: share that is left in the bed, kept_says: that share as a sum in words.

    Raises FaultsFound naming the trim where its card cannot turn metres into what it is counted in.
    """
    words = f"{how} = {shown(metres)} m"
    if trim.counted_in == "each":
        if trim.length is None:
            raise FaultsFound([_cannot(trim, "length", "metres into pieces", "the length of one")])
        pieces = math.ceil(metres * 1000 / trim.length - 1e-9)
        mass = pieces * (trim.piece_mass or 0.0) / 1000
        words += f" / {shown(trim.length)} mm each, rounded up = {pieces}"
        words += f" x {shown(trim.piece_mass or 0.0)} g = {shown(mass)} kg{_stays(mass, kept, kept_says)}"
        return _row(group, trim, what, float(pieces), "each", words, mass, kept=kept, pieces=pieces)
    if trim.mass_per_metre is None:
        raise FaultsFound([_cannot(trim, "mass_per_metre", "metres into kg", "the mass of one metre")])
    mass = metres * trim.mass_per_metre / 1000
    words += f" x {shown(trim.mass_per_metre)} g/m = {shown(mass)} kg{_stays(mass, kept, kept_says)}"
    quantity = metres if trim.counted_in == "m" else mass
    return _row(group, trim, what, quantity, trim.counted_in, words, mass, kept=kept, pieces=pieces)


def trim_count_row(group: str, trim: Trim, what: str, count: float, how: str) -> BillRow:
    """A trim or half of one by count; where it is metred or weighed, its card says how long or heavy one is.

    Raises FaultsFound naming the trim where its card cannot turn pieces into what it is counted in.
    """
    words = f"{how} = {shown(count)}"
    if trim.counted_in == "m":
        if trim.length is None:
            raise FaultsFound([_cannot(trim, "length", "pieces into metres", "the length of one")])
        return trim_length_row(group, trim, what, count * trim.length / 1000, words, pieces=math.ceil(count))
    if trim.piece_mass is None:
        raise FaultsFound([_cannot(trim, "piece_mass", "pieces into kg", "the mass of one")])
    mass = count * trim.piece_mass / 1000
    words += f" x {shown(trim.piece_mass)} g = {shown(mass)} kg"
    quantity = count if trim.counted_in == "each" else mass
    return _row(group, trim, what, quantity, trim.counted_in, words, mass, pieces=math.ceil(count))


def glue_row(group: str, trim: Trim, what: str, kilograms: float, how: str) -> BillRow:
    """Glue by mass [kg]. Raises FaultsFound for a glue that its card counts in anything else."""
    if trim.counted_in != "kg":
        fault = Fault(
            f"is counted in {trim.counted_in}, and glue goes in by mass",
            "count it in kg",
            trim.counted_in,
            sheet=Trim.SHEET,
            column="counted_in",
            card=trim.called,
            field="counted_in",
        )
        raise FaultsFound([fault])
    return _row(group, trim, what, kilograms, "kg", f"{how} = {shown(kilograms)} kg", kilograms)


def fitting_row(group: str, fitting: Fitting, what: str, count: int) -> BillRow:
    """Handles or vents by count."""
    mass = count * fitting.piece_mass / 1000
    backing = "; backing behind it from offcuts" if fitting.backing else ""
    how = f"{count} on one bed x {shown(fitting.piece_mass)} g = {shown(mass)} kg{backing}"
    return _row(group, fitting, what, float(count), "each", how, mass, pieces=count)


def film_row(film: Film, what: str, width: float, length: float, how: str) -> BillRow:
    """Film by its piece [mm]: micrometres x g/cm3 are grams per square metre. Book: film-gauge."""
    area = width * length / 1e6
    mass = area * film.gauge_um * film.film_density / 1000
    words = (
        f"{how}: {shown(width)} x {shown(length)} mm = {shown(area)} m2 x {shown(film.gauge_um)} um x "
        f"{shown(film.film_density)} g/cm3 = {shown(mass)} kg"
    )
    return _row("pack", film, what, area, "m2", words, mass, piece=(1, width, length))


def unit_row(group: str, unit: Unit, what: str, count: int, width: float, length: float) -> BillRow:
    """A bought unit: one row, weighed by the supplier's figure."""
    assert unit.areal_mass is not None
    mass = count * width * length / 1e6 * unit.areal_mass / 1000
    how = f"{count} x {shown(width)} x {shown(length)} mm x {shown(unit.areal_mass)} g/m2 = {shown(mass)} kg"
    return _row(group, unit, what, float(count), "each", how, mass, piece=(count, width, length))


def _stays(mass: float, kept: float, says: str) -> str:
    """What is left in the bed of a mass [kg], in words; nothing where all of it is."""
    return f"; of it {says or shown(kept)} stays in the bed = {shown(mass * kept)} kg" if kept != 1.0 else ""


def _cannot(trim: Trim, field: str, turn: str, what: str) -> Fault:
    return Fault(
        f"is empty, and without it nobody can turn {turn}",
        f"give {what}",
        sheet=Trim.SHEET,
        column=field,
        card=trim.called,
        field=field,
    )
