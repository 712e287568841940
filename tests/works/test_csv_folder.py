"""A folder of CSV is read with the same eyes as a workbook."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from bedwright.errors import FaultsFound, NotReadable
from bedwright.works.workbook.csv_folder import examine_csv_folder, read_csv_folder, write_csv_folder
from bedwright.works.works import Works


@pytest.fixture
def folder(small_works: Works, tmp_path: Path) -> Path:
    write_csv_folder(small_works, tmp_path)
    return tmp_path


def test_faults_by_file_row_and_column(folder: Path) -> None:
    text = (folder / "wires.csv").read_text()
    (folder / "wires.csv").write_text(text.replace("R40,edge rod 4.0,round,4,", "R40,edge rod 4.0,round,1_000,"))
    with pytest.raises(FaultsFound) as refused:
        read_csv_folder(folder)
    (fault,) = refused.value.faults
    assert (fault.sheet, fault.row, fault.column, fault.cell) == ("wires", 3, "diameter [mm]", "D3")
    assert fault.value == "1_000"


def test_a_plain_number_is_in_the_unit_of_its_heading(folder: Path) -> None:
    text = (folder / "wires.csv").read_text()
    (folder / "wires.csv").write_text(text.replace("W22,spring wire 2.2,round,2.2,", "W22,x,round,13 SWG,"))
    assert read_csv_folder(folder).wires["W22"].diameter == 2.337


def test_blank_lines_and_a_mark_of_byte_order(folder: Path, small_works: Works) -> None:
    text = (folder / "wires.csv").read_text().replace("\n", "\r\n").replace("W22,", "\r\n\r\nW22,", 1)
    (folder / "wires.csv").write_bytes(b"\xef\xbb\xbf" + text.encode())
    assert read_csv_folder(folder).content() == small_works.content()


def test_files_of_empty_sheets_are_not_there_and_stale_ones_go(small_works: Works, folder: Path) -> None:
    assert not (folder / "offers.csv").exists()
    (folder / "offers.csv").write_text("code,name\n")
    write_csv_folder(small_works, folder)
    assert not (folder / "offers.csv").exists()


def test_no_folder_no_files_no_about(tmp_path: Path, folder: Path) -> None:
    for wrong in (tmp_path / "nowhere", tmp_path / "empty"):
        if wrong.name == "empty":
            wrong.mkdir()
        with pytest.raises(NotReadable):
            read_csv_folder(wrong)
    (folder / "about.csv").unlink()
    assert [(fault.sheet, fault.says) for fault in examine_csv_folder(folder).grave] == [("about", "is missing")]


def test_a_file_that_is_no_sheet_is_told(folder: Path) -> None:
    (folder / "wirez.csv").write_text("code\n")
    notes = [fault for fault in examine_csv_folder(folder).faults if fault.sheet == "wirez"]
    assert [note.grave for note in notes] == [False] and "perhaps 'wires'" in notes[0].remedy


@pytest.mark.parametrize("data", [b"code,name\nW\xff,x\n", b'code,name\n"W1,x\n', b"code,name\rW1\0,x\n"])
def test_what_is_no_csv(folder: Path, data: bytes) -> None:
    (folder / "wires.csv").write_bytes(data)
    try:
        found = examine_csv_folder(folder)
    except NotReadable as refused:
        assert "wires.csv" in str(refused)
    else:
        assert any(fault.sheet == "wires" for fault in found.grave)


def test_as_of(folder: Path) -> None:
    assert read_csv_folder(folder, date(2027, 5, 1)).about.as_of == date(2027, 5, 1)
