"""Which coil stands where in a unit: the main coil, zones across and along over it, stiff rows over both; and in words.

A zone is a rectangle of places; the later position lies on top. Stiff outer rows are cut into whatever lies below.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import groupby

from bedwright.design.bed_at_size import CoilGroup, UnitAtSize
from bedwright.design.lattice import Lattice
from bedwright.works.springs import Unit
from bedwright.works.works import Works

Coils = tuple[tuple[str, ...], ...]
"""Code of the coil at each place, by row and column."""
Counts = tuple[tuple[int, ...], ...]
"""How many coils stand at each place."""


def places(unit: Unit, lattice: Lattice) -> tuple[Coils, Counts]:
    """Coil and count of every place by main coil and zones; stiff rows are not in it yet."""
    coils = [[unit.coil] * count for count in lattice.row_counts]
    counts = [[1] * count for count in lattice.row_counts]
    for zone in sorted(unit.zones, key=lambda zone: zone.position):
        rows = slice((zone.first_row or 1) - 1, zone.last_row)
        columns = slice((zone.first_column or 1) - 1, zone.last_column)
        for in_row, in_counts in zip(coils[rows], counts[rows], strict=True):
            many = len(in_row[columns])
            in_row[columns] = [zone.coil] * many
            in_counts[columns] = [zone.per_place] * many
    return tuple(map(tuple, coils)), tuple(map(tuple, counts))


def with_stiff_rows(unit: UnitAtSize) -> UnitAtSize:
    """The unit with its edge coil, one to a place, in the stiff outer rows; as it is without them."""
    code = unit.edge_coil
    if code is None:
        return unit
    coils, counts = [list(row) for row in unit.place_coils], [list(row) for row in unit.place_counts]
    for row, in_row in enumerate(coils):
        for column in range(len(in_row)):
            if unit.is_stiff(row, column):
                coils[row][column], counts[row][column] = code, 1
    return replace(unit, place_coils=tuple(map(tuple, coils)), place_counts=tuple(map(tuple, counts)))


def groups(works: Works, unit: UnitAtSize, zoned: Coils) -> tuple[CoilGroup, ...]:
    """The coils of a unit by kind, codes in order; zoned: its places before the stiff rows, for the words."""
    found: Counter[str] = Counter()
    most: dict[str, set[int]] = {}
    for coils, counts in zip(unit.place_coils, unit.place_counts, strict=True):
        for code, count in zip(coils, counts, strict=True):
            found[code] += count
            most.setdefault(code, set()).add(count)
    return tuple(
        CoilGroup(
            coil=works.coils[code],
            wire=works.wires[works.coils[code].wire],
            count=found[code],
            where=_where(unit, zoned, code) + _several(most[code]),
            per_place=max(most[code]),
        )
        for code in sorted(found)
    )


def _several(counts: set[int]) -> str:
    if counts == {1}:
        return ""
    return f", {' or '.join(map(str, sorted(counts)))} in {'each' if len(counts) == 1 else 'a'} place"


def _where(unit: UnitAtSize, zoned: Coils, code: str) -> str:
    """Where the coils of a kind stand; a kind may be that of the stiff rows and of inner places at once."""
    there = any(code in row for row in zoned)
    if unit.edge_coil is None:
        return in_words(zoned, code)
    inner = f"{in_words(zoned, code)} inside the stiff rows" if there else ""
    return " and ".join(part for part in ("stiff outer rows" if code == unit.edge_coil else "", inner) if part)


def in_words(zoned: Coils, code: str) -> str:
    """Rows and columns in which a coil stands: "rows 1-4, 9 and columns 1-6 of rows 5-8"; "all rows" for all."""
    by_columns: dict[tuple[tuple[int, int | None], ...], list[int]] = {}
    for number, row in enumerate(zoned, 1):
        spans = tuple(
            (first, None if final == len(row) else final)
            for first, final in _spans(place for place, one in enumerate(row, 1) if one == code)
        )
        if spans:
            by_columns.setdefault(spans, []).append(number)
    parts = []
    for spans, rows in sorted(by_columns.items(), key=lambda item: item[1]):
        whole = spans == ((1, None),)
        if whole and len(rows) == len(zoned):
            return "all rows"
        those = _listed("row", _spans(rows)) if len(rows) < len(zoned) else "all rows"
        last = max(len(row) for row in zoned)
        columns = _listed("column", [(first, last if final is None else final) for first, final in spans])
        parts.append(those if whole else f"{columns} of {those}")
    return " and ".join(parts)


def _spans(numbers: Iterable[int]) -> list[tuple[int, int]]:
    """Runs of whole numbers that follow each other, as (first, last)."""
    found = []
    for _, run in groupby(enumerate(sorted(numbers)), key=lambda pair: pair[1] - pair[0]):
        those = [number for _, number in run]
        found.append((those[0], those[-1]))
    return found


def _listed(noun: str, spans: Sequence[tuple[int, int]]) -> str:
    return f"{noun}s " + ", ".join(f"{first}-{last}" if first != last else f"{first}" for first, last in spans)
