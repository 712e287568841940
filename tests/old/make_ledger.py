"""Makes the frozen sample of the ledger's stored format of today, and beside it what it holds, as JSON.

    .venv/bin/python tests/old/make_ledger.py

Run it for a format that has not been released yet. Once it has been, its sample is never made anew: a change raises
LEDGER_FORMAT (or a SCHEMA), and this makes the next sample beside the older ones. All of it is invented.
"""

from __future__ import annotations

import json
import os
import shutil
import sqlite3
import tempfile
from contextlib import closing
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

from bedsite.opening import new_ledger, open_ledger
from bedsite.store import Place

HERE = Path(__file__).parent
ABOUT = ("name", "time_zone", "as_of", "currency", "words")
LEFT_OUT = ("rule", "price", "carbon", "filling", "person", "evidence")
"""Kinds that add nothing to the sample but size."""
EARLY = datetime(2026, 3, 2, 6, 10, tzinfo=UTC)


def sample(number: int) -> Path:
    return HERE / f"ledger-format-{number}.sqlite3"


def fill() -> None:
    """Everything that a ledger can hold, once or more."""
    from bedsite.records import bookings, cards, events, ledger, people, release, snapshots
    from bedsite.records.models import Device, DoorNote, Person
    from bedsite.records.payloads import Booking, Check, Claim, Correction, Loading, ReleasedStep, Test
    from bedwright.works.springs import Wire
    from bedwright.works.workbook.reader import read_works
    from bedwright.works.works import Works

    whole = read_works(HERE / "works-format-1.xlsx")
    works = Works.of(whole.about, [card for card in whole.all_cards() if card.KIND not in LEFT_OUT])
    me = people.command_line()
    ledger.take_in(works, who=me, why="sample")
    gone_person = Person.objects.create(
        key=people.new_key(), sign_in="erased-one", name="", roles="maker", password="!", active=False, erased=True,
        made_at=EARLY,
    )  # fmt: skip
    planner = Person.objects.create(
        key=people.new_key(), sign_in="robin", name="Robin Invented", roles="planner,buyer", password="!", made_at=EARLY
    )
    tablet = Device.objects.create(key=people.new_key(), name="build tablet", place="build", made_at=EARLY)
    DoorNote.objects.create(at=EARLY, what="sign-in", person=planner.key, address="127.0.0.1")

    wire = works.wires["W22"]
    cards.put(wire.model_copy(update={"diameter": 2.3}), expected=1, who=planner.key, why="thicker")
    aside = cards.put(wire.model_copy(update={"diameter": 2.1}), expected=1, who=gone_person.key, why="thinner")
    cards.merge(wire.model_copy(update={"diameter": 2.25}), aside=aside.number, expected=2, who=planner.key, why="both")
    cards.put(wire.model_copy(update={"name": "left open"}), expected=1, who=gone_person.key)
    cards.put(Wire(code="Ünï 1/2", name='=odd\n"text"', diameter=1.23456789), expected=0, who=me)
    cards.put(Wire(code="GONE", name="not used", diameter=1.0), expected=0, who=me)
    cards.take_out("wire", "gone", expected=1, who=me, why="never bought")
    cards.bring_back("wire", "W22", 1, expected=4, who=me)

    steps = (
        ReleasedStep(position=10, operation="coil", place="Coiler", stream="unit", minutes=3.5),
        ReleasedStep(position=20, operation="build", place="Build", after=(10,), minutes=12.0),
    )
    line = release.ToRelease(
        "O-1", 1, "SAMPLE", "OPEN-2", "150", (2, 1), date(2026, 3, 10), "NORTH", 1, steps
    )  # fmt: skip
    (made,) = release.release([line], revision=ledger.revision_now(), who=planner.key)
    first, second = made.runs[0].serials
    for number, (act, serial, place) in enumerate(
        (
            ("start", first, "Coiler"),
            ("start", second, "Coiler"),
            ("done", second, "Coiler"),
            ("trouble", first, "Build"),
        )
    ):
        said = EARLY.replace(minute=10 + number)
        booking = Booking(act=act, serial=serial, place=place, says="torn" if act == "trouble" else "")  # type: ignore[arg-type]
        bookings.book(booking, sender=f"sample-{number:04d}", who=gone_person.key, device=tablet.key, said=said)
    more = (
        Check(subject=first, check="height", figure=241.5, unit="mm", outcome="rework", says="low"),
        Test(subject="OPEN-2", test="pad test", laboratory="own", figures={"H N/mm": 3.25}),
        Loading(act="on the van", serial=second, day=date(2026, 3, 10), van_round="NORTH"),
        Claim(serial=second, order="O-1", says="a dip"),
        Claim(order="O-1", says="sent twice"),
    )
    for number, one in enumerate(more):
        events.append(one, sender=f"sample-1{number:03d}", subject=second, who=planner.key, said=EARLY)
    instead = more[0].model_dump() | {"figure": 245.0}
    events.append(
        Correction(why="read upside down", instead=instead), sender="sample-2000", subject=second, who=planner.key,
        corrects="sample-1000",
    )  # fmt: skip
    events.append(Correction(why="one claim"), sender="sample-2001", subject=second, who=me, corrects="sample-1004")
    paper = snapshots.keep(
        paper="bed sheet", name="bed-sheets/sample.pdf", subject="OPEN-2", data=b"%PDF-1.7\n" + bytes(range(256)),
        media="application/pdf", results={"shows": [{"mass_kg": 31.25}]}, who=planner.key,
        revision=ledger.revision_now(),
    )  # fmt: skip
    from bedsite.records.payloads import Printed

    said = Printed(snapshot=paper.id, paper=paper.paper, name=paper.name)
    events.append(said, sender=f"printed:{paper.id}", subject="OPEN-2", who=me)


def told() -> dict[str, Any]:
    """What the open ledger holds, as its readers give it, in plain data."""
    from bedsite.records import cards, chain, events, ledger, snapshots
    from bedsite.records.bodies import plain
    from bedsite.records.models import Device, DoorNote, Event, Head, Person, Released, Revision, Step

    works, verified = ledger.read_works(), chain.verify()
    asked = {row.subject for row in Event.objects.all()}
    return {
        "end": [verified.seq, verified.hash, verified.revisions, verified.events, verified.snapshots],
        "works_id": works.about.works_id,
        "revision": works.about.revision,
        "about": {
            name: str(getattr(works.about, name)) for name in ("name", "time_zone", "as_of", "currency", "words")
        },
        "cards": {f"{card.KIND} {card.code}": plain(card) for card in works.all_cards()},
        "histories": {
            f"{head.kind} {head.code}": [
                [row.number, row.onto, row.aside, row.settles, row.gone, row.content, row.why, row.at.isoformat()]
                for row in cards.history(head.kind, head.code)
            ]
            for head in Head.objects.filter(last__gt=1).order_by("kind", "folded")
        },
        "contents": {str(row.seq): row.content for row in Revision.objects.order_by("seq")},
        "events": [
            [
                row.seq,
                row.sender,
                row.type,
                row.subject,
                row.corrects,
                row.said.isoformat(),
                plain(events.payload_of(row)),
            ]
            for row in Event.objects.order_by("seq")
        ],
        "standing": {
            subject: [[one.event.sender, plain(one.payload)] for one in events.standing(events.of_subject(subject))]
            for subject in sorted(asked)
        },
        "released": [
            [row.id, row.what, row.of, row.order, row.line, row.number] for row in Released.objects.order_by("id")
        ],
        "steps": [
            [row.serial, row.position, row.place, row.state] for row in Step.objects.order_by("serial", "position")
        ],
        "papers": {
            row.id: [row.paper, row.name, row.subject, json.loads(row.results), snapshots.again(row.id)[1].hex()]
            for row in snapshots.listed()
            for row in [snapshots.again(row.id)[0]]
        },
        "people": [[row.sign_in, row.name, row.roles, row.erased] for row in Person.objects.order_by("sign_in")],
        "devices": [[row.name, row.place] for row in Device.objects.order_by("name")],
        "door_notes": DoorNote.objects.count(),
    }


def make() -> Path:
    """Make the sample and its JSON; the sample's path."""

    with tempfile.TemporaryDirectory() as name:
        place = Place(path=Path(name) / "ledger.sqlite3")
        new_ledger(place)
        fill()
        open_ledger(place)
        found = told()
        from django.db import connections

        from bedsite.records.formats import LEDGER_FORMAT

        target = sample(LEDGER_FORMAT)

        connections.close_all()
        assert place.path is not None
        with closing(sqlite3.connect(place.path, isolation_level=None)) as held:
            held.execute("PRAGMA journal_mode=DELETE")
            held.execute("PRAGMA page_size=1024")
            held.execute("VACUUM")
        shutil.copyfile(place.path, target)
    target.chmod(0o644)
    text = json.dumps(found, indent=1, sort_keys=True, ensure_ascii=False)
    target.with_suffix(".json").write_text(text + "\n", encoding="utf-8")
    return target


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "bedsite.settings.own_machine")
    made = make()
    print(f"{made}: {made.stat().st_size / 1000:.0f} kB")
