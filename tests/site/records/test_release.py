"""Release: ids that last, once and for the beds that were asked for; a reckoning uses them from then on."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from bedwright.errors import FaultsFound, NotReadable
from bedwright.identity import works_order_id
from bedwright.reckoning import Reckoning
from bedwright.works.trading import Order


def to_release(order: str = "O-1", line: int = 1, beds: tuple[int, ...] = (2,), beyond: int = 0):  # type: ignore[no-untyped-def]
    from bedsite.records.payloads import ReleasedStep
    from bedsite.records.release import ToRelease

    steps = (
        ReleasedStep(position=10, operation="cut panels", place="CUT"),
        ReleasedStep(position=30, operation="slit the border", place="CUT"),
        ReleasedStep(position=40, operation="build", place="Build", after=(10, 30)),
    )
    return ToRelease(order, line, "QUIET", "SNIPE", "150", beds, date(2026, 3, 10), "NORTH", 1, steps, beyond)


def with_quantity(order: Order, line: int, quantity: int) -> Order:
    rows = [{**one.model_dump(), "quantity": quantity if one.position == line else one.quantity} for one in order.lines]
    return Order.make(**{**order.model_dump(), "lines": tuple(row for row in rows if row["quantity"])})


def test_ids_serials_bundles_and_steps(works_folder: Path, me: str) -> None:
    from bedsite.records import release as room
    from bedsite.records.models import Released, Step

    (made,) = room.release([to_release(beds=(2, 1))], revision=7, who=me)
    assert made.works_order == "W000001"
    assert [run.id for run in made.runs] == ["W000001.1", "W000001.2"]
    assert [run.serials for run in made.runs] == [("S00000017", "S00000024"), ("S00000031",)]
    assert [one.id for one in made.runs[1].bundles] == ["W000001.2U", "W000001.2P", "W000001.2B"]
    assert Released.objects.count() == 1 + 2 + 6 + 3
    assert Step.objects.count() == 9 and set(Step.objects.values_list("state", flat=True)) == {"to do"}
    found = room.find(" s00000024 ")
    assert found is not None and (found.what, found.of) == ("serial", "W000001.1")
    assert room.release_of(found) == made


def test_a_line_is_released_once(works_folder: Path, me: str) -> None:
    from bedsite.records import release as room

    room.release([to_release()], revision=7, who=me)
    with pytest.raises(FaultsFound, match="line 1 of order o-1 is released already, 2 beds of it"):
        room.release([to_release("o-1"), to_release(line=2)], revision=7, who=me)
    with pytest.raises(FaultsFound, match="stands twice"):
        room.release([to_release(line=2), to_release(line=2)], revision=7, who=me)
    assert len(room.lines_released()) == 1


def test_asking_twice_with_one_id_releases_once(works_folder: Path, me: str) -> None:
    from bedsite.records import release as room

    lines = [to_release(), to_release(line=2)]
    first = room.release(lines, revision=7, who=me, sender="page-0001")
    assert room.release(lines, revision=7, who=me, sender="page-0001") == first
    assert len(room.lines_released()) == 2
    with pytest.raises(NotReadable, match="no id of a sender"):
        room.release([to_release(line=3)], revision=7, who=me, sender="x y")


def test_the_reckoning_uses_the_lasting_ids(works_folder: Path, me: str) -> None:
    from bedsite.records import ledger
    from bedsite.records import release as room

    before = Reckoning(ledger.read_works())
    drafts = {run.id for run in before.runs}
    (made,) = room.release([to_release("O-2", 1, (9, 5))], revision=7, who=me)
    after = Reckoning(ledger.read_works())
    runs = [run for run in after.runs if (run.order, run.line) == ("O-2", 1)]
    assert [(run.id, run.beds, run.number, run.of) for run in runs] == [("W000001.1", 9, 1, 2), ("W000001.2", 5, 2, 2)]
    assert [run.serials for run in runs] == [run.serials for run in made.runs]
    assert {run.id for run in after.runs} - drafts == {"W000001.1", "W000001.2"}
    assert {finish.works_order for finish in after.plan.finishes} == {run.id for run in after.runs}
    assert after.works.content() != before.works.content()


def test_more_beds_after_release_are_drafts_until_they_are_released_too(works_folder: Path, me: str) -> None:
    from bedsite.records import cards, ledger
    from bedsite.records import release as room

    room.release([to_release("O-1", 1, (2,))], revision=7, who=me)
    order = ledger.read_works().orders["O-1"]
    cards.put(with_quantity(order, 1, 5), expected=1, who=me)
    runs = [run for run in Reckoning(ledger.read_works()).runs if (run.order, run.line) == ("O-1", 1)]
    draft = works_order_id("O-1", 1, "150")
    assert [(run.id, run.beds, run.serials != ()) for run in runs] == [("W000001.1", 2, True), (f"{draft}M1", 3, False)]
    room.release([to_release("O-1", 1, (3,), beyond=2)], revision=9, who=me)
    runs = [run for run in Reckoning(ledger.read_works()).runs if (run.order, run.line) == ("O-1", 1)]
    assert [(run.id, run.beds) for run in runs] == [("W000001.1", 2), ("W000002.1", 3)]
    with pytest.raises(FaultsFound, match="released already, 5 beds"):
        room.release([to_release("O-1", 1, (3,), beyond=2)], revision=9, who=me)


@pytest.mark.parametrize("left", [1, 0])
def test_fewer_beds_after_release_leave_what_was_released_and_are_told(works_folder: Path, me: str, left: int) -> None:
    from bedsite.records import cards, ledger
    from bedsite.records import release as room
    from bedwright.works.release_faults import release_faults

    room.release([to_release("O-1", 1, (2,))], revision=7, who=me)
    cards.put(with_quantity(ledger.read_works().orders["O-1"], 1, left), expected=1, who=me)
    works = ledger.read_works()
    assert [run.id for run in Reckoning(works).runs if (run.order, run.line) == ("O-1", 1)] == ["W000001.1"]
    (told,) = release_faults(works)
    assert not told.grave
    assert f"asks for {left} and 2 beds were released as W000001; what was released stays" in str(told)


def test_a_bed_out_of_use_and_another_bed_on_the_line_are_told(works_folder: Path, me: str) -> None:
    from bedsite.records import cards, ledger
    from bedsite.records import release as room
    from bedwright.works.release_faults import release_faults

    room.release([to_release("O-1", 1, (2,))], revision=7, who=me)
    order = ledger.read_works().orders["O-1"]
    rows = tuple({**one.model_dump(), "bed": "KNOT"} for one in order.lines)
    cards.put(Order.make(**{**order.model_dump(), "lines": rows}), expected=1, who=me)
    works = ledger.read_works()
    assert [run.bed for run in Reckoning(works).runs if run.order == "O-1"] == ["SNIPE", "KNOT"]
    assert "asks for KNOT 150 now and W000001 was released as SNIPE 150" in str(release_faults(works)[0])
    without = [card for card in works.all_cards() if (card.KIND, card.code) not in (("bed", "SNIPE"), ("order", "O-3"))]
    gone = type(works).of(works.about, without, works.released)
    assert [run.bed for run in Reckoning(gone).runs if run.order == "O-1"] == ["KNOT"]
    assert "whose card is out of use" in "\n".join(map(str, release_faults(gone)))
    cancelled = [replace_state(card) if card is works.orders["O-1"] else card for card in works.all_cards()]
    told = release_faults(type(works).of(works.about, cancelled, works.released))
    assert "2 beds were released as W000001, and the order is cancelled" in str(told[0])


def replace_state(order: Order) -> Order:
    return Order.make(**{**order.model_dump(), "state": "cancelled"})


def test_ids_before_and_after_release_never_clash() -> None:
    from bedwright.works.released import IssuedRun, LineReleased

    line = LineReleased("O-1", 1, "SNIPE", "150", "W000001", (IssuedRun("W000001.1", 2, ("S1", "S2")),))
    assert replace(line).beds == 2
    draft = works_order_id("O-1", 1, "150")
    assert len(draft) == 10 and "." not in draft, "a lasting run has a full stop, a draft has none"
