"""What a run writes: the page stands alone and escapes, its links lead somewhere, spreadsheets keep text as text."""

from __future__ import annotations

import io
import re
from html.parser import HTMLParser

import openpyxl
import pytest

from bedwright.papers.row_books import Leaf, book_bytes
from bedwright.printing import files
from bedwright.reckoning import Reckoning
from bedwright.works.works import Works

NASTY = '<script>alert(1)</script> & "Snipe"'


def works_with_a_nasty_name(works: Works) -> Works:
    cards = [
        card.model_copy(update={"name": NASTY}) if card.KIND == "bed" and card.code == "SNIPE" else card
        for card in works.all_cards()
    ]
    return Works.of(works.about, cards)


@pytest.fixture(scope="module")
def written(small_works):  # type: ignore[no-untyped-def]
    return dict(files(Reckoning(works_with_a_nasty_name(small_works))))


class Page(HTMLParser):
    """Tags, links and anchors of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.links: list[str] = []
        self.ids: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        found = dict(attrs)
        self.links += [found[name] or "" for name in ("href", "src") if name in found]
        if found.get("id"):
            self.ids.add(found["id"] or "")


@pytest.fixture(scope="module")
def page(written):  # type: ignore[no-untyped-def]
    parsed = Page()
    parsed.feed(written["index.html"].decode())
    return parsed


class TestPage:
    def test_it_needs_no_network_and_runs_nothing(self, written, page) -> None:  # type: ignore[no-untyped-def]
        assert not {"script", "link", "img", "iframe", "object"} & set(page.tags)
        assert not re.search(r"https?:|//[a-z]|@import|url\(", written["index.html"].decode())

    def test_text_is_escaped(self, written) -> None:  # type: ignore[no-untyped-def]
        text = written["index.html"].decode()
        assert "<script>" not in text
        assert "&lt;script&gt;alert(1)&lt;/script&gt;" in text

    def test_every_link_leads_somewhere(self, written, page) -> None:  # type: ignore[no-untyped-def]
        for link in page.links:
            if link.startswith("#"):
                assert link[1:] in page.ids
            else:
                assert link in written or link == "timing.json"

    def test_every_paper_is_linked(self, written, page) -> None:  # type: ignore[no-untyped-def]
        assert set(written) - {"index.html"} <= set(page.links)


class TestBooks:
    BOOKS = ("bill.xlsx", "cost.xlsx", "cuts.xlsx", "plan.xlsx", "loading.xlsx")

    @pytest.mark.parametrize("name", BOOKS)
    def test_headings_stay_in_sight_and_print_on_every_page(self, written, name) -> None:  # type: ignore[no-untyped-def]
        book = openpyxl.load_workbook(io.BytesIO(written[name]))
        for sheet in book:
            assert sheet.freeze_panes == "B2"
            assert sheet.print_title_rows == "$1:$1"
            assert all(cell.value for cell in sheet[1])

    @pytest.mark.parametrize("name", BOOKS)
    def test_no_cell_is_a_formula(self, written, name) -> None:  # type: ignore[no-untyped-def]
        book = openpyxl.load_workbook(io.BytesIO(written[name]))
        assert all(cell.data_type != "f" for sheet in book for row in sheet for cell in row)
        assert sum(sheet.max_row for sheet in book) > 3

    def test_text_like_a_formula_stays_text(self) -> None:
        for text in ("=1+1", "+1", "-1", "@x", "'q", '=cmd|"/c calc"!A1'):
            made = book_bytes([Leaf("a", ("words",), ((text,),))])
            cell = openpyxl.load_workbook(io.BytesIO(made))["a"]["A2"]
            assert (cell.value, cell.data_type) == (text, "s")

    def test_a_bill_row_is_there_as_the_bill_has_it(self, written, small_works, bed_of, bill_of) -> None:  # type: ignore[no-untyped-def]
        sheet = openpyxl.load_workbook(io.BytesIO(written["bill.xlsx"])).worksheets[0]
        rows = [row for row in sheet.iter_rows(min_row=2, values_only=True) if row[:2] == ("SNIPE", "150")]
        bill = bill_of(bed_of("SNIPE", "150"))
        assert [row[2] for row in rows] == [row.line for row in bill.rows]
        assert [row[-1] for row in rows] == [row.how for row in bill.rows]


def test_same_files_to_the_byte(written, small_works) -> None:  # type: ignore[no-untyped-def]
    again = dict(files(Reckoning(works_with_a_nasty_name(small_works))))
    assert {name for name in written if written[name] != again[name]} == set()


def test_every_kind_of_paper_is_written(written) -> None:  # type: ignore[no-untyped-def]
    for folder in ("bed-sheets/", "job-cards/", "van-sheets/", "labels/"):
        found = [name for name in written if name.startswith(folder)]
        assert found
        assert all(written[name].startswith(b"%PDF-") for name in found)
