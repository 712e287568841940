"""A workbook as people leave it: every fault at once, by sheet, row, column and cell, with what would do."""

from __future__ import annotations

import io
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook

from bedwright.errors import Fault, FaultsFound, NotReadable
from bedwright.works.about import FORMAT
from bedwright.works.workbook.assemble import Examination
from bedwright.works.workbook.reader import examine, read_works
from bedwright.works.workbook.writer import workbook_bytes
from bedwright.works.works import Works

Spoil = Callable[[Workbook], object]
Look = Callable[[Spoil], Examination]


@pytest.fixture(scope="module")
def good(small_works: Works) -> bytes:
    return workbook_bytes(small_works)


@pytest.fixture
def look(good: bytes, tmp_path: Path) -> Look:
    """Spoil a good workbook and examine it."""

    def _look(spoil: Spoil) -> Examination:
        book = load_workbook(io.BytesIO(good))
        spoil(book)
        book.save(tmp_path / "works.xlsx")
        return examine(tmp_path / "works.xlsx")

    return _look


def put(sheet: str, **cells: object) -> Spoil:
    def spoil(book: Workbook) -> None:
        for cell, value in cells.items():
            book[sheet][cell] = value

    return spoil


def only(found: Examination) -> Fault:
    assert found.works is None
    assert len(found.grave) == 1, [str(fault) for fault in found.grave]
    return found.grave[0]


def test_the_sentence_names_everything(look: Look) -> None:
    fault = only(look(put("wires", D3=22)))
    assert (fault.sheet, fault.row, fault.column, fault.cell) == ("wires", 3, "diameter [mm]", "D3")
    assert str(fault) == (
        "sheet wires, row 3, column diameter [mm] (D3), wire R40: is above 8, the most that is accepted "
        "(found '22'); use 0.5 to 8 mm, or name a gauge with its system, as \"13.5 SWG\""
    )


def test_all_faults_at_once_and_no_works(look: Look) -> None:
    def spoil(book: Workbook) -> None:
        put("wires", D2=True, D3="1_000", E4="XX")(book)
        put("coils", D2="NO-WIRE", G3="inf")(book)
        put("orders", F2="12/03/2026")(book)
        put("bed_layers", C3=4.5, D4="NOBODY")(book)

    found = look(spoil)
    assert found.works is None
    assert [(fault.sheet, fault.cell) for fault in found.grave] == [
        ("wires", "D2"), ("wires", "D3"), ("wires", "E4"), ("coils", "D2"), ("coils", "G3"), ("bed_layers", "C3"),
        ("bed_layers", "D4"), ("orders", "F2"),
    ]  # fmt: skip
    assert all(fault.remedy for fault in found.grave)


def test_doubles_name_both_rows(look: Look) -> None:
    found = look(put("sizes", A3="135"))
    doubles = [fault for fault in found.grave if fault.sheet == "sizes"]
    assert [fault.cell for fault in doubles] == ["A2", "A3"]
    assert "stands on rows 2, 3" in doubles[0].says and "A3" in doubles[0].says


def test_codes_are_one_whatever_their_case(look: Look) -> None:
    found = look(put("wires", A3="l13"))
    assert {fault.cell for fault in found.grave if fault.sheet == "wires"} == {"A2", "A3"}


def test_nested_rows_have_one_position_each_on_their_face(look: Look) -> None:
    def spoil(book: Workbook) -> None:
        sheet = book["bed_layers"]
        rows = [[cell.value for cell in row] for row in sheet.iter_rows(min_row=2)]
        at = next(number for number, row in enumerate(rows) if row[:3] == ["SNIPE", "A", 2])
        sheet.cell(at + 2, 3).value = 1
        spoil.cells = {f"C{at + 1}", f"C{at + 2}"}  # type: ignore[attr-defined]

    found = look(spoil)
    assert {fault.cell for fault in found.grave} == spoil.cells  # type: ignore[attr-defined]
    assert {fault.sheet for fault in found.grave} == {"bed_layers"}  # the bed does not say it once more


def test_a_row_of_nobody_is_named(look: Look) -> None:
    fault = only(look(lambda book: book["bed_claims"].append(["NOBED", 1, "origin"])))
    assert fault.cell == "A2" and "names bed 'NOBED', and there is none" in fault.says


def test_the_nearest_code_is_offered(look: Look) -> None:
    fault = only(look(put("coils", D2="w2 2")))
    assert "perhaps 'W22'" in fault.remedy


def test_a_line_that_fails_does_not_make_others_fail(look: Look) -> None:
    """The wire's row is faulty, yet it is there: coils that name it are not blamed."""
    fault = only(look(put("wires", D6="thick")))
    assert fault.sheet == "wires"


def test_what_a_card_says_of_itself_stands_at_its_cells(look: Look) -> None:
    fault = only(look(put("orders", F2=date(2025, 1, 1))))
    assert fault.cell == "F2" and "(also E2)" in fault.says


def test_blank_rows_and_stray_spaces_are_nothing(look: Look, small_works: Works) -> None:
    def spoil(book: Workbook) -> None:
        book["wires"].insert_rows(3, 2)
        book["wires"]["A4"] = " \xa0 "
        book["wires"]["A2"] = "\xa0 L13 "
        book["coils"]["D2"] = book["coils"]["D2"].value + "  "
        book["wires"]["A99"] = "   "

    found = look(spoil)
    assert found.works is not None
    assert found.works.content() == small_works.content()


def test_rows_after_blank_ones_keep_their_numbers(look: Look) -> None:
    def spoil(book: Workbook) -> None:
        book["wires"].insert_rows(2, 3)
        book["wires"]["D6"] = "thick"

    assert only(look(spoil)).cell == "D6"


def test_columns_in_another_order_and_headings_spelt_freely(look: Look, small_works: Works) -> None:
    def spoil(book: Workbook) -> None:
        book["wires"].move_range("A1:A20", cols=20)
        book["wires"]["D1"] = "  Diameter (MM) "
        next(cell for cell in book["coils"][1] if cell.value == "live turns").value = "LIVE_TURNS [turns]"
        book["wires"].title = "Wires "
        book["work_places"].title = "Work places"

    found = look(spoil)
    assert found.works is not None, [str(fault) for fault in found.faults]
    assert found.works.content() == small_works.content()


def test_headings(look: Look) -> None:
    assert "has the unit in" in only(look(put("wires", D1="diameter [in]"))).says
    fault = only(look(put("wires", Z1="colour")))
    assert fault.cell == "Z1" and "is not a column of this sheet" in fault.says
    fault = only(look(put("wires", Z1="diameter [mm]")))
    assert fault.cell == "Z1" and "heads two columns, D1 too" in fault.says
    found = look(put("wires", D1="diametre"))
    assert any("perhaps 'diameter'" in fault.remedy for fault in found.grave)
    assert any("has no column 'diameter [mm]'" in fault.says for fault in found.grave)
    assert len(found.grave) == 2  # not one for every row besides


def test_values_without_a_heading_and_headings_not_in_row_one(look: Look) -> None:
    fault = only(look(put("wires", N5="a jotting")))
    assert fault.cell == "N5" and "without a heading" in fault.says
    fault = next(f for f in look(lambda book: book["wires"].insert_rows(1)).grave if f.sheet == "wires")
    assert "nothing in row 1" in fault.says


def test_missing_unknown_and_doubled_sheets(look: Look) -> None:
    found = look(lambda book: book.remove(book["offers"]))
    assert only(found).sheet == "offers" and only(found).says == "is missing"
    found = look(lambda book: book.create_sheet("my sums"))
    assert found.works is not None
    assert [fault.grave for fault in found.faults if fault.sheet == "my sums"] == [False]
    found = look(lambda book: book.create_sheet("WIRES "))
    assert "is there twice" in only(found).says


def test_an_empty_sheet_has_no_cards(look: Look, small_works: Works) -> None:
    found = look(lambda book: book["offers"].delete_rows(1, 5))
    assert found.works is not None
    assert found.works.content() == small_works.content()


def test_formulas(look: Look) -> None:
    fault = only(look(put("wires", D2="=1.1*2")))
    assert fault.cell == "D2" and "never calculated" in fault.says
    alone = look(put("wires", A30="=A2"))  # a row with nothing else
    assert [fault.cell for fault in alone.grave] == ["A30", "D30"]


def test_errors_of_the_spreadsheet(look: Look) -> None:
    def spoil(book: Workbook) -> None:
        book["wires"]["B2"] = "#REF!"
        book["wires"]["B2"].data_type = "e"

    fault = only(look(spoil))
    assert fault.cell == "B2" and "error of the spreadsheet" in fault.says


def test_merged_cells(look: Look, small_works: Works) -> None:
    found = look(lambda book: book["wires"].merge_cells("B2:B4"))
    merged = [fault for fault in found.grave if "merged" in fault.says]
    assert [fault.cell for fault in merged] == ["B2"] and "B2:B4" in merged[0].says
    beside = look(lambda book: book["wires"].merge_cells("M20:P22"))
    assert beside.works is not None and beside.works.content() == small_works.content()


def test_per_cent_cells_mean_what_they_show(look: Look) -> None:
    def spoil(book: Workbook) -> None:
        fillings = book["fillings"]
        place = next(cell.column_letter for cell in fillings[1] if cell.value == "regain [%]")
        row = next(cell.row for cell in fillings["A"] if cell.value == "WOOL")
        fillings[f"{place}{row}"] = 0.14
        fillings[f"{place}{row}"].number_format = "0.0%"

    found = look(spoil)
    assert found.works is not None
    assert found.works.fillings["WOOL"].regain == 14.0

    def elsewhere(book: Workbook) -> None:
        book["wires"]["D2"].number_format = "0%"

    fault = only(look(elsewhere))
    assert fault.cell == "D2" and "shown as per cent" in fault.says


def test_prices_name_what_they_price(look: Look) -> None:
    fault = only(look(put("prices", D2="W99")))
    assert fault.cell == "D2" and "prices wire 'W99', and there is none" in fault.says


def test_one_code_on_two_materials(look: Look) -> None:
    found = look(lambda book: book["trims"].append(["W22", "a trim with the code of a wire", "label", "kg"]))
    clash = [fault for fault in found.grave if fault.sheet == "trims"]
    assert len(clash) == 1 and "has the code of wire W22" in clash[0].says and clash[0].cell.startswith("A")


def test_infants_are_refused(look: Look) -> None:
    fault = only(look(put("sizes", C2=600, D2=1200)))
    assert fault.sheet == "sizes" and "out of scope" in fault.says


def test_outside_the_usual_is_a_note_only(look: Look, small_works: Works) -> None:
    found = look(put("wires", D2=7.5))
    assert found.works is not None
    notes = [fault for fault in found.faults if fault.cell == "D2"]
    assert [note.grave for note in notes] == [False] and "outside the usual 0.9 to 5 mm" in notes[0].says


def test_house_rules(look: Look) -> None:
    found = look(lambda book: [book["house_rules"].append(row) for row in (
        ["seem", "a typing slip", 12], ["seam", "", 90, "mm", 10, 15],
    )])  # fmt: skip
    assert found.works is not None
    notes = {fault.cell: fault for fault in found.faults if fault.sheet == "house_rules"}
    assert "no sum reads" in notes["A2"].says and "perhaps 'seam'" in notes["A2"].remedy
    assert "outside the usual 10 to 15" in notes["C3"].says


def test_about(look: Look, tmp_path: Path) -> None:
    columns = {"format": "A", "time_zone": "H", "as_of": "I"}
    assert "is not a time zone" in only(look(put("about", **{columns["time_zone"] + "2": "Europe/Nethercombe"}))).says
    assert only(look(put("about", I2="tomorrow"))).cell == "I2"
    assert "second row" in only(look(lambda book: book["about"].append([1]))).says
    assert "no row of facts" in only(look(lambda book: book["about"].delete_rows(2))).says
    assert only(look(lambda book: book.remove(book["about"]))).sheet == "about"


def test_a_newer_format_is_refused_whole(look: Look, tmp_path: Path) -> None:
    fault = only(look(put("about", A2=FORMAT + 1)))
    assert f"format {FORMAT + 1}, and this program reads formats up to {FORMAT}" in fault.says
    with pytest.raises(NotReadable, match="newer bedwright"):
        read_works(tmp_path / "works.xlsx")


def test_as_of_overrides(good: bytes, tmp_path: Path) -> None:
    (tmp_path / "works.xlsx").write_bytes(good)
    assert read_works(tmp_path / "works.xlsx").about.as_of == date(2026, 3, 2)
    assert read_works(tmp_path / "works.xlsx", date(2027, 1, 1)).about.as_of == date(2027, 1, 1)


def test_read_works_raises_all_faults(look: Look, tmp_path: Path) -> None:
    look(put("wires", D2=True, D3=99))
    with pytest.raises(FaultsFound) as refused:
        read_works(tmp_path / "works.xlsx")
    assert [fault.cell for fault in refused.value.faults] == ["D2", "D3"]
