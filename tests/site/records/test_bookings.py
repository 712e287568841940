"""Bookings in the ledger: late, out of order, twice, from two devices, corrected: the steps are what was said."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.site.records.test_release import to_release

from bedwright.errors import FaultsFound

DAY = datetime(2026, 3, 2, 6, tzinfo=UTC)
A, B, C = "S00000017", "S00000024", "S00000031"


def at(minute: int) -> datetime:
    return DAY + timedelta(minutes=minute)


@pytest.fixture
def floor(works_folder: Path, me: str) -> str:
    """Three beds released: two steps at CUT, one at BUILD."""
    from bedsite.records import release

    release.release([to_release("O-2", 1, (3,))], revision=7, who=me)
    return me


def say(minute: int, act: str, serial: str = A, place: str = "CUT", sender: str = "", **more: Any):  # type: ignore[no-untyped-def]
    from bedsite.records import bookings
    from bedsite.records.payloads import Booking

    position, device = more.pop("position", None), more.pop("device", "tablet-1")
    booking = Booking(act=act, serial=serial, place=place, position=position)  # type: ignore[arg-type]
    return bookings.book(
        booking, sender=sender or f"page-{minute:03d}-{act}-{device}", who="p1", device=device, said=at(minute), **more
    )


def state(serial: str, position: int) -> tuple[Any, ...]:
    from bedsite.records.models import Step

    step = Step.objects.get(serial=serial, position=position)
    return step.state, step.started, step.done


def agrees() -> None:
    from bedsite.records import chain, rebuild

    assert rebuild.differences() == []
    chain.verify()


def test_one_scan_starts_a_bed_and_closes_the_last(floor: str) -> None:
    assert say(1, "start", A).closed == ""
    booked = say(9, "start", B)
    assert (booked.closed, booked.operation, booked.position, booked.state) == (A, "cut panels", 10, "in work")
    assert state(A, 10) == ("done", at(1), at(9))
    assert state(B, 10) == ("in work", at(9), None)
    agrees()


def test_a_second_sending_counts_once(floor: str) -> None:
    from bedsite.records.models import Event

    first = say(1, "start", A, sender="page-0001")
    say(9, "start", B)
    again = say(1, "start", A.lower(), sender="page-0001")
    assert (first.fresh, again.fresh) == (True, False)
    assert Event.objects.filter(type="booking").count() == 2
    assert state(A, 10)[0] == "done"
    agrees()


def test_one_id_with_something_else_in_it_is_refused(floor: str) -> None:
    from bedsite.records.events import SenderClash

    say(1, "start", A, sender="page-0001")
    with pytest.raises(SenderClash):
        say(1, "start", B, sender="page-0001")
    assert state(B, 10)[0] == "to do"
    agrees()


def test_late_scans_in_any_order(floor: str) -> None:
    say(9, "start", B)
    say(14, "start", C)
    say(1, "start", A)  # came last, was said first
    assert [state(one, 10) for one in (A, B, C)] == [
        ("done", at(1), at(9)), ("done", at(9), at(14)), ("in work", at(14), None),
    ]  # fmt: skip
    agrees()


def test_the_same_bed_on_two_devices(floor: str) -> None:
    say(1, "start", A, position=10)
    booked = say(5, "start", A, position=10, device="tablet-2")
    assert booked.notes == ("it was in work at another device; it is in work here now",)
    say(7, "start", B)  # tablet 1 has nothing in hand any more
    assert state(A, 10) == ("in work", at(1), None)
    assert say(8, "start", A, device="tablet-3").operation == "slit the border"
    agrees()


def test_done_without_start_and_twice(floor: str) -> None:
    booked = say(3, "done", A)
    assert (state(A, 10), booked.notes) == (("done", None, at(3)), ("its start was not booked",))
    again = say(5, "done", A, position=10)
    assert again.notes == ("nothing was changed on it: something said later counts, or there is nothing to put back",)
    say(6, "done", A)
    assert say(7, "done", A).notes == ("everything here is done on this bed; nothing was changed on it",)
    assert state(A, 10) == ("done", None, at(3))
    agrees()


def test_earlier_work_that_is_not_booked_is_told(floor: str) -> None:
    booked = say(2, "start", A, "build")
    assert booked.notes == ("cut panels is not booked as done", "slit the border is not booked as done")
    assert state(A, 40)[0] == "in work"


def test_a_wrong_scan_put_back_gives_the_bed_before_back(floor: str) -> None:
    say(1, "start", A)
    say(5, "start", B)
    booked = say(6, "back", B)
    assert (booked.state, booked.operation) == ("to do", "cut panels")
    assert state(A, 10) == ("in work", at(1), None)
    agrees()


def test_a_withdrawn_scan_gives_the_bed_before_back(floor: str) -> None:
    from bedsite.records import bookings
    from bedsite.records.payloads import Booking

    say(1, "start", A)
    say(5, "start", B, sender="page-wrong")
    bookings.correct("page-wrong", "wrong ticket", None, sender="office-0001", who=floor)
    assert state(A, 10) == ("in work", at(1), None)
    assert state(B, 10) == ("to do", None, None)
    with pytest.raises(FaultsFound, match="of bed S00000024, not S00000017"):
        other = Booking(act="start", serial=A, place="CUT")
        bookings.correct("page-wrong", "other bed", other, sender="office-0002", who=floor)
    there = Booking(act="start", serial=B, place="build")
    bookings.correct("page-wrong", "it was at build", there, sender="office-0003", who=floor)
    assert (state(B, 10)[0], state(B, 40)[0], state(A, 10)[0]) == ("to do", "in work", "in work")
    with pytest.raises(FaultsFound, match="no booking"):
        bookings.correct("page-none", "why", None, sender="office-0004", who=floor)
    agrees()


@pytest.mark.parametrize(
    ("serial", "place", "position", "says"),
    [
        ("S99999999", "CUT", None, "no serial of this works"),
        ("W000001.1", "CUT", None, "W000001.1 is a run, and a bed is booked by its serial"),
        (A, "OVEN", None, "has no work at OVEN"),
        (A, "CUT", 40, "has no step 40 at CUT"),
    ],
)
def test_what_cannot_be_is_refused(floor: str, serial: str, place: str, position: int | None, says: str) -> None:
    from bedsite.records.models import Event

    with pytest.raises(FaultsFound, match=says):
        say(1, "start", serial, place, position=position)
    assert not Event.objects.filter(type="booking").exists()


def test_what_stands_at_a_place(floor: str) -> None:
    from bedsite.records.at_place import at_place

    say(1, "start", A)
    say(2, "trouble", B)
    say(3, "start", C)
    here = at_place("cut")
    assert [(one.serial, one.position) for one in here.in_work] == [(C, 10)]
    assert [(one.serial, one.position) for one in here.trouble] == [(B, 10)]
    assert [(one.serial, one.position) for one in here.next] == [(A, 30), (B, 30), (C, 30)]
    assert [(one.serial, one.position) for one in here.done] == [(A, 10)]
    assert here.left == 5
    build = at_place("build")
    assert len(build.waiting_for) == 3 and build.left == 3
    say(4, "done", B)
    say(5, "done", B)
    assert [one.serial for one in at_place("build").next] == [B, A, C], "what is ready comes first"


def test_rows_made_anew_are_the_rows_that_were_kept(floor: str) -> None:
    from bedsite.records import rebuild
    from bedsite.records.models import Step, Taken

    say(1, "start", A)
    say(4, "start", B)
    say(5, "trouble", B)

    def rows() -> list[tuple[Any, ...]]:
        return list(Step.objects.order_by("serial", "position").values_list("serial", "position", "state", "done"))

    before = rows()
    Step.objects.filter(serial=A).update(state="to do")
    Taken.objects.filter(serial=B).delete()
    told = rebuild.differences()
    assert any(one.startswith(f"step {A} 10: state") for one in told)
    assert any(one.startswith("taking up page-004-start-tablet-1 is missing") for one in told)
    made = rebuild.make_anew()
    assert (made.ids, made.steps, made.taken) == (0, 9, 2)
    assert (
        list(Step.objects.order_by("serial", "position").values_list("serial", "position", "state", "done")) == before
    )
    agrees()


@contextmanager
def undone() -> Iterator[None]:
    """Whatever is written inside is taken back."""
    from django.db import transaction

    with transaction.atomic():
        yield
        transaction.set_rollback(True)


SAID = st.lists(
    st.tuples(
        st.integers(0, 5), st.sampled_from(["start", "start", "done", "trouble", "back"]), st.sampled_from([A, B, C]),
        st.sampled_from(["tablet-1", "tablet-2"]), st.sampled_from(["CUT", "CUT", "build"]),
    ),
    min_size=1, max_size=8,
)  # fmt: skip


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(said=SAID, data=st.data())
def test_any_order_and_any_repeat_of_sending_gives_the_same_steps(floor: str, said, data) -> None:  # type: ignore[no-untyped-def]
    from bedsite.records.bookings import WORKED_OUT
    from bedsite.records.models import Step
    from bedsite.records.rebuild import differences

    def sent(order: list[int]) -> list[tuple[Any, ...]]:
        with undone():
            for n in order:
                minute, act, serial, device, place = said[n]
                say(minute, act, serial, place, f"page-{n:04d}", device=device)
            assert differences() == []
            return list(Step.objects.order_by("serial", "position").values_list("serial", "position", *WORKED_OUT))

    places = list(range(len(said)))
    repeats = data.draw(st.lists(st.sampled_from(places), max_size=4))
    mixed = data.draw(st.permutations([*places, *repeats]))
    assert sent(mixed) == sent(places)
