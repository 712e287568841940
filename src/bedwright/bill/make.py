"""What one bed takes, whole: `make_bill(works, bed)`."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from bedwright.bill.border import border_rows
from bedwright.bill.carbon import bed_carbon
from bedwright.bill.closing import closing_rows, pack_rows
from bedwright.bill.mass import bed_mass
from bedwright.bill.panels import panel_rows
from bedwright.bill.route import bed_operations
from bedwright.bill.rows import Bill, BillRow
from bedwright.bill.soft import edge_soft, layer_rows, unit_soft
from bedwright.bill.steel import edge_steel, unit_steel
from bedwright.design.bed_at_size import BedAtSize
from bedwright.works.works import Works


def make_bill(works: Works, bed: BedAtSize) -> Bill:
    """The bill of a bed at size. Raises FaultsFound for a coil that cannot be, or a trim that cannot be counted so."""
    rows = _numbered(_rows(works, bed))
    operations = bed_operations(works, bed)
    mass = bed_mass(works, rows)
    carbon_lines, unknown = bed_carbon(works, rows)
    return Bill(
        bed=bed,
        rows=rows,
        operations=operations,
        mass=mass.mass,
        mass_low=mass.low,
        mass_high=mass.high,
        mass_how=mass.how,
        dry_mass=mass.dry,
        packed_mass=mass.packed,
        steel_mass=mass.steel,
        steel_unknown=mass.steel_unknown,
        carbon=sum(line.carbon for line in carbon_lines),
        carbon_unknown=unknown,
        carbon_lines=carbon_lines,
        minutes=sum(step.labour_minutes for step in operations),
    )


def _rows(works: Works, bed: BedAtSize) -> Iterable[BillRow]:
    yield from unit_steel(works, bed.unit, "unit")
    yield from unit_soft(works, bed.unit, "unit")
    if bed.edge is not None:
        yield from edge_steel(bed.edge)
        yield from edge_soft(bed.edge)
    for layer in bed.layers:
        yield from layer_rows(works, layer)
    for panel in bed.panels:
        yield from panel_rows(works, panel)
    yield from border_rows(works, bed.border, bed.closure.thread, bed.label)
    yield from closing_rows(works, bed)
    yield from pack_rows(bed.wrap)


def _numbered(rows: Iterable[BillRow]) -> tuple[BillRow, ...]:
    return tuple(replace(row, line=number) for number, row in enumerate(rows, 1))
