"""Switching between normal, tightened, reduced and stop. Book: mil-105e (reduced: from memory)."""

from dataclasses import replace

import pytest

from bedwright.errors import OutsideRange
from bedwright.quality.switching import LotResult, Severity, resume, step

GOOD = LotResult(accepted=True, accept=3)
BAD = LotResult(accepted=False, accept=3)


def run(severity: Severity, *lots: LotResult) -> Severity:
    for lot in lots:
        severity = step(severity, lot)
    return severity


def test_two_of_five_tighten() -> None:
    assert run(Severity(), BAD, GOOD, GOOD, GOOD, BAD).inspection == "tightened"
    assert run(Severity(), BAD, BAD).inspection == "tightened"
    assert run(Severity(), BAD, GOOD, GOOD, GOOD, GOOD, BAD).inspection == "normal"


def test_five_in_a_row_loosen() -> None:
    tight = run(Severity(), BAD, BAD)
    assert run(tight, GOOD, GOOD, GOOD, GOOD).inspection == "tightened"
    assert run(tight, GOOD, GOOD, GOOD, GOOD, GOOD).inspection == "normal"
    assert run(tight, GOOD, GOOD, GOOD, GOOD, BAD, GOOD).inspection == "tightened"


def test_after_tightened_the_memory_is_clean() -> None:
    back = run(Severity(), BAD, BAD, GOOD, GOOD, GOOD, GOOD, GOOD)
    assert run(back, BAD).inspection == "normal"


def test_five_refused_while_tightened_stop_even_if_not_in_a_row() -> None:
    lots = [lot for _ in range(5) for lot in (GOOD, BAD)]
    stopped = run(Severity(), BAD, BAD, *lots)
    assert stopped.stopped
    with pytest.raises(OutsideRange, match="stopped"):
        step(stopped, GOOD)
    assert resume(stopped).inspection == "tightened"
    assert not resume(stopped).stopped


def test_resubmitted_lots_do_not_count() -> None:
    again = replace(BAD, resubmitted=True)
    assert run(Severity(), BAD, again, again, GOOD).inspection == "normal"


def test_reduced_by_ten_good_lots() -> None:
    good = replace(GOOD, few_defects=True, agreed=True)
    assert run(Severity(), *[good] * 9).inspection == "normal"
    assert run(Severity(), *[good] * 10).inspection == "reduced"
    assert run(Severity(), *[replace(good, agreed=False)] * 12).inspection == "normal"
    assert run(Severity(), *[replace(good, few_defects=False)] * 12).inspection == "normal"


def test_reduced_by_score() -> None:
    start = Severity(standard="iso-2859-1")
    good = replace(GOOD, tighter_accepts=True, agreed=True)
    assert run(start, *[good] * 9).score == 27
    assert run(start, *[good] * 10).inspection == "reduced"
    assert run(start, *[replace(good, accept=1)] * 14).inspection == "normal"  # 28
    assert run(start, *[replace(good, accept=1)] * 15).inspection == "reduced"  # 30
    assert run(start, good, replace(good, tighter_accepts=False)).score == 0


@pytest.mark.parametrize("change", [{"accepted": False}, {"in_gap": True}, {"steady": False}, {"agreed": False}])
def test_reduced_ends(change: dict[str, bool]) -> None:
    reduced = Severity(inspection="reduced")
    steady = replace(GOOD, agreed=True)
    assert step(reduced, steady).inspection == "reduced"
    assert step(reduced, replace(steady, **change)).inspection == "normal"


def test_nothing_to_resume() -> None:
    with pytest.raises(OutsideRange, match="not stopped"):
        resume(Severity())
