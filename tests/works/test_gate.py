"""Whatever lies under the name of a workbook: a clear sentence, no traceback, little memory, a live process."""

from __future__ import annotations

import io
import os
import random
import resource
import tracemalloc
import zipfile
from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook

from bedwright.errors import NotReadable
from bedwright.works.workbook.gate import LARGEST_FILE, through_gate
from bedwright.works.workbook.reader import examine
from bedwright.works.workbook.writer import workbook_bytes
from bedwright.works.works import Works


@pytest.fixture(scope="module")
def good(small_works: Works) -> bytes:
    return workbook_bytes(small_works)


def repacked(data: bytes, changes: dict[str, bytes | None], **extra: bytes) -> bytes:
    """The same zip with parts changed, taken away (None) or added."""
    packed = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as new:
        for entry in old.infolist():
            content = changes.get(entry.filename, old.read(entry))
            if content is not None:
                new.writestr(entry.filename, content)
        for name, content in changes.items():
            if name not in old.namelist() and content is not None:
                new.writestr(name, content)
    return packed.getvalue()


def part(data: bytes, name: str) -> bytes:
    with zipfile.ZipFile(io.BytesIO(data)) as old:
        return old.read(name)


def sentence(path: Path) -> str:
    """The one fault of a file that cannot be taken in."""
    found = examine(path)
    assert found.works is None
    assert len(found.faults) == 1, found.faults
    return str(found.faults[0])


def put(folder: Path, data: bytes, name: str = "works.xlsx") -> Path:
    (folder / name).write_bytes(data)
    return folder / name


def test_a_good_workbook_goes_through(tmp_path: Path, good: bytes, small_works: Works) -> None:
    found = examine(put(tmp_path, good))
    assert found.works is not None
    assert found.works.content() == small_works.content()


def test_no_file_a_folder_and_an_empty_file(tmp_path: Path) -> None:
    assert "there is no file" in sentence(tmp_path / "works.xlsx")
    assert "is a folder" in sentence(tmp_path)
    assert "is empty (0 bytes)" in sentence(put(tmp_path, b""))


def test_a_pipe_is_refused_and_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "works.xlsx")
    assert "no ordinary file" in sentence(tmp_path / "works.xlsx")


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"code,name\nW1,wire\n", "is no workbook (it is text)"),
        (b"%PDF-1.7 ...", "is a PDF"),
        (b"  <html><table>", "is a web page or XML"),
        (b"\x89PNG\r\n\x1a\n\x00\x00", "is no workbook (it is something else)"),
        (bytes.fromhex("d0cf11e0a1b11ae1") + b"\0" * 600, "of the old kind (.xls)"),
        (
            bytes.fromhex("d0cf11e0a1b11ae1") + b"\0" * 600 + "EncryptedPackage".encode("utf-16-le") + b"\0" * 90,
            "is encrypted",
        ),
        (b"PK\x05\x06" + b"\0" * 18, "a zip without a workbook inside"),
        (b"PK\x03\x04" + b"nonsense" * 40, "is damaged or was cut short"),
    ],
)
def test_what_is_no_workbook(tmp_path: Path, data: bytes, says: str) -> None:
    assert says in sentence(put(tmp_path, data))


def test_other_packed_documents(tmp_path: Path) -> None:
    for name, content, says in (
        ("mimetype", b"application/vnd.oasis.opendocument.spreadsheet", "OpenDocument"),
        ("xl/workbook.bin", b"\0", "binary workbook"),
        ("word/document.xml", b"<a/>", "text document"),
        ("readme.txt", b"hello", "a zip without a workbook inside"),
    ):
        packed = io.BytesIO()
        with zipfile.ZipFile(packed, "w") as file:
            file.writestr(name, content)
        assert says in sentence(put(tmp_path, packed.getvalue()))


def test_cut_short_anywhere(tmp_path: Path, good: bytes) -> None:
    for share in (0.01, 0.3, 0.6, 0.95, 0.9999):
        text = sentence(put(tmp_path, good[: int(len(good) * share)]))
        assert "damaged or was cut short" in text


def test_a_few_flipped_bytes_never_bring_it_down(tmp_path: Path, good: bytes) -> None:
    draw = random.Random(4)
    for _ in range(25):
        broken = bytearray(good)
        for _ in range(draw.choice((1, 4, 40))):
            broken[draw.randrange(len(broken))] ^= 1 << draw.randrange(8)
        found = examine(put(tmp_path, bytes(broken)))
        assert found.works is not None or all(fault.says for fault in found.faults)


def test_200_mb_are_refused_at_once(tmp_path: Path) -> None:
    path = tmp_path / "works.xlsx"
    with path.open("wb") as file:
        file.write(b"PK\x03\x04")
        file.truncate(200_000_000)
    tracemalloc.start()
    text = sentence(path)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert "has 200 MB" in text and f"at most {LARGEST_FILE // 1_000_000} MB" in text
    assert peak < 1_000_000


def test_a_zip_that_unpacks_to_gigabytes(tmp_path: Path, good: bytes) -> None:
    bomb = repacked(good, {"xl/worksheets/sheet2.xml": b"<worksheet>" + b" " * 160_000_000})
    assert len(bomb) < LARGEST_FILE
    tracemalloc.start()
    text = sentence(put(tmp_path, bomb))
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert "would unpack to" in text
    assert peak < 8_000_000


def test_a_zip_that_lies_about_its_sizes(tmp_path: Path, good: bytes) -> None:
    """The directory says 10 bytes where 160 MB come out: stopped by what really comes out."""
    data = bytearray(repacked(good, {"xl/worksheets/sheet2.xml": b"<worksheet>" + b" " * 160_000_000}))
    entry = data.rindex(b"PK\x01\x02", 0, data.rindex(b"xl/worksheets/sheet2.xml"))
    data[entry + 24 : entry + 28] = (10).to_bytes(4, "little")
    assert examine(put(tmp_path, bytes(data))).works is None
    assert "damaged" in sentence(put(tmp_path, bytes(data)))


def test_too_many_parts_and_names_that_point_outside(tmp_path: Path, good: bytes) -> None:
    many = repacked(good, {f"xl/media/{number}.bin": b"" for number in range(2100)})
    assert "parts inside" in sentence(put(tmp_path, many))
    for name in ("../../evil.xml", "/etc/evil.xml", "C:evil.xml"):
        assert "points outside the workbook" in sentence(put(tmp_path, repacked(good, {name: b"<a/>"})))


def test_two_parts_of_one_name(tmp_path: Path, good: bytes) -> None:
    assert "two parts of one name" in sentence(put(tmp_path, repacked(good, {"XL/Workbook.xml": b"<a/>"})))


def test_entities_that_unfold_are_refused(tmp_path: Path, good: bytes) -> None:
    laughs = b'<!DOCTYPE a [<!ENTITY b "ha"><!ENTITY c "&b;&b;&b;&b;">]><worksheet>&c;</worksheet>'
    for member in ("xl/worksheets/sheet2.xml", "xl/styles.xml", "xl/theme/theme1.xml", "docProps/core.xml"):
        assert "document type" in sentence(put(tmp_path, repacked(good, {member: laughs})))


def test_broken_and_bottomless_xml(tmp_path: Path, good: bytes) -> None:
    sheet = "xl/worksheets/sheet3.xml"
    assert "damaged inside" in sentence(put(tmp_path, repacked(good, {sheet: part(good, sheet)[:-40]})))
    assert "nested deeper" in sentence(put(tmp_path, repacked(good, {sheet: b"<a>" * 300 + b"</a>" * 300})))
    endless = b"<worksheet a='" + b"x" * 9_000_000 + b"'/>"
    assert "one piece of XML" in sentence(put(tmp_path, repacked(good, {sheet: endless})))


def test_a_sheet_whose_cells_are_not_there(tmp_path: Path, good: bytes) -> None:
    assert "are not in it" in sentence(put(tmp_path, repacked(good, {"xl/worksheets/sheet2.xml": None})))
    assert "where its sheets are" in sentence(put(tmp_path, repacked(good, {"xl/_rels/workbook.xml.rels": None})))


def test_one_stray_cell_in_the_last_corner_is_named(tmp_path: Path, good: bytes) -> None:
    book = load_workbook(io.BytesIO(good))
    book["wires"]["XFD1048576"] = 1
    book.save(tmp_path / "works.xlsx")
    before = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
    text = sentence(tmp_path / "works.xlsx")
    assert "sheet wires, row 1048576 (XFD1048576)" in text and "delete the rows and columns beyond" in text
    assert resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss == before  # no child was asked


@pytest.mark.parametrize("cell", ["A1048576", "XFD1", "ALL999999", "ZZ90000"])
def test_stray_cells_elsewhere(tmp_path: Path, good: bytes, cell: str) -> None:
    book = load_workbook(io.BytesIO(good))
    book["beds"][cell] = "x"
    book.save(tmp_path / "works.xlsx")
    assert f"({cell}): is a stray cell" in sentence(tmp_path / "works.xlsx")


def test_empty_cells_far_out_that_are_only_coloured_harm_nothing(tmp_path: Path, good: bytes) -> None:
    book = load_workbook(io.BytesIO(good))
    book["wires"]["XFD1048576"].number_format = "0.00"
    book.save(tmp_path / "works.xlsx")
    assert examine(tmp_path / "works.xlsx").works is not None


def test_a_reader_that_falls_over_is_told_in_a_sentence(tmp_path: Path, good: bytes, monkeypatch) -> None:  # type: ignore[no-untyped-def]
    """The gate lets the far cell through here, and the child dies of it: the parent lives and says so."""
    monkeypatch.setattr("bedwright.works.workbook.gate_xml.MOST_ROWS", 1 << 30)
    monkeypatch.setattr("bedwright.works.workbook.gate_xml.MOST_COLUMNS", 1 << 30)
    monkeypatch.setattr("bedwright.works.workbook.gate_xml.MOST_CELLS", 1 << 60)
    book = load_workbook(io.BytesIO(good))
    book["wires"]["XFD1048576"] = 1
    book.save(tmp_path / "works.xlsx")
    assert "cannot be read" in sentence(tmp_path / "works.xlsx")


def test_a_workbook_without_our_sheets(tmp_path: Path) -> None:
    Workbook().save(tmp_path / "works.xlsx")
    found = examine(tmp_path / "works.xlsx")
    assert found.works is None
    missing = [fault.sheet for fault in found.faults if fault.says == "is missing"]
    assert "about" in missing and "wires" in missing and len(missing) > 40


def test_macros_links_and_charts_are_left_out_and_said(tmp_path: Path, good: bytes) -> None:
    book = load_workbook(io.BytesIO(good))
    book.create_chartsheet("picture")
    book.save(tmp_path / "works.xlsx")
    data = repacked(
        (tmp_path / "works.xlsx").read_bytes(),
        {"xl/vbaProject.bin": b"\0", "xl/externalLinks/externalLink1.xml": b"<externalLink/>"},
    )
    found = examine(put(tmp_path, data))
    assert found.works is not None
    text = " ".join(str(fault) for fault in found.faults)
    assert "macros" in text and "links to other workbooks" in text and "no sheet of cells" in text


def test_the_gate_reads_nothing_that_it_refuses(tmp_path: Path) -> None:
    with pytest.raises(NotReadable, match="no workbook"):
        through_gate(put(tmp_path, b"hello"))
