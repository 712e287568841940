"""Bookings at the stations: one scan starts a bed and closes the last; steps are what the bookings add up to.

The events are the truth. A bed's steps are worked out anew from its bookings each time one is added, corrections
counted, so that a scan which came late or twice leaves them as if it had come in time and once.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime

from bedsite.records.chain import Pen, pen
from bedsite.records.events import Appended, append_with, of_subject, standing
from bedsite.records.models import Event, Step
from bedsite.records.payloads import Booking, Correction
from bedsite.records.release import find
from bedwright.errors import Fault, FaultsFound
from bedwright.identity import fold


@dataclass(frozen=True, slots=True)
class Booked:
    """What a booking did: fresh False where it had been sent before; notes are said to whoever works there."""

    serial: str
    act: str
    operation: str
    fresh: bool
    closed: str = ""
    """Serial of the bed that this scan closed."""
    notes: tuple[str, ...] = ()


def book(booking: Booking, *, sender: str, who: str, device: str = "", said: datetime | None = None) -> Booked:
    """Append a booking. A start closes the bed that was in work at the same place by the same device (or person).

    Raises FaultsFound for a serial that the ledger did not make or that has no such work at this place, SenderClash.
    """
    with pen() as held:
        return book_with(held, booking, sender=sender, who=who, device=device, said=said)


def book_with(
    held: Pen, booking: Booking, *, sender: str, who: str, device: str = "", said: datetime | None = None
) -> Booked:
    """`book` as one of several in one transaction."""
    there = Event.objects.filter(sender=sender).first()
    if there is not None and there.type == Booking.TYPE:
        position = booking.position or json.loads(there.body)["position"]
        again = booking.model_copy(update={"position": position, "serial": booking.serial.strip().upper()})
        append_with(held, again, sender=sender, subject=again.serial, who=who, said=said, device=device)
        return Booked(again.serial, booking.act, _operation(again.serial, position), False)
    steps = _steps_at(booking)
    step = _meant(booking, steps, who, device)
    placed = booking.model_copy(update={"position": step.position, "serial": step.serial})
    closed = _close_last(held, placed, sender, who, device, said) if booking.act == "start" else ""
    done = append_with(held, placed, sender=sender, subject=step.serial, who=who, said=said, device=device)
    notes = _early(step) if booking.act == "start" else ()
    work_out(held, step.serial)
    return Booked(step.serial, booking.act, step.operation, done.fresh, closed, notes)


def _steps_at(booking: Booking) -> list[Step]:
    found = find(booking.serial)
    if found is None or found.what != "serial":
        says = f"{booking.serial!r} is no serial of this works"
        if found is not None:
            says = f"{found.id} is a {found.what}, and a bed is booked by its serial"
        raise FaultsFound([Fault(says, "scan the code on the bed's own ticket")])
    steps = list(Step.objects.filter(serial=found.id).order_by("position"))
    here = [step for step in steps if step.place == fold(booking.place)]
    if not here:
        raise FaultsFound([Fault(f"bed {found.id} has no work at {booking.place}", "take it where its job card says")])
    return here


def _meant(booking: Booking, here: list[Step], who: str, device: str) -> Step:
    """The step that a booking speaks of: the one it names, else the first here that the act fits."""
    if booking.position is not None:
        named = [step for step in here if step.position == booking.position]
        if not named:
            raise FaultsFound([Fault(f"bed {booking.serial} has no step {booking.position} at {booking.place}")])
        return named[0]
    fits = {
        "start": ("in work", "trouble", "to do"),
        "done": ("in work", "trouble", "to do"),
        "trouble": ("in work", "to do"),
        "back": ("in work", "trouble", "done"),
    }[booking.act]
    if booking.act == "start":
        fits = ("to do", "trouble") if any(step.state == "to do" for step in here) else fits
    for state in fits:
        of_state = [step for step in here if step.state == state]
        if of_state:
            return of_state[-1] if booking.act == "back" else of_state[0]
    done = f"everything at {booking.place} is {'done' if booking.act != 'back' else 'to do'} on bed {here[0].serial}"
    raise FaultsFound([Fault(done, "look at the serial again")])


def _close_last(held: Pen, start: Booking, sender: str, who: str, device: str, said: datetime | None) -> str:
    open_here = Step.objects.filter(place=fold(start.place), state="in work")
    open_here = open_here.filter(device=device) if device else open_here.filter(who=who, device="")
    last = open_here.order_by("started").exclude(serial=start.serial, position=start.position).first()
    if last is None:
        return ""
    closing = Booking(act="done", serial=last.serial, place=start.place, position=last.position)
    append_with(held, closing, sender=f"{sender[:56]}:closes", subject=last.serial, who=who, said=said, device=device)
    work_out(held, last.serial)
    return last.serial


def _early(step: Step) -> tuple[str, ...]:
    before = Step.objects.filter(serial=step.serial, position__in=json.loads(step.after)).exclude(state="done")
    return tuple(f"{one.operation} is not booked as done" for one in before.order_by("position"))


def _operation(serial: str, position: int) -> str:
    found = Step.objects.filter(serial=serial, position=position).first()
    return found.operation if found is not None else ""


def correct(
    sender_of_wrong: str, why: str, instead: Booking | None, *, sender: str, who: str, device: str = ""
) -> Appended:
    """Withdraw a booking, or put another in its place; the bed's steps follow."""
    with pen() as held:
        wrong = Event.objects.filter(sender=sender_of_wrong, type=Booking.TYPE).first()
        if wrong is None:
            raise FaultsFound([Fault(f"there is no booking {sender_of_wrong!r}")])
        told = Correction(why=why, instead=instead.model_dump(mode="json") if instead is not None else None)
        done = append_with(
            held, told, sender=sender, subject=wrong.subject, who=who, device=device, corrects=sender_of_wrong
        )
        work_out(held, wrong.subject)
        return done


def work_out(held: Pen, serial: str) -> None:
    """Work a bed's steps out anew from everything said of it, what the pen has not put down yet counted too."""
    waiting = [row for row in held.written.get(Event, []) if isinstance(row, Event) and row.subject == serial]
    said = of_subject(serial) + waiting
    counted = [one for one in standing(said) if isinstance(one.payload, Booking)]
    steps = {step.position: step for step in Step.objects.filter(serial=serial)}
    for step in steps.values():
        step.state, step.who, step.device, step.started, step.done = "to do", "", "", None, None
    for one in sorted(counted, key=lambda one: (one.event.said, one.event.seq)):
        booking = one.payload
        assert isinstance(booking, Booking)
        named = steps.get(booking.position or 0)
        if named is not None:
            _apply(named, booking, one.event)
    Step.objects.bulk_update(steps.values(), ["state", "who", "device", "started", "done"], batch_size=100)


def _apply(step: Step, booking: Booking, event: Event) -> None:
    if booking.act == "back":
        step.state, step.who, step.device, step.started, step.done = "to do", "", "", None, None
        return
    step.who, step.device = event.who, event.device
    if booking.act == "trouble":
        step.state = "trouble"
    elif booking.act == "start":
        step.state, step.started, step.done = "in work", step.started or event.said, None
    else:
        step.state, step.started, step.done = "done", step.started or event.said, event.said


def next_at(place: str, most: int = 12) -> list[Step]:
    """What is to be done next at a work place: what is in work or in trouble first, then by van and order of making.

    A bed whose earlier steps are not done stands after those that are ready.
    """
    here = Step.objects.filter(place=fold(place), state__in=("to do", "in work", "trouble"))
    rows = list(here.order_by("due", "rank", "serial", "position")[: most * 20])
    waiting = _waiting({row.serial for row in rows})
    first = {"in work": 0, "trouble": 1, "to do": 2}

    def key(step: Step) -> tuple[int, bool, object, int, str, int]:
        blocked = any((step.serial, place_before) in waiting for place_before in json.loads(step.after))
        return first[step.state], blocked, step.due, step.rank, step.serial, step.position

    return sorted(rows, key=key)[:most]


def _waiting(serials: set[str]) -> set[tuple[str, int]]:
    rows = Step.objects.filter(serial__in=list(serials)).exclude(state="done").values_list("serial", "position")
    return set(rows)
