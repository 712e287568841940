"""Bookings at the stations: one scan starts a bed and closes the last; steps are what the bookings add up to.

The events are the truth, and which bed a scan closed is no event of its own: it follows from what was said when. A
bed's steps are worked out anew each time something is said of it (adding_up.py), and so are those of the bed that the
same hand had before, so that a scan which came late, twice or in another order leaves them as if it had come in time.
Nothing that stands is refused for the state of a bed; what is odd about it is said in notes.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from functools import partial

from bedsite.records.adding_up import Act, Moment, Sum, add_up, starts
from bedsite.records.chain import Pen, pen
from bedsite.records.events import Appended, append_with, of_subject, standing
from bedsite.records.models import Event, Step, Taken
from bedsite.records.payloads import Booking, Correction
from bedsite.records.release import find
from bedwright.errors import Fault, FaultsFound
from bedwright.identity import fold

WORKED_OUT = ("state", "who", "device", "started", "done")
"""What bookings change of a step; the rest is as released."""


@dataclass(frozen=True, slots=True)
class Booked:
    """What a booking did: fresh False where it had been sent before; notes are said to whoever works there."""

    serial: str
    act: str
    operation: str
    """Of the step that it moved; "" where it moved none."""
    position: int
    state: str
    """Of that step, as it stands now."""
    fresh: bool
    closed: str = ""
    """Serial of the bed that this scan closed."""
    notes: tuple[str, ...] = ()


def book(booking: Booking, *, sender: str, who: str, device: str = "", said: datetime | None = None) -> Booked:
    """Append a booking. A start closes the bed that the same device (or person without one) had in work at the place.

    Raises FaultsFound for a serial that the ledger did not make or that has no such work at this place, SenderClash.
    """
    with pen() as held:
        return book_with(held, booking, sender=sender, who=who, device=device, said=said)


def book_with(
    held: Pen, booking: Booking, *, sender: str, who: str, device: str = "", said: datetime | None = None
) -> Booked:
    """`book` as one of several in one transaction."""
    before = _steps_at(booking)
    serial, place = before[0].serial, before[0].place
    told = booking.model_copy(update={"serial": serial})
    done = append_with(held, told, sender=sender, subject=serial, who=who, said=said, device=device)
    if done.fresh:
        work_out(held, serial)
    after = list(Step.objects.filter(serial=serial, place=place).order_by("position"))
    return _booked(told, done, before, after)


def _steps_at(booking: Booking) -> list[Step]:
    """The bed's steps at the place of a booking. Raises FaultsFound where there can be none, whatever was booked."""
    found = find(booking.serial)
    if found is None or found.what != "serial":
        says = f"{booking.serial!r} is no serial of this works"
        if found is not None:
            says = f"{found.id} is a {found.what}, and a bed is booked by its serial"
        raise FaultsFound([Fault(says, "scan the code on the bed's own ticket")])
    steps = Step.objects.filter(serial=found.id).order_by("position")
    here = [step for step in steps if step.place == fold(booking.place)]
    if not here:
        raise FaultsFound([Fault(f"bed {found.id} has no work at {booking.place}", "take it where its job card says")])
    if booking.position is not None and booking.position not in {step.position for step in here}:
        raise FaultsFound([Fault(f"bed {found.id} has no step {booking.position} at {booking.place}")])
    return here


def _booked(booking: Booking, done: Appended, before: list[Step], after: list[Step]) -> Booked:
    event, serial = done.event, after[0].serial
    moved = [
        (was, now)
        for was, now in zip(before, after, strict=True)
        if any(getattr(was, name) != getattr(now, name) for name in WORKED_OUT)
    ]
    if not moved:
        at = next((step for step in after if step.position == booking.position), after[0])
        told = (_unmoved(booking.act, after),) if done.fresh else ()
        closed = _left(event, at.place) if booking.act == "start" else ""
        return Booked(serial, booking.act, "", at.position, at.state, done.fresh, closed, told)
    was, now = max(moved, key=lambda pair: (pair[1].state == "in work", pair[1].position))
    started = booking.act == "start" and now.state == "in work"
    notes = _notes(booking, was, now) if started or booking.act == "done" else ()
    closed = _left(event, now.place) if booking.act == "start" else ""
    return Booked(serial, booking.act, now.operation, now.position, now.state, done.fresh, closed, notes)


def _unmoved(act: str, here: list[Step]) -> str:
    states = {step.state for step in here}
    if act == "start" and "in work" in states:
        return "it is in work here already"
    if states == {"done"}:
        return "everything here is done on this bed; nothing was changed on it"
    return "nothing was changed on it: something said later counts, or there is nothing to put back"


def _notes(booking: Booking, was: Step, now: Step) -> tuple[str, ...]:
    notes = []
    if booking.act == "start":
        if was.state == "in work" and was.device != now.device:
            notes.append("it was in work at another device; it is in work here now")
        before = Step.objects.filter(serial=now.serial, position__in=json.loads(now.after)).exclude(state="done")
        notes += [f"{one.operation} is not booked as done" for one in before.order_by("position")]
    elif now.started is None:
        notes.append("its start was not booked")
    return tuple(notes)


def _left(event: Event, place: str) -> str:
    """The bed that a start closed, if it did."""
    last = _before(place, _hand(event.device, event.who), (event.said, event.sender), event.subject)
    if last is None:
        return ""
    return last.serial if Step.objects.filter(serial=last.serial, place=place, done=event.said).exists() else ""


def correct(
    sender_of_wrong: str, why: str, instead: Booking | None, *, sender: str, who: str, device: str = ""
) -> Appended:
    """Withdraw a booking, or put another of the same bed in its place; the steps follow, also of the bed before.

    Raises FaultsFound for a booking that is not there and for an `instead` of another bed or of work it has not.
    """
    with pen() as held:
        wrong = Event.objects.filter(sender=sender_of_wrong, type=Booking.TYPE).first()
        if wrong is None:
            raise FaultsFound([Fault(f"there is no booking {sender_of_wrong!r}")])
        if instead is not None:
            serial = _steps_at(instead)[0].serial
            if serial != wrong.subject:
                raise FaultsFound(
                    [
                        Fault(
                            f"the booking is of bed {wrong.subject}, not {serial}", "withdraw it and book the other bed"
                        )
                    ]
                )
            instead = instead.model_copy(update={"serial": serial})
        told = Correction(why=why, instead=instead.model_dump(mode="json") if instead is not None else None)
        done = append_with(
            held, told, sender=sender, subject=wrong.subject, who=who, device=device, corrects=sender_of_wrong
        )
        work_out(held, wrong.subject)
        return done


def work_out(held: Pen, serial: str) -> None:
    """Work a bed's steps out anew from everything said of it, what the pen has not put down yet counted too.

    Where that moves what a hand took up when, the bed that the hand had before is worked out too.
    """
    waiting = {
        other: [row for row in held.written.get(Event, []) if isinstance(row, Event) and row.subject == other]
        for other in {row.subject for row in held.written.get(Event, []) if isinstance(row, Event)}
    }

    def acts(of: str) -> dict[str, list[Act]]:
        return acts_by_place([*of_subject(of), *waiting.get(of, [])])

    mine = acts(serial)
    others = _keep_taken(serial, taken_of(serial, mine))
    write_steps(serial, mine)
    for other in sorted(others):
        write_steps(other, acts(other))


def acts_by_place(events: list[Event]) -> dict[str, list[Act]]:
    """The bookings of one bed that stand, by the folded code of their place."""
    found: dict[str, list[Act]] = {}
    for one in standing(events):
        if isinstance(one.payload, Booking):
            event, told = one.event, one.payload
            act = Act(
                event.sender, event.said, told.act, _hand(event.device, event.who), event.who, event.device,
                told.position,
            )  # fmt: skip
            found.setdefault(fold(told.place), []).append(act)
    return found


def taken_of(serial: str, acts: dict[str, list[Act]]) -> list[Taken]:
    """The rows of what was taken up with a bed."""
    return [
        Taken(sender=one.sender, place=place, hand=one.hand, said=one.said, serial=serial)
        for place, said in acts.items()
        for one in starts(said)
    ]


def _keep_taken(serial: str, rows: list[Taken]) -> set[str]:
    """Keep what was taken up with a bed; serials of the beds that the same hands had before, where that changed."""
    there = {row.sender: row for row in Taken.objects.filter(serial=serial)}
    now = {row.sender: row for row in rows}
    gone = [row for sender, row in there.items() if sender not in now or now[sender].place != row.place]
    new = [row for sender, row in now.items() if sender not in there or there[sender].place != row.place]
    Taken.objects.filter(sender__in=[row.sender for row in gone]).delete()
    Taken.objects.bulk_create(new, batch_size=200)
    before = [_before(row.place, row.hand, (row.said, row.sender), serial) for row in [*gone, *new]]
    return {row.serial for row in before if row is not None}


def write_steps(serial: str, acts: dict[str, list[Act]]) -> None:
    """Write what the bookings of a bed add up to into its steps."""
    steps = list(Step.objects.filter(serial=serial))
    moved = [step for step, one in sums_of(serial, steps, acts) if _take_over(step, one)]
    Step.objects.bulk_update(moved, list(WORKED_OUT), batch_size=100)


def sums_of(serial: str, steps: Iterable[Step], acts: dict[str, list[Act]]) -> Iterable[tuple[Step, Sum]]:
    """Each step of a bed beside what its bookings add up to."""
    by_place: dict[str, list[Step]] = {}
    for step in steps:
        by_place.setdefault(step.place, []).append(step)
    for place, here in by_place.items():
        sums = add_up([step.position for step in here], acts.get(place, []), partial(closer_after, serial, place))
        of = {one.position: one for one in sums}
        for step in here:
            yield step, of[step.position]


def _take_over(step: Step, one: Sum) -> bool:
    before = tuple(getattr(step, name) for name in WORKED_OUT)
    after = one.state, one.who, one.device, one.started, one.done
    for name, value in zip(WORKED_OUT, after, strict=True):
        setattr(step, name, value)
    return before != after


def closer_after(serial: str, place: str, hand: str, at: Moment) -> Moment | None:
    """When a hand next took up another bed at a place. Ties are put in order here: engines sort text differently."""
    rows = Taken.objects.filter(place=place, hand=hand).exclude(serial=serial)
    tied = [row.sender for row in rows.filter(said=at[0]) if row.sender > at[1]]
    if tied:
        return at[0], min(tied)
    first = rows.filter(said__gt=at[0]).order_by("said").first()
    return (first.said, min(row.sender for row in rows.filter(said=first.said))) if first is not None else None


def _before(place: str, hand: str, at: Moment, serial: str) -> Taken | None:
    """What a hand took up last before a moment, another bed than this one."""
    rows = Taken.objects.filter(place=place, hand=hand).exclude(serial=serial)
    tied = [row for row in rows.filter(said=at[0]) if row.sender < at[1]]
    if not tied:
        last = rows.filter(said__lt=at[0]).order_by("-said").first()
        tied = list(rows.filter(said=last.said)) if last is not None else []
    return max(tied, key=lambda row: row.sender, default=None)


def _hand(device: str, who: str) -> str:
    return device or who
