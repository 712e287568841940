"""A ledger of 100,000 cards and 1,000,000 events on SQLite: lists, history, search, verify, backup, append, size.

All invented. Rows are written in bulk and linked by the ledger's own pen, so that the chain is whole.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from measures._published import ROOT, Figure

TITLE = "100,000 cards and 1,000,000 events in one file"
CARDS = int(os.environ.get("BEDWRIGHT_MEASURE_CARDS", "100000"))
EVENTS = 10 * CARDS


def run() -> list[Figure]:
    """In a process of its own, so that no other measure's settings of the database are in the way."""
    said = subprocess.run(
        [sys.executable, "-c", "from measures.ledger_scale import main; main()"],
        capture_output=True, text=True, check=True, cwd=ROOT,
    ).stdout  # fmt: skip
    return [(line.split("\t")[0], line.split("\t")[1]) for line in said.splitlines() if "\t" in line]


def main() -> None:
    """Build, measure, print one figure a line."""
    from bedsite import opening, store
    from bedwright.works.workbook.csv_folder import read_csv_folder

    with tempfile.TemporaryDirectory() as folder:
        place = store.Place(path=Path(folder) / store.LEDGER)
        opening.new_ledger(place)
        from bedsite.records import ledger, people

        me = people.command_line()
        ledger.take_in(read_csv_folder(ROOT / "demo"), who=me)
        _, seconds = once(lambda: build(me))
        print(f"built, {CARDS:,} cards and {EVENTS:,} events\t{seconds:.0f} s")
        for what, figure in figures(me, Path(folder), place):
            print(f"{what}\t{figure}", flush=True)


def build(me: str) -> None:
    """Orders, prices and stock in three equal parts, one card with 500 revisions; bookings and checks on serials."""
    from bedsite.records.cards import put_with
    from bedsite.records.chain import now, pen
    from bedsite.records.models import Event, Head, Revision
    from bedsite.records.payloads import Booking, Check
    from bedwright.identity import canonical

    at = now()
    heads: list[Head] = []
    with pen() as held:
        for card in invented_cards():
            row, head = revision_and_head(card, me, at)
            held.link(row)
            head.seq = row.seq
            heads.append(head)
            if len(heads) == 5000:
                insert(Revision, held.written.pop(Revision))
                insert(Head, heads)
                heads.clear()
        insert(Revision, held.written.pop(Revision, []))
        insert(Head, heads)
    with pen() as held:
        from bedwright.works.springs import Wire

        for number in range(500):
            card = Wire(code="OFTEN", name=f"the {number}th", diameter=1.5, grade="SM", supplier="x", carbon="y")
            put_with(held, card, expected=number, who=me, why="another try")
    for begin in range(0, EVENTS, 50_000):
        with pen() as held:
            for number in range(begin, min(begin + 50_000, EVENTS)):
                subject = f"S{number // 10:08d}"
                payload = (
                    Check(subject=subject, check="flatness", figure=1.5, unit="mm", outcome="right")
                    if number % 10 == 9
                    else Booking(act="start" if number % 2 else "done", serial=subject, place="BUILD", position=1)
                )
                held.link(
                    Event(
                        sender=f"scan-{number:09d}", type=payload.TYPE, schema=1, subject=subject, corrects="", said=at,
                        received=at, who=me, device="", body=canonical(payload.model_dump()).decode(),
                    )
                )  # fmt: skip
            insert(Event, held.written.pop(Event))
            held.senders.clear()


def invented_cards() -> Iterator:  # type: ignore[type-arg]
    from datetime import date
    from decimal import Decimal

    from bedwright.works.trading import Order, Price, Stock

    for number in range(CARDS // 3):
        yield Order.make(
            code=f"BK-{number:06d}", customer="INNS", ordered=date(2026, 2, 20), due=date(2026, 3, 12),
            van_round="INNS", lines=({"position": 1, "bed": "HERON", "size": "150", "quantity": 1 + number % 7},),
        )  # fmt: skip
        yield Price.make(
            code=f"BP-{number:06d}", of="wire", item=f"W{number}", price=Decimal(number) / 100, per="kg",
            first_day=date(2026, 1, 1),
        )  # fmt: skip
        yield Stock.make(
            code=f"BS-{number:06d}", part=f"W{number}", in_stock=400.0, counted_in="kg", lot=f"lot {number}"
        )


def revision_and_head(card, me: str, at):  # type: ignore[no-untyped-def]
    """The first revision of a card and its head, as put_with makes them, without asking the tables."""
    from bedsite.records.bodies import body_of, content_of, words_in
    from bedsite.records.models import Head, Revision
    from bedwright.identity import fold

    body, content = body_of(card), content_of(card)
    shared = {
        "kind": card.KIND, "folded": fold(card.code), "code": card.code, "number": 1, "schema": 1, "content": content,
        "body": body, "gone": False, "who": me, "at": at,
    }  # fmt: skip
    row = Revision(**shared, onto=0, aside=False, settles=None, why="in bulk")
    return row, Head(**shared, last=1, asides=0, words=words_in(card.KIND, body))


def insert(model, rows) -> None:  # type: ignore[no-untyped-def]
    """Write rows with one statement, many times over."""
    from django.db import connection

    columns = [column for column in model._meta.concrete_fields if column.column != "id"]
    names = ", ".join(column.column for column in columns)
    marks = ", ".join(["%s"] * len(columns))
    values = [[column.get_db_prep_save(getattr(row, column.attname), connection) for column in columns] for row in rows]
    with connection.cursor() as cursor:
        cursor.executemany(f"INSERT INTO {model._meta.db_table} ({names}) VALUES ({marks})", values)


def once(work: Callable[[], object]) -> tuple[object, float]:
    began = time.perf_counter()
    found = work()
    return found, time.perf_counter() - began


def typical(work: Callable[[], object], times: int = 5) -> str:
    """Middle and worst of some runs, the first included."""
    laps = [once(work)[1] * 1000 for _ in range(times)]
    return f"{statistics.median(laps):.0f} ms, {max(laps):.0f} ms at most of {times}"


def figures(me: str, folder: Path, place) -> Iterator[Figure]:  # type: ignore[no-untyped-def]
    from django.db import connection

    from bedsite.records import backup, cards, chain, events, judge, ledger
    from bedsite.records.payloads import Booking
    from bedwright.works.trading import Order

    with connection.cursor() as cursor:
        cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    yield "size of the file", f"{place.path.stat().st_size / 1e6:.0f} MB"
    yield from pages(me)
    yield "200 heads of a list", typical(lambda: cards.heads("order", most=200))
    yield "200 heads far down", typical(lambda: cards.heads("order", after="bk-020000", most=200))
    yield "found by a word that few hold", typical(lambda: cards.heads("stock", holding="lot 33", most=200))
    yield "found by a word that none holds", typical(lambda: cards.heads("stock", holding="nothing like it", most=200))
    yield "history of a card of 500 revisions", typical(lambda: cards.history("wire", "OFTEN"))
    yield "events of one serial", typical(lambda: events.of_subject("S00050000"))
    numbers = iter(range(10**6))

    def book() -> None:
        said = Booking(act="start", serial="S00000001", place="BUILD", position=1)
        events.append(said, sender=f"more-{next(numbers):06d}", subject="S00000001", who=me)

    yield "one event appended", typical(book, 50)
    order = cards.card_in(cards.head("order", "BK-000007"))
    assert isinstance(order, Order)

    def put() -> None:
        card = order.model_copy(update={"note": f"note {next(numbers)}"})
        cards.put(card, expected=cards.head("order", "BK-000007").number, who=me)

    yield "one card put", typical(put, 50)
    yield "one order judged among its neighbours", typical(lambda: judge.new_faults([order], []))
    yield "one card gone judged against all", typical(lambda: judge.new_faults([], [("stock", "BS-000001")]), 1)
    _, seconds = once(ledger.read_works)
    yield "the whole works read", f"{seconds:.1f} s"
    yield "the works as it stood", f"{once(lambda: ledger.works_at(CARDS // 2))[1]:.1f} s"
    found, seconds = once(chain.verify)
    yield f"verified, {found.seq:,} places", f"{seconds:.0f} s"  # type: ignore[attr-defined]
    yield "backup", backed_up(backup, folder)


def pages(me: str) -> Iterator[Figure]:
    """Office pages as their views make them for an owner, rendering included; sign-in and rights apart."""
    from django.test import RequestFactory

    from bedsite.office.cards import history, listing
    from bedsite.office.search import views as searching
    from bedsite.records.models import Person

    asked: list[tuple[str, Callable[..., object], str, tuple[str, ...]]] = [
        ("page: list of orders", listing.listed, "", ("orders",)),
        ("page: list of orders, far down", listing.listed, "?after=bk-020000", ("orders",)),
        ("page: list of stock, searched", listing.listed, "?search=lot 33", ("stock",)),
        ("page: one history", history.history, "", ("wires", "OFTEN")),
        ("page: search across everything", searching.search, "?q=lot 33", ()),
        ("page: search across everything, nothing found", searching.search, "?q=nothing like it", ()),
    ]
    for what, view, query, named in asked:

        def show(view: Callable[..., object] = view, query: str = query, named: tuple[str, ...] = named) -> object:
            request = RequestFactory().get(f"/{query}")
            request.person, request.roles, request.device = Person.objects.get(key=me), frozenset({"owner"}), None
            request.htmx = False
            return view(request, *named)

        try:
            size = len(show().content)  # type: ignore[attr-defined]
            yield what, f"{typical(show)}; {size / 1000:.0f} kB"
        except Exception as error:
            yield what, f"not measured ({type(error).__name__}: {error})"


def backed_up(backup, folder: Path) -> str:  # type: ignore[no-untyped-def]
    target = folder / "copy.sqlite3"
    _, seconds = once(lambda: backup.backup(target))
    return f"{seconds:.1f} s, {target.stat().st_size / 1e6:.0f} MB"
