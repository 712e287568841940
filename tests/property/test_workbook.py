"""Cards of any content go out and come back the same; cells spoilt at random are named by their cell."""

from __future__ import annotations

import importlib.util
import sys
import tempfile
from datetime import date
from pathlib import Path
from types import ModuleType

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bedwright.works.about import FORMAT, About
from bedwright.works.card import Card
from bedwright.works.making import Shift
from bedwright.works.materials import Filling, Trim
from bedwright.works.rules import Rule
from bedwright.works.springs import Wire
from bedwright.works.trading import Price
from bedwright.works.workbook.assemble import assemble
from bedwright.works.workbook.cells import as_text, read_cell
from bedwright.works.workbook.csv_folder import examine_csv_folder, read_csv_folder, write_csv_folder
from bedwright.works.workbook.grid import Grid, Taken
from bedwright.works.workbook.layout import sheets
from bedwright.works.workbook.reader import examine
from bedwright.works.workbook.writer import write_works
from bedwright.works.works import Works

ROOT = Path(__file__).resolve().parents[2]
FEW = settings(max_examples=15, deadline=None, suppress_health_check=list(HealthCheck))
MANY = settings(max_examples=150, deadline=None, suppress_health_check=list(HealthCheck))


def load(name: str) -> ModuleType:
    """A module of measures/, which is no package of the installed program."""
    spec = importlib.util.spec_from_file_location(name, ROOT / "measures" / f"{name}.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[name] = module
    spec.loader.exec_module(module)
    return module


spoil = load("workbook_faults")
plain = st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=30).map(str.strip)
texts = plain | st.sampled_from(
    ["=1", "+", "-1", "@x", "'", "TRUE", "007", "1/2", "2026-01-02", "_x0041_", "a\nb", "1e3"]
)
codes = st.text(st.characters(categories=("L", "N", "P")), min_size=1, max_size=24).filter(
    lambda code: code == code.strip()
)
days = st.dates(date(1970, 1, 1), date(2199, 12, 31))
moments = st.times().map(lambda moment: moment.replace(microsecond=0))
amounts = st.decimals(0, 9_999_999, places=6, allow_nan=False)


def floats(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high).map(lambda number: float(f"{number:.9g}"))


@st.composite
def some_works(draw: st.DrawFn) -> Works:
    """A works of a few cards of the kinds that hold every sort of value."""
    unique = st.lists(codes, max_size=4, unique_by=str.casefold)
    names = draw(st.lists(codes, max_size=9, unique_by=lambda code: code.casefold()))
    wires, fillings, trims = names[:3], names[3:6], names[6:]
    cards: list[Card] = []
    for code in wires:
        cards.append(Wire.make(code=code, name=draw(texts), diameter=draw(floats(0.5, 8)), note=draw(texts)))
    for code in fillings:
        cards.append(
            Filling.make(
                code=code, family=draw(st.sampled_from(["foam", "wool", "felt"])), thickness=draw(floats(0.05, 300)),
                density=draw(floats(5, 2000)), sheet_width=draw(floats(50, 6000)), may_be_rolled=draw(st.booleans()),
                regain=draw(st.none() | floats(0, 40)),
                points=tuple(
                    {"position": n, "compression": n * 10.0, "stress": n * 2.0}
                    for n in range(1, draw(st.integers(1, 4)))
                ),
            )
        )  # fmt: skip
    for code in trims:
        cards.append(Trim.make(code=code, name=draw(texts), use="tape", counted_in="kg"))
    for code in draw(unique):
        cards.append(Shift.make(code=code, start=draw(moments), end=draw(moments), days="mon"))
    for code in draw(unique):
        cards.append(Rule.make(code=code, rule_value=draw(floats(-1e9, 1e9)), unit=draw(texts)))
    priced = draw(unique) if wires else []
    # Two prices of one item from one day are refused when read, so each has its own day.
    begins = draw(st.lists(days, min_size=len(priced), max_size=len(priced), unique=True))
    for code, day in zip(priced, begins, strict=True):
        item = draw(st.sampled_from(wires))
        cards.append(Price.make(code=code, of="wire", item=item, price=draw(amounts), per="kg", first_day=day))
    about = About(
        format=FORMAT, version="x" + draw(texts), works_id=draw(codes), name="x" + draw(texts),
        revision=draw(st.integers(0, 9)),
        time_zone="Europe/London", as_of=draw(days), currency="GBP", words=draw(texts),
    )  # fmt: skip
    return Works.of(about, cards)


@FEW
@given(some_works())
def test_any_works_goes_out_and_comes_back(works: Works) -> None:
    with tempfile.TemporaryDirectory() as name:
        path = Path(name)
        write_works(works, path / "works.xlsx")
        found = examine(path / "works.xlsx")
        assert found.works is not None, [str(fault) for fault in found.grave]
        assert found.works.content() == works.content()


@MANY
@given(some_works())
def test_any_works_goes_out_to_csv_and_comes_back(works: Works) -> None:
    with tempfile.TemporaryDirectory() as name:
        write_csv_folder(works, Path(name))
        found = examine_csv_folder(Path(name))
        assert found.works is not None, [str(fault) for fault in found.grave]
        assert found.works.content() == works.content()


cell_values = (
    st.none() | st.booleans() | st.floats() | st.text(max_size=12) | st.dates() | st.datetimes() | st.times()
    | st.timedeltas()
)  # fmt: skip


@MANY
@given(st.data())
def test_any_cells_at_all_give_faults_and_never_a_traceback(data: st.DataObject) -> None:
    sheet = data.draw(st.sampled_from(sheets()))
    width = len(sheet.columns) + 1
    headings = tuple(column.heading for column in sheet.columns)
    if data.draw(st.booleans()):
        headings = tuple(data.draw(st.lists(cell_values, max_size=width)))
    rows = data.draw(st.lists(st.lists(cell_values, max_size=width).map(tuple), max_size=4))
    grid = Grid(sheet.name, ((1, headings), *((row, values) for row, values in enumerate(rows, 2))))
    found = assemble(Taken((grid,)), all_sheets=data.draw(st.booleans()))
    assert found.works is None or sheet.name == "about"
    assert all(fault.says for fault in found.faults)


@MANY
@given(st.sampled_from([column for sheet in sheets() for column in sheet.columns]), cell_values)
def test_what_a_cell_gives_is_read_the_same_from_csv(column, value) -> None:  # type: ignore[no-untyped-def]
    try:
        found = read_cell(column, value)
    except ValueError:
        return
    if isinstance(found, int) and abs(found) > 1e15:
        return  # no card accepts it
    again = read_cell(column, as_text(found))
    assert again == found or (isinstance(found, float) and again == pytest.approx(found, rel=1e-12))


def test_spoilt_cells_are_named_by_their_cell() -> None:
    """Share of mutated cells named: at least 95 % of each kind; it is all of them today."""
    works = read_csv_folder(ROOT / "starter")
    for kind, (named, drawn) in spoil.rates(works, 300, seed=7).items():
        assert drawn > 20
        assert named / drawn >= 0.95, (kind, named, drawn)


def test_spoilt_cells_are_named_through_real_files(small_works: Works, tmp_path: Path) -> None:
    named, drawn = spoil.rates_in_files(small_works, 25, tmp_path, seed=8)
    assert named / drawn >= 0.95


def test_mutations_do_spoil_something(small_works: Works) -> None:
    """The counter-check: unspoilt cells give the works and no fault at all."""
    grids = spoil.grids_of(small_works)
    found = assemble(Taken(grids))
    assert found.grave == () and found.works is not None
    assert found.works.content() == small_works.content()
    source = spoil.mutations(grids, 1)
    assert all(spoil.mutated(grids, next(source)) != grids for _ in range(50))


@pytest.mark.full
def test_ten_thousand_spoilt_workbooks(small_works: Works) -> None:
    starter = read_csv_folder(ROOT / "starter")
    for works, seed in ((starter, 11), (small_works, 12)):
        for kind, (named, drawn) in spoil.rates(works, 5000, seed=seed).items():
            assert named / drawn >= 0.95, (kind, named, drawn)


@pytest.mark.full
def test_six_hundred_spoilt_files(small_works: Works, tmp_path: Path) -> None:
    named, drawn = spoil.rates_in_files(small_works, 600, tmp_path, seed=13)
    assert named / drawn >= 0.95


def test_ten_thousand_rows_come_back(small_works: Works, tmp_path: Path) -> None:
    large = spoil.large(small_works, 10_000)
    write_works(large, tmp_path / "works.xlsx")
    found = examine(tmp_path / "works.xlsx")
    assert found.works is not None and len(found.works.orders) > 2400
