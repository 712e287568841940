"""What bookings add up to: the order of sending never matters, one scan closes the last, back takes away."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from bedsite.records.adding_up import Act, Moment, Sum, add_up, kept, starts

DAY = datetime(2026, 3, 2, 6, tzinfo=UTC)


def at(minute: int) -> datetime:
    return DAY + timedelta(minutes=minute)


def act(minute: int, what: str, hand: str = "T1", position: int | None = None, sender: str = "") -> Act:
    return Act(sender or f"id-{minute}-{what}-{hand}", at(minute), what, hand, "P", hand, position)


def alone(acts: Sequence[Act], positions: Sequence[int] = (10,), other: Sequence[Act] = ()) -> list[Sum]:
    """One bed; `other`: starts of other beds at the same place."""

    def closer(hand: str, moment: Moment) -> Moment | None:
        return min((one.at for one in other if one.hand == hand and one.at > moment), default=None)

    return add_up(positions, acts, closer)


def states(sums: list[Sum]) -> list[str]:
    return [one.state for one in sums]


def test_start_and_done() -> None:
    (step,) = alone([act(1, "start"), act(7, "done")])
    assert (step.state, step.started, step.done) == ("done", at(1), at(7))


def test_done_without_a_start_has_no_start() -> None:
    (step,) = alone([act(7, "done")])
    assert (step.state, step.started, step.done) == ("done", None, at(7))


def test_the_next_bed_closes_this_one_and_not_before() -> None:
    (step,) = alone([act(1, "start")], other=[act(0, "start"), act(4, "start", "T2"), act(5, "start")])
    assert (step.state, step.done, step.soft) == ("done", at(5), True)


def test_a_bed_scanned_again_after_the_scan_of_another_is_in_work_again() -> None:
    (step,) = alone([act(1, "start"), act(9, "start")], other=[act(5, "start")])
    assert (step.state, step.started, step.done) == ("in work", at(1), None)


def test_a_bed_called_done_stays_done() -> None:
    (step,) = alone([act(1, "start"), act(3, "done"), act(9, "start"), act(11, "done"), act(12, "trouble")])
    assert (step.state, step.done) == ("done", at(3))


def test_one_ticket_read_twice_takes_no_second_step() -> None:
    assert states(alone([act(1, "start"), act(2, "start")], (10, 30))) == ["in work", "to do"]
    assert states(alone([act(1, "start"), act(2, "done"), act(3, "start")], (10, 30))) == ["done", "in work"]


def test_a_second_device_takes_the_next_step_then_takes_over() -> None:
    sums = alone([act(1, "start"), act(2, "start", "T2")], (10, 30))
    assert [(one.state, one.hand) for one in sums] == [("in work", "T1"), ("in work", "T2")]
    (step,) = alone([act(1, "start"), act(2, "start", "T2")], other=[act(3, "start", "T1")])
    assert (step.state, step.hand, step.started) == ("in work", "T2", at(1))


def test_a_bed_in_trouble_is_not_closed_and_is_taken_up_again() -> None:
    other = [act(5, "start")]
    assert states(alone([act(1, "start"), act(2, "trouble")], other=other)) == ["trouble"]
    (step,) = alone([act(1, "start"), act(2, "trouble"), act(6, "start")], other=other)
    assert (step.state, step.started) == ("in work", at(1))


def test_back_takes_the_last_act_of_the_same_hand_away() -> None:
    assert states(alone([act(1, "start"), act(2, "back")])) == ["to do"]
    (step,) = alone([act(1, "start"), act(2, "done"), act(3, "back")])
    assert (step.state, step.started, step.done) == ("in work", at(1), None)
    mixed = [act(1, "start"), act(2, "trouble", "T2"), act(3, "back")]
    assert [one.act for one in kept(mixed)] == ["trouble"]
    assert states(alone([act(1, "back")])) == ["to do"]


def test_a_start_put_back_closes_nothing() -> None:
    assert starts([act(1, "start"), act(2, "back")]) == []


def test_a_done_that_came_late_counts_from_when_it_was_said() -> None:
    (step,) = alone([act(1, "start"), act(3, "done")], other=[act(5, "start")])
    assert (step.done, step.soft) == (at(3), False)


def test_a_second_step_of_the_same_bed_closes_the_first() -> None:
    sums = alone([act(1, "start", position=10), act(4, "start", position=30)], (10, 30))
    assert [(one.state, one.done) for one in sums] == [("done", at(4)), ("in work", None)]


ACTS = st.lists(
    st.tuples(
        st.integers(0, 6), st.sampled_from(["start", "done", "trouble", "back"]), st.sampled_from(["T1", "T2"]),
        st.sampled_from([None, 10, 30]),
    ),
    max_size=9,
)  # fmt: skip


@settings(max_examples=300, deadline=None)
@given(
    made=ACTS, others=st.lists(st.tuples(st.integers(0, 6), st.sampled_from(["T1", "T2"])), max_size=4), data=st.data()
)
def test_the_order_of_sending_never_matters(made, others, data) -> None:  # type: ignore[no-untyped-def]
    acts = [act(minute, what, hand, position, f"id-{n}") for n, (minute, what, hand, position) in enumerate(made)]
    closers = [act(minute, "start", hand, sender=f"x-{n}") for n, (minute, hand) in enumerate(others)]
    mixed = data.draw(st.permutations(acts))
    assert alone(mixed, (10, 30), closers) == alone(acts, (10, 30), closers)
    for step in alone(acts, (10, 30), closers):
        assert (step.state == "done") == (step.done is not None)
        assert step.started is None or step.done is None or step.started <= step.done
        assert step.state != "in work" or step.started is not None
        if step.state == "in work":  # nobody has two beds in hand
            assert not [
                one for one in closers if step.since is not None and one.at > step.since and one.hand == step.hand
            ]
