"""Events: appended with an id made by the sender, so that sending again changes nothing; never changed or deleted.

A correction is an event of its own that names the one it corrects; whoever reads asks `standing` for what still counts.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.utils import timezone
from pydantic import ValidationError

from bedsite.records.chain import Pen, now, pen
from bedsite.records.models import Event
from bedsite.records.payloads import TYPES, Correction, Payload
from bedwright.errors import BedwrightError, Fault, FaultsFound, NotReadable
from bedwright.identity import canonical
from bedwright.works.card import plain_faults

_SENDER = re.compile(r"[0-9A-Za-z:._-]{8,64}")


class SenderClash(BedwrightError):
    """An id that was sent before came again with something else in it."""


@dataclass(frozen=True, slots=True)
class Appended:
    """The event as it stands in the ledger; fresh is False where it had been there already."""

    event: Event
    fresh: bool


def append(
    payload: Payload,
    *,
    sender: str,
    subject: str,
    who: str,
    said: datetime | None = None,
    device: str = "",
    corrects: str = "",
) -> Appended:
    """Append one event. Raises SenderClash, NotReadable for an id that is none, FaultsFound for a wrong correction."""
    with pen() as held:
        return append_with(
            held, payload, sender=sender, subject=subject, who=who, said=said, device=device, corrects=corrects
        )


def append_with(
    held: Pen,
    payload: Payload,
    *,
    sender: str,
    subject: str,
    who: str,
    said: datetime | None = None,
    device: str = "",
    corrects: str = "",
) -> Appended:
    """`append` as one of several in one transaction."""
    if not _SENDER.fullmatch(sender):
        raise NotReadable(f"{sender!r} is no id of a sender; it is 8 to 64 letters, digits and . : _ -")
    body = canonical(payload.model_dump()).decode()
    there = sent_before(held, sender)
    if there is not None:
        if (there.type, there.subject, there.body, there.corrects) != (payload.TYPE, subject, body, corrects):
            raise SenderClash(f"id {sender} was sent before with something else; nothing was changed")
        return Appended(there, False)
    if isinstance(payload, Correction) != bool(corrects):
        raise FaultsFound([Fault("a correction names the event that it corrects, and nothing else does")])
    if corrects:
        _correctable(held, corrects, payload, subject)
    received = now()
    row = Event(
        sender=sender,
        type=payload.TYPE,
        schema=payload.SCHEMA,
        subject=subject,
        corrects=corrects,
        said=said or received,
        received=received,
        who=who,
        device=device,
        body=body,
    )
    held.link(row)
    return Appended(row, True)


def sent_before(held: Pen, sender: str) -> Event | None:
    """The event that came with this id already, earlier with the same pen too."""
    if not _SENDER.fullmatch(sender):
        return None
    return held.senders.get(sender) or Event.objects.filter(sender=sender).first()


def _correctable(held: Pen, corrects: str, payload: Payload, subject: str) -> None:
    assert isinstance(payload, Correction)
    wrong = sent_before(held, corrects)
    if wrong is None or wrong.type in (Correction.TYPE, "release", "printed"):
        what = "there is none" if wrong is None else f"it is a {wrong.type}, which is not corrected but followed"
        raise FaultsFound([Fault(f"corrects event {corrects!r}, and {what}")])
    if wrong.subject != subject:
        raise FaultsFound([Fault(f"corrects event {corrects!r} of {wrong.subject}, and speaks of {subject!r}")])
    if payload.instead is not None:
        read(wrong.type, wrong.schema, payload.instead)


def read(type_: str, schema: int, body: dict[str, Any] | str) -> Payload:
    """The payload of a stored or sent body. Raises FaultsFound naming each field, NotReadable for a newer schema."""
    known = TYPES.get(type_)
    if known is None or schema > known.SCHEMA:
        raise NotReadable(f"an event {type_!r} of schema {schema} is newer than this program")
    text = body if isinstance(body, str) else json.dumps(body)
    try:
        return known.model_validate_json(text, strict=True)
    except ValidationError as error:
        raise FaultsFound(
            Fault(says, value=value, card=f"event {type_}", field=field) for field, value, says in plain_faults(error)
        ) from None


def payload_of(event: Event) -> Payload:
    """What a stored event says."""
    return read(event.type, event.schema, event.body)


@dataclass(frozen=True, slots=True)
class Standing:
    """An event as it counts today: its payload, or the one that a correction put in its place."""

    event: Event
    payload: Payload
    corrected_by: Event | None = None


def of_subject(subject: str) -> list[Event]:
    """Everything that was said of a subject, in the order of the ledger."""
    return list(Event.objects.filter(subject=subject).order_by("seq"))


def standing(events: list[Event]) -> Iterator[Standing]:
    """Which of these count and as what: withdrawn ones left out, corrected ones as corrected, the last correction."""
    corrections = {event.corrects: event for event in events if event.type == Correction.TYPE}
    for event in events:
        if event.type == Correction.TYPE:
            continue
        by = corrections.get(event.sender)
        if by is None:
            yield Standing(event, payload_of(event))
            continue
        told = payload_of(by)
        assert isinstance(told, Correction)
        if told.instead is not None:
            yield Standing(event, read(event.type, event.schema, told.instead), by)


def moment(text: str) -> datetime:
    """A moment as a page sends it (ISO 8601 with its zone). Raises NotReadable."""
    try:
        found = datetime.fromisoformat(text)
    except ValueError:
        raise NotReadable(f"{text[:40]!r} is no moment; it is written as 2026-11-02T06:10:00Z") from None
    if found.tzinfo is None:
        raise NotReadable(f"{text[:40]!r} has no time zone; it is written as 2026-11-02T06:10:00Z")
    try:
        return found.astimezone(timezone.get_default_timezone())
    except OverflowError:
        raise NotReadable(f"{text[:40]!r} is outside the calendar") from None
