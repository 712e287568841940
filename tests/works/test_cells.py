"""One cell at a time: what is understood, what is refused, and in which words."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from decimal import Decimal

import pytest

from bedwright.errors import NotUnderstood
from bedwright.works.workbook.cells import as_text, read_cell
from bedwright.works.workbook.grid import Value, cell_name, cell_place, range_corners
from bedwright.works.workbook.layout import Column, sheets


def column(sheet: str, field: str) -> Column:
    return next(one for one in sheets() if one.name == sheet).column(field)


@pytest.mark.parametrize(
    ("sheet", "field", "value", "wanted"),
    [
        ("wires", "diameter", 2.2, 2.2),
        ("wires", "diameter", " 2.2 ", 2.2),
        ("wires", "diameter", "\xa02.2 mm", 2.2),
        ("wires", "diameter", "13 SWG", 2.337),  # BS 3737:1964
        ("wires", "diameter", "13 1/2 SWG", 2.1845),  # midpoint by convention
        ("wires", "diameter", "0.0915 in", 2.3241),
        ("sizes", "width", "4'6\"", 1371.6),
        ("sizes", "width", "135 cm", 1350.0),
        ("sizes", "width", "1350", 1350.0),
        ("films", "gauge_um", "500 gauge", 125.0),
        ("cloths", "areal_mass", "250 gsm", 250.0),
        ("fillings", "regain", "14 %", 14.0),
        ("fillings", "hardness_40", "3.5 kPa", 3.5),
        ("fillings", "hardness_40", "3,5", 3.5),
        ("coils", "live_turns", "5 turns", 5.0),
        ("work_places", "charge_minutes", "45 minutes", 45.0),
        ("order_lines", "quantity", 4.0, 4),
        ("order_lines", "quantity", "4", 4),
        ("prices", "price", 12.4, Decimal("12.4")),
        ("prices", "price", 12.400000000000001, Decimal("12.4")),
        ("prices", "price", "12.50", Decimal("12.5")),
        ("borders", "quilted", True, True),
        ("borders", "quilted", " Yes", True),
        ("borders", "quilted", "FALSE", False),
        ("orders", "due", date(2026, 3, 4), date(2026, 3, 4)),
        ("orders", "due", datetime(2026, 3, 4), date(2026, 3, 4)),
        ("orders", "due", "2026-03-04", date(2026, 3, 4)),
        ("shifts", "start", time(6), time(6)),
        ("shifts", "start", "6:00", time(6)),
        ("shifts", "start", "22:15", time(22, 15)),
        ("shifts", "start", timedelta(hours=6), time(6)),
        ("units", "construction", " Open-Coil ", "open-coil"),
        ("panels", "method", "single  DEEP panel", "single deep panel"),
        ("panels", "stitch_class", 301.0, "301"),
        ("wires", "code", 123.0, "123"),
        ("wires", "name", "=1+1", "=1+1"),
        ("wires", "name", 2.5, "2.5"),
        ("wires", "name", "  \xa0 ", None),
        ("wires", "name", None, None),
    ],
)
def test_understood(sheet: str, field: str, value: Value, wanted: object) -> None:
    found = read_cell(column(sheet, field), value)
    assert found == (pytest.approx(wanted, abs=1e-9) if isinstance(wanted, float) else wanted)
    assert type(found) is type(wanted)


@pytest.mark.parametrize(
    ("sheet", "field", "value", "says"),
    [
        ("wires", "diameter", True, "truth value"),
        ("wires", "diameter", "1_000", "cannot be read as a number"),
        ("wires", "diameter", "inf", "cannot be read"),
        ("wires", "diameter", "nan", "cannot be read"),
        ("wires", "diameter", float("inf"), "not a finite number"),
        ("wires", "diameter", "thick", "cannot be read"),
        ("wires", "diameter", "13 gauge", "names no gauge system"),
        ("wires", "diameter", date(2026, 2, 2), "turned into a date"),
        ("sizes", "width", "135 furlongs", "no unit of length"),
        ("sizes", "width", "1,350", "may mark thousands or decimals"),
        ("order_lines", "quantity", 4.5, "not a whole number"),
        ("order_lines", "quantity", "TRUE", "cannot be read as a number"),
        ("prices", "price", "£12", "cannot be read as a number"),
        ("prices", "price", True, "truth value"),
        ("borders", "quilted", 1.0, "neither yes nor no"),
        ("borders", "quilted", "perhaps", "neither yes nor no"),
        ("orders", "due", "04/03/2026", "without guessing"),
        ("orders", "due", "4 March 2026", "without guessing"),
        ("orders", "due", "2026-02-30", "no day of the calendar"),
        ("orders", "due", 46085.0, "is not a day"),
        ("orders", "due", datetime(2026, 3, 4, 5, 6), "is a moment"),
        ("orders", "due", date(1900, 1, 5), "outside the years"),
        ("shifts", "start", "25:00", "not a time of day"),
        ("shifts", "start", 0.25, "not a time of day"),
        ("shifts", "start", "six", "not a time of day"),
        ("units", "construction", "open coyl", "not one of the choices"),
        ("wires", "name", True, "truth value"),
        ("wires", "name", date(2026, 1, 2), "turned into a date"),
    ],
)
def test_refused_in_these_words(sheet: str, field: str, value: Value, says: str) -> None:
    with pytest.raises(NotUnderstood) as refused:
        read_cell(column(sheet, field), value)
    assert says in refused.value.fault.says
    assert refused.value.fault.remedy


def test_a_choice_names_all_and_the_nearest() -> None:
    with pytest.raises(NotUnderstood) as refused:
        read_cell(column("units", "construction"), "poket")
    assert refused.value.fault.remedy == "use open-coil, pocket; perhaps 'pocket'"


def test_a_number_says_its_range() -> None:
    with pytest.raises(NotUnderstood) as refused:
        read_cell(column("wires", "diameter"), True)
    assert refused.value.fault.remedy == "type a number of 0.5 to 8 mm"


def test_cells_by_name() -> None:
    for name, place in {"A1": (1, 1), "Z9": (9, 26), "AA10": (10, 27), "XFD1048576": (1048576, 16384)}.items():
        assert cell_place(name) == place
        assert cell_name(*place) == name
    assert range_corners("B2:D9") == ((2, 2), (9, 4))
    for wrong in ("", "A0", "7", "AAAA1", "a1", "A1B"):
        with pytest.raises(ValueError, match="is not a cell"):
            cell_place(wrong)


def test_values_as_csv_holds_them() -> None:
    wanted = {
        2.0: "2", 0.1: "0.1", 1e-7: "0.0000001", 1e-30: "1e-30", 1e21: "1e+21", True: "yes", None: "",
        Decimal("12.50"): "12.5", Decimal("100"): "100", date(2026, 1, 2): "2026-01-02", time(6): "06:00",
        time(6, 0, 1): "06:00:01", "x": "x",
    }  # fmt: skip
    assert {value: as_text(value) for value in wanted} == wanted
