"""What a reckoning keeps: worked out once for each bed at size, one code whatever its case, and handed to papers."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import bedwright.papers.row_books as row_books
import bedwright.summary as summary_module
from bedwright.kept import once
from bedwright.reckoning import Reckoning
from bedwright.works.works import Works


class Counting:
    def __init__(self) -> None:
        self.asked: list[tuple[str, str]] = []

    @once
    def made(self, bed: str, size: str) -> str:
        self.asked.append((bed, size))
        return f"{bed} {size}"

    @once
    def other(self, bed: str, size: str) -> int:
        return len(bed + size)


def test_once_for_each_bed_at_size_and_for_each_holder() -> None:
    one, two = Counting(), Counting()
    assert one.made("Snipe", "150") == one.made("SNIPE", "150") == "Snipe 150"
    assert (one.made("Snipe", "90"), one.other("Snipe", "150")) == ("Snipe 90", 8)
    assert one.asked == [("Snipe", "150"), ("Snipe", "90")] and two.asked == []
    two.made("Snipe", "150")
    assert two.asked == [("Snipe", "150")]


def test_what_fails_is_not_kept() -> None:
    class Failing:
        calls = 0

        @once
        def made(self, bed: str, size: str) -> None:
            self.calls += 1
            raise KeyError(bed)

    found = Failing()
    for _ in range(2):
        with pytest.raises(KeyError, match="X"):
            found.made("X", "150")
    assert found.calls == 2


def test_ladder_fit_and_late_are_those_of_the_rooms(small_works: Works) -> None:
    job = Reckoning(small_works)
    assert {(rung.bed, rung.size) for rung in job.ladder} == set(job.keys)
    assert all(rung.total == job.cost(rung.bed, rung.size).total for rung in job.ladder)
    assert job.fit("KNOT", "150") is job.fit("knot", "150")
    assert job.fit_faults == tuple(fault for key in job.keys for fault in job.fit(*key))
    assert [one.works_order for one in job.late] == list(job.plan.late)
    assert len(job.samples) == len(job.offers)
    sheet = job.cost("KNOT", "150")
    assert sheet.made_for is None or int(sheet.made_for * 100) == sheet.total


@pytest.mark.parametrize("module", [row_books, summary_module])
def test_papers_work_nothing_out(module: object) -> None:
    """Row books and summary take ladder, reasons, fit and samples as they are handed in."""
    tree = ast.parse(Path(str(module.__file__)).read_text(encoding="utf-8"))  # type: ignore[attr-defined]
    called = {node.func.id for node in ast.walk(tree) if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)}
    assert not called & {"price_ladder", "late_reasons", "fit", "bought_lot_plan"}
