"""`bedwright print`: a paper is kept as printed; cards and program change, and a reprint is the same bytes."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import Result

Run = Callable[..., Result]
SHEET = "bed-sheets/bed-sheet_snipe_150.pdf"


def test_a_paper_is_printed_kept_and_given_again(
    adopted: Path, run: Run, me: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    from bedsite.records import cards, chain, ledger
    from bedsite.records.models import Event, Snapshot

    done = run("print", adopted, SHEET)
    assert done.exit_code == 0, done.output
    id_ = done.output.split()[0]
    printed = (adopted / "printed" / SHEET).read_bytes()
    assert printed.startswith(b"%PDF")
    assert id_ in run("print", adopted, "--list").output
    kept = Snapshot.objects.get(id=id_)
    assert (kept.paper, kept.subject) == ("bed sheet", "SNIPE")
    assert ["wire", "W22", 1] in [row[:3] for row in json.loads(kept.cards)]
    results = json.loads(kept.results)
    assert [bed["bed"] for bed in results["shows"]] == ["SNIPE"] and results["shows"][0]["mass_kg"] > 0
    assert results["issue"]["revision"] == ledger.revision_now()

    cards.put(ledger.read_works().wires["W22"].model_copy(update={"diameter": 2.4}), expected=1, who=me)
    monkeypatch.setattr("bedwright.printing.__version__", "9.9")
    done = run("print", adopted, SHEET)
    assert done.exit_code == 0
    assert (adopted / "printed" / SHEET).read_bytes() != printed, "a fresh print shows the cards as they are now"
    done = run("print", adopted, "--again", id_, "--to", adopted / "again.pdf")
    assert done.exit_code == 0 and (adopted / "again.pdf").read_bytes() == printed
    assert run("print", adopted, "--again", id_, "--to", adopted / "again.pdf").exit_code == 2, "never written over"
    assert Event.objects.filter(type="printed").count() == 3
    chain.verify()


def test_patterns_and_names_that_fit_nothing(adopted: Path, run: Run) -> None:
    done = run("print", adopted, "bed-sheets/*", "van-sheets/*")
    assert done.exit_code == 0, done.output
    assert len(done.output.splitlines()) > 3
    from bedsite.records.models import Snapshot

    count = Snapshot.objects.count()
    assert set(Snapshot.objects.values_list("paper", flat=True)) == {"bed sheet", "van sheet"}
    for row in Snapshot.objects.filter(paper="van sheet"):
        assert json.loads(row.results)["shows"][0]["beds"] > 0 and row.subject.startswith("2026-")
    done = run("print", adopted, "bed-sheets/none.pdf", SHEET)
    assert done.exit_code == 2 and "job-cards/" in done.output
    assert Snapshot.objects.count() == count
    assert run("print", adopted, "--again", "nothing").exit_code == 2
    assert run("print", adopted).exit_code == 2


def test_rows_and_job_cards_keep_the_part_they_show(adopted: Path, run: Run) -> None:
    from bedsite.records.models import Snapshot

    assert run("print", adopted, "plan.xlsx", "job-cards/*", "labels/*").exit_code == 0
    plan = Snapshot.objects.get(paper="plan")
    assert json.loads(plan.results)["shows"]["works_orders"] > 0 and plan.subject == "plan"
    for row in Snapshot.objects.filter(paper="job cards"):
        assert json.loads(row.results)["shows"][0]["van_round"] == "NORTH"
    assert all(json.loads(row.results)["shows"] for row in Snapshot.objects.filter(paper="labels"))


def test_only_an_adopted_works_keeps_papers(tmp_path: Path, run: Run) -> None:
    assert "was not adopted" in run("print", tmp_path, SHEET).output


def test_a_works_with_a_grave_fault_prints_nothing(adopted: Path, run: Run, me: str) -> None:
    from bedsite.records import cards, ledger
    from bedsite.records.models import Snapshot

    cards.put(ledger.read_works().stock["S-1"].model_copy(update={"part": "NOWHERE"}), expected=1, who=me)
    done = run("print", adopted, SHEET)
    assert done.exit_code == 1 and "NOWHERE" in done.output
    assert Snapshot.objects.count() == 0
