"""`bedwright release`: lists, releases once, refuses what does not fit, says what was released."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from bedwright.errors import FaultsFound
from bedwright.reckoning import Reckoning
from bedwright.works.beds import Bed


def run(works: Path, *arguments: str) -> Result:
    from bedcli.main import main

    return CliRunner().invoke(main, ["release", str(works), *arguments])


def test_list_then_release_then_nothing_is_left(works_folder: Path) -> None:
    from bedsite.records.release import lines_released

    listed = run(works_folder, "--list")
    assert listed.exit_code == 0, listed.output
    assert "2026-03-10 NORTH: order O-1 line 1, 2 x SNIPE 150 for QUIET in 1 run" in listed.output
    assert "O-3" not in listed.output and "20 beds on 4 lines; nothing released." in listed.output
    assert lines_released() == ()
    made = run(works_folder, "--until", "2026-03-10")
    assert "W000001: order O-1 line 1, 2 x SNIPE 150, 1 run, S00000017 to S00000024, van 2026-03-10" in made.output
    assert "Released 3 beds in 2 works orders." in made.output
    assert run(works_folder, "--order", "o-1").output.startswith("Nothing to release")
    assert "Released 17 beds in 2 works orders." in run(works_folder).output


def test_steps_are_those_of_the_bill_and_the_bundles_wait_for_each_other(works_folder: Path) -> None:
    from bedsite.longwork.releasing import lines_to_release, to_release
    from bedsite.records import ledger

    reckoning = Reckoning(ledger.read_works())
    lines = lines_to_release(reckoning)
    assert [(line.order, line.line, line.day) for line in lines] == [
        ("O-1", 1, date(2026, 3, 10)), ("O-1", 2, date(2026, 3, 10)),
        ("O-2", 1, date(2026, 3, 13)), ("O-2", 2, date(2026, 3, 13)),
    ]  # fmt: skip
    rows = to_release(reckoning, lines)
    assert rows[2].run_beds == (7, 7)
    bill = reckoning.bill("SNIPE", "150")
    assert [step.position for step in rows[0].steps] == [step.position for step in bill.operations]
    assert [step.after for step in rows[0].steps] == [step.after for step in bill.operations]
    assert rows[0].rank < rows[2].rank, "the earlier van is made first"


def test_a_bed_that_does_not_fit_is_not_released_and_said(works_folder: Path, me: str) -> None:
    from bedsite.longwork.releasing import lines_to_release, to_release
    from bedsite.records import cards, ledger
    from bedsite.records.release import lines_released

    bed = ledger.read_works().beds["SNIPE"]
    cards.put(Bed.make(**{**bed.model_dump(), "tufted_height": 500.0}), expected=1, who=me)
    reckoning = Reckoning(ledger.read_works())
    lines = lines_to_release(reckoning)
    assert [bool(line.faults) for line in lines] == [True, False, False, False]
    with pytest.raises(FaultsFound, match=r"line 1 of order O-1 is not released: .*tuft"):
        to_release(reckoning, lines)
    refused = run(works_folder)
    assert refused.exit_code == 2 and "line 1 of order O-1 is not released" in refused.output
    assert lines_released() == ()
    assert "may not be released" in run(works_folder, "--list").output


def test_an_unknown_order_is_named(works_folder: Path) -> None:
    found = run(works_folder, "--order", "O-9")
    assert found.exit_code != 0 and "'O-9' is no order of this works" in found.output
