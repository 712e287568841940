"""Out and in again: the same works, the same bytes, and text that stays text."""

from __future__ import annotations

import io
import re
import shutil
import subprocess
import time
import zipfile
from pathlib import Path

import pytest
from openpyxl import load_workbook

from bedwright.works.materials import Trim
from bedwright.works.workbook.csv_folder import read_csv_folder, write_csv_folder
from bedwright.works.workbook.layout import sheets
from bedwright.works.workbook.reader import examine, read_works
from bedwright.works.workbook.writer import workbook_bytes, write_works
from bedwright.works.works import Works

ROOT = Path(__file__).resolve().parents[2]
ODD = (
    ("=1+1", "+44 and so on"), ("-x", "@sum"), ("'quoted", "007"), ("1/2", "2026-01-02"), ("TRUE", "1e5"),
    ("a\nb", "_x0041_ and _x005F_"), ("é ½ 床", "tab\there"), ("12 %", "06:00"), ("''two", "a\rb\x01c"), ("", "<&>\"'"),
)  # fmt: skip


@pytest.fixture(scope="module")
def odd_works(small_works: Works) -> Works:
    """The small works with texts that spreadsheets like to change."""
    odd = [
        Trim(code=f"ODD-{number}", name=name, note=note, use="label", counted_in="kg")
        for number, (name, note) in enumerate(ODD)
    ]
    codes = [Trim(code=code, use="label", counted_in="kg") for code in ("=A1", "007", "1/3", "+1", "1E5", "true")]
    return Works.of(small_works.about, [*small_works.all_cards(), *odd, *codes])


def test_out_and_in_again(odd_works: Works, tmp_path: Path) -> None:
    write_works(odd_works, tmp_path / "works.xlsx")
    again = read_works(tmp_path / "works.xlsx")
    assert again.content() == odd_works.content()
    assert list(again.all_cards()) == list(odd_works.all_cards())


def test_csv_out_and_in_again(odd_works: Works, tmp_path: Path) -> None:
    write_csv_folder(odd_works, tmp_path)
    again = read_csv_folder(tmp_path)
    assert again.content() == odd_works.content()
    assert list(again.all_cards()) == list(odd_works.all_cards())


def test_the_same_works_gives_the_same_bytes(small_works: Works, monkeypatch: pytest.MonkeyPatch) -> None:
    first = workbook_bytes(small_works)
    monkeypatch.setenv("TZ", "Pacific/Auckland")
    time.tzset()
    time.sleep(1.1)  # the clock of docProps counts seconds
    second = workbook_bytes(small_works)
    monkeypatch.undo()
    time.tzset()
    assert first == second
    with zipfile.ZipFile(io.BytesIO(first)) as parts:
        assert {entry.date_time for entry in parts.infolist()} == {(2026, 1, 1, 0, 0, 0)}
        assert re.findall(rb"20\d\d-\d\d-\d\dT", parts.read("docProps/core.xml")) == [b"2026-01-01T"] * 2


def test_every_kind_has_its_sheet_and_every_field_its_column(small_works: Works) -> None:
    book = load_workbook(io.BytesIO(workbook_bytes(small_works)))
    assert book.sheetnames == [sheet.name for sheet in sheets()] + ["help", "choices"]
    for sheet in sheets():
        headings = [cell.value for cell in book[sheet.name][1]]
        assert headings == [column.heading for column in sheet.columns]
        assert len(set(headings)) == len(headings)
        fields = set(sheet.model.model_fields)
        nested = {other.field for other in sheets() if other.kind is sheet.kind and not sheet.field}
        assert {column.field for column in sheet.columns} - {"code"} == fields - nested - {"code"}


def test_units_stand_in_the_headings(small_works: Works) -> None:
    book = load_workbook(io.BytesIO(workbook_bytes(small_works)))
    assert [cell.value for cell in book["wires"][1]] == [
        "code", "name", "form", "diameter [mm]", "grade", "supplier", "carbon", "note",
    ]  # fmt: skip
    assert [cell.value for cell in book["bed_layers"][1]][:3] == ["code", "face", "position"]


def test_text_that_looks_like_a_formula_is_text(odd_works: Works) -> None:
    book = load_workbook(io.BytesIO(workbook_bytes(odd_works)))
    cell = next(cell for cell in book["trims"]["B"] if cell.value == "=1+1")
    assert cell.data_type == "s" and cell.quotePrefix
    with zipfile.ZipFile(io.BytesIO(workbook_bytes(odd_works))) as parts:
        for name in parts.namelist():
            assert b"<f>" not in parts.read(name)


def test_help_tells_every_column(small_works: Works) -> None:
    book = load_workbook(io.BytesIO(workbook_bytes(small_works)))
    told = {(row[0], row[1]): row for row in book["help"].iter_rows(min_row=2, values_only=True)}
    assert len(told) == sum(len(sheet.columns) for sheet in sheets())
    assert all(row[2] for row in told.values()), [key for key, row in told.items() if not row[2]]
    assert told["wires", "diameter [mm]"][4:7] == ("mm", "0.5 to 8 mm", "0.9 to 5")
    assert told["coils", "wire"][7] == "code of: wire"


def test_lists_to_choose_from_hold_what_the_card_accepts(small_works: Works) -> None:
    book = load_workbook(io.BytesIO(workbook_bytes(small_works)))
    drop = next(one for one in book["coils"].data_validations.dataValidation if "C2" in str(one.sqref))
    letter = drop.formula1.split("$")[1]
    listed = [cell.value for cell in book["choices"][letter][1:] if cell.value]
    assert listed == ["cylinder", "cone", "barrel", "hourglass-parabolic", "hourglass-straight", "table"]
    assert book["choices"].sheet_state == "hidden"


def test_a_write_that_fails_leaves_the_old_workbook(small_works: Works, tmp_path: Path) -> None:
    write_works(small_works, tmp_path / "works.xlsx")
    old = (tmp_path / "works.xlsx").read_bytes()
    (tmp_path / ".works.xlsx.part").mkdir()
    with pytest.raises(OSError):
        write_works(small_works, tmp_path / "works.xlsx")
    assert (tmp_path / "works.xlsx").read_bytes() == old


def test_the_starter_is_whole_and_without_a_remark(tmp_path: Path) -> None:
    works = read_csv_folder(ROOT / "starter")
    write_works(works, tmp_path / "works.xlsx")
    found = examine(tmp_path / "works.xlsx")
    assert found.faults == ()
    assert len(works.beds) == 2 and len(works.sizes) == 3 and len(works.orders) == 1
    assert all((ROOT / "starter" / f"{sheet}.csv").exists() for sheet in ("about", "beds", "bed_layers", "route_steps"))


@pytest.mark.full
@pytest.mark.tool
def test_the_demo_out_and_in_again_through_libreoffice(tmp_path: Path) -> None:
    office = shutil.which("soffice")
    if office is None:
        pytest.skip("LibreOffice (soffice) is not here")
    works = read_csv_folder(ROOT / "demo")
    write_works(works, tmp_path / "works.xlsx")
    command = [office, "--headless", f"-env:UserInstallation=file://{tmp_path}/profile", "--convert-to", "xlsx"]
    subprocess.run([*command, "--outdir", str(tmp_path / "out"), str(tmp_path / "works.xlsx")], check=True, timeout=180)
    found = examine(tmp_path / "out" / "works.xlsx")
    assert found.works is not None, [str(fault) for fault in found.faults][:5]
    assert found.works.content() == works.content()


@pytest.mark.full
@pytest.mark.tool
def test_out_and_in_again_through_libreoffice(odd_works: Works, tmp_path: Path) -> None:
    office = shutil.which("soffice")
    if office is None:
        pytest.skip("LibreOffice (soffice) is not here")
    write_works(odd_works, tmp_path / "works.xlsx")
    book = load_workbook(tmp_path / "works.xlsx")
    diameter = next(cell for cell in book["wires"]["D"] if cell.value == 2.2)
    diameter.value = "=1.1*2"  # never calculated here; LibreOffice calculates it
    book.save(tmp_path / "works.xlsx")
    assert [fault.cell for fault in examine(tmp_path / "works.xlsx").grave] == [diameter.coordinate]
    command = [office, "--headless", f"-env:UserInstallation=file://{tmp_path}/profile", "--convert-to", "xlsx"]
    subprocess.run([*command, "--outdir", str(tmp_path / "out"), str(tmp_path / "works.xlsx")], check=True, timeout=180)
    found = examine(tmp_path / "out" / "works.xlsx")
    assert found.works is not None, [str(fault) for fault in found.faults]
    assert found.works.content() == odd_works.content()
    assert [fault.cell for fault in found.faults if "last calculated value" in fault.says] == [diameter.coordinate]
