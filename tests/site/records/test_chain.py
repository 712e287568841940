"""The chain: a change behind the program's back is found out; what it cannot hold is refused."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import pytest
from django.db import connection, transaction

from bedwright.errors import NotReadable, OutsideRange
from bedwright.works.springs import Wire

TABLES = ("records_revision", "records_event", "records_snapshot", "records_blob", "records_head", "records_chainend")
BY_HAND = (
    "INSERT INTO records_event SELECT {}, prior, hash, 'by-hand-1', type, schema, subject, corrects, said, received,"
    " who, device, body FROM records_event WHERE sender = 'claim-0001'"
)


def wire(diameter: float, code: str = "W22", note: str = "") -> Wire:
    return Wire(code=code, name="w", note=note, diameter=diameter, grade="SM", supplier="FERRUM", carbon="C-STEEL")


def run(order: str, values: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    with connection.cursor() as cursor:
        cursor.execute(order, values)
        return list(cursor.fetchall()) if cursor.description else []


@pytest.fixture
def opened(works_folder: Path, me: str) -> str:
    """A ledger with every kind of row, its triggers taken away as somebody with the file in his hands could."""
    from bedsite.records import cards, events, snapshots
    from bedsite.records.payloads import Claim

    cards.put(wire(2.3), expected=1, who=me, why="thicker")
    aside = cards.put(wire(2.4), expected=1, who=me)
    cards.put(wire(2.5), expected=1, who=me)
    cards.merge(wire(2.35), aside=aside.number, expected=2, who=me)
    for number in (1, 2):
        events.append(Claim(says=f"dip {number}"), sender=f"claim-000{number}", subject="O-1", who=me)
        snapshots.keep(
            paper="bed sheet", name="x.pdf", subject="SNIPE", data=b"%%PDF %d" % number, media="application/pdf",
            results={"figure": 1.0, "small": 1e-7, "nought": -0.0, "count": 1}, who=me, revision=1,
        )  # fmt: skip
    if connection.vendor == "sqlite":
        for (name,) in run("SELECT name FROM sqlite_master WHERE type = 'trigger'"):
            run(f"DROP TRIGGER {name}")
        run("PRAGMA foreign_keys = OFF")
    else:
        run("SET session_replication_role = replica")
    return me


def other(value: Any) -> Any:
    """Another value of the same type."""
    if isinstance(value, bool):
        return not value
    if isinstance(value, int):
        return value + 1000
    if isinstance(value, datetime):
        return value + timedelta(microseconds=1)
    if isinstance(value, (bytes, memoryview)):
        return bytes(value) + b"x"
    return ("x" + str(value))[: max(1, len(str(value)))] if value else "x"


def columns(table: str) -> list[str]:
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT * FROM {table} LIMIT 0")
        return [column[0] for column in cursor.description]


def test_every_column_is_covered_or_named_as_not(opened: str) -> None:
    """Each column of each table in turn, in the first, a middle and the last row: found out, or known not to be."""
    from django.apps import apps

    from bedsite.records import chain

    bools = {"aside", "gone"}
    untold = []
    chain.verify()
    models = {model._meta.db_table: model for model in apps.get_app_config("records").get_models()}
    for table in TABLES:
        key = models[table]._meta.pk.column
        keys = [row[0] for row in run(f"SELECT {key} FROM {table} ORDER BY {key}")]
        for column in columns(table):
            for at in {keys[0], keys[len(keys) // 2], keys[-1]}:
                was = run(f"SELECT {column} FROM {table} WHERE {key} = %s", (at,))[0][0]
                value = not was if column in bools else 7 if was is None else other(was)
                if isinstance(was, str) and connection.vendor == "sqlite" and column in ("at", "said", "received"):
                    value = was[:-1] + ("1" if was[-1] != "1" else "2")
                if column == "made_at" and isinstance(was, str):
                    value = "2020" + was[4:]
                found_out = False
                with transaction.atomic():
                    run(f"UPDATE {table} SET {column} = %s WHERE {key} = %s", (value, at))
                    try:
                        chain.verify()
                    except chain.ChainBroken:
                        found_out = True
                    transaction.set_rollback(True)
                if not found_out:
                    untold.append(f"{table}.{column}")
    # the key of a head or of the end names nothing; the rest is named in chain.NOT_COVERED
    assert sorted(set(untold)) == ["records_chainend.format", "records_head.id", "records_head.words"]
    chain.verify()


@pytest.mark.parametrize(
    "order",
    [
        "DELETE FROM records_event WHERE seq = (SELECT max(seq) FROM records_event)",
        "DELETE FROM records_snapshot WHERE seq = (SELECT max(seq) FROM records_snapshot)",
        "DELETE FROM records_revision WHERE seq = 3",
        "DELETE FROM records_head WHERE kind = 'wire' AND folded = 'w22'",
        "DELETE FROM records_blob",
        "DELETE FROM records_chainend",
        "UPDATE records_revision SET seq = -seq WHERE seq = 1",
        "UPDATE records_head SET asides = asides - 1 WHERE folded = 'w22' AND kind = 'wire'",
        # a row put in by hand: at the end, before the beginning, beside another
        BY_HAND.format(9999),
        BY_HAND.format(0),
        BY_HAND.format(3),
    ],
)  # fmt: skip
def test_rows_lost_or_put_in_are_found_out(opened: str, order: str) -> None:
    from bedsite.records import chain

    before = run("SELECT count(*) FROM records_event")
    with transaction.atomic():
        run(order)
        with pytest.raises(chain.ChainBroken):
            chain.verify()
        transaction.set_rollback(True)
    assert run("SELECT count(*) FROM records_event") == before
    chain.verify()


def test_a_swapped_pair_is_found_out(opened: str) -> None:
    from bedsite.records import chain

    with transaction.atomic():
        run("UPDATE records_event SET sender = 'x' || sender")
        bodies = dict(run("SELECT seq, body FROM records_event"))
        one, two = sorted(bodies)
        run("UPDATE records_event SET body = %s, sender = 'claim-0001' WHERE seq = %s", (bodies[two], one))
        run("UPDATE records_event SET body = %s, sender = 'claim-0002' WHERE seq = %s", (bodies[one], two))
        with pytest.raises(chain.ChainBroken, match=f"event at place {one}"):
            chain.verify()
        transaction.set_rollback(True)


def test_a_chain_written_anew_is_told_by_a_hash_kept_elsewhere(opened: str) -> None:
    """Whoever has the file can write the whole chain anew; only a hash on a paper or with a backup tells."""
    from bedsite.records import chain
    from bedsite.records.models import ChainEnd, Event

    kept = chain.verify()
    assert chain.verify({kept.seq: kept.hash, 1: _hash_at(1)}) == kept
    rows = list(chain.rows_in_order())
    end = ChainEnd.objects.get(pk=1)
    prior = chain.beginning(end)
    for row in rows:
        if isinstance(row, Event):
            row.subject = "O-2"
        row.prior = prior
        prior = row.hash = chain.hash_of(row)
        type(row)._default_manager.filter(pk=row.pk).update(
            prior=row.prior, hash=row.hash, **({"subject": "O-2"} if isinstance(row, Event) else {})
        )
    ChainEnd.objects.filter(pk=1).update(hash=prior)
    assert chain.verify().hash != kept.hash
    with pytest.raises(chain.ChainBroken, match="once told"):
        chain.verify({kept.seq: kept.hash})
    with pytest.raises(chain.ChainBroken, match="rows are lost"):
        chain.verify({kept.seq + 1: kept.hash})


def _hash_at(seq: int) -> str:
    return str(run("SELECT hash FROM records_revision WHERE seq = %s", (seq,))[0][0])


@pytest.mark.parametrize("table", ["records_revision", "records_event", "records_snapshot"])
def test_a_replace_by_another_key_is_refused_too(works_folder: Path, me: str, table: str) -> None:
    from django.db import DatabaseError

    from bedsite.records import events, snapshots
    from bedsite.records.payloads import Claim

    if connection.vendor != "sqlite":
        pytest.skip("REPLACE is the other engine's")
    events.append(Claim(says="dip"), sender="claim-0001", subject="O-1", who=me)
    snapshots.keep(paper="p", name="n", subject="s", data=b"x", media="m", results={}, who=me, revision=1)
    rest = ", ".join(name for name in columns(table) if name != "seq")
    with pytest.raises(DatabaseError, match="never changed"):
        run(f"INSERT OR REPLACE INTO {table} (seq, {rest}) SELECT seq + 1000, {rest} FROM {table}")


def test_a_pen_inside_a_pen_is_refused_and_nothing_of_either_is_kept(works_folder: Path, me: str) -> None:
    from bedsite.records import cards, chain

    before = chain.verify()
    with pytest.raises(RuntimeError, match="a pen inside a pen"), chain.pen() as held:
        cards.put_with(held, wire(2.9), expected=1, who=me)
        cards.put(wire(2.8), expected=1, who=me)
    assert chain.verify() == before
    assert cards.put(wire(2.9), expected=1, who=me).state == "changed"


def test_a_pen_inside_a_reading_is_refused(works_folder: Path, me: str) -> None:
    from bedsite.records import cards, chain

    with pytest.raises(RuntimeError, match="a pen inside a reading"), chain.reading():
        cards.put(wire(2.8), expected=1, who=me)


def test_what_is_rolled_back_leaves_no_hole(works_folder: Path, me: str) -> None:
    from bedsite.records import cards, chain, events
    from bedsite.records.payloads import Claim

    before = chain.verify()
    with pytest.raises(ZeroDivisionError), chain.pen() as held:
        cards.put_with(held, wire(2.9), expected=1, who=me)
        events.append_with(held, Claim(says="dip"), sender="claim-0001", subject="O-1", who=me)
        _ = 1 / 0
    with pytest.raises(ZeroDivisionError), transaction.atomic():
        cards.put(wire(2.9), expected=1, who=me)
        _ = 1 / 0
    assert chain.verify() == before
    events.append(Claim(says="dip"), sender="claim-0001", subject="O-1", who=me)
    assert chain.verify().seq == before.seq + 1


def test_many_of_every_kind_with_one_pen_stand_in_their_order(works_folder: Path, me: str) -> None:
    from bedsite.records import cards, chain, events
    from bedsite.records.payloads import Claim

    before = chain.verify().seq
    with chain.pen() as held:
        for number in range(450):
            cards.put_with(held, wire(1.0 + number / 1000, code=f"N{number}"), expected=0, who=me)
            events.append_with(held, Claim(says="dip"), sender=f"claim-{number:06d}", subject="O-1", who=me)
        twice = events.append_with(held, Claim(says="dip"), sender="claim-000003", subject="O-1", who=me)
        assert not twice.fresh
        assert cards.put_with(held, wire(3.0, code="N1"), expected=1, who=me).state == "changed"
        assert cards.put_with(held, wire(3.1, code="N1"), expected=1, who=me).state == "aside"
        assert cards.put_with(held, wire(1.001, code="N1"), expected=1, who=me).state == "same"
    found = chain.verify()
    assert found.seq == before + 450 * 2 + 2
    assert [row.seq for row in chain.rows_in_order()] == list(range(1, found.seq + 1))


MOMENTS = [
    datetime(2026, 3, 29, 0, 59, 59, 999_999, tzinfo=UTC),
    datetime(2026, 10, 25, 1, 30, tzinfo=timezone(timedelta(hours=5, minutes=45))),
    datetime(2026, 10, 25, 1, 30, 0, 1, tzinfo=timezone(timedelta(hours=-11), "far")),
    datetime(1, 1, 2, tzinfo=UTC),
    datetime(9999, 12, 30, 23, 59, 59, 999_999, tzinfo=UTC),
]


@pytest.mark.parametrize("moment", MOMENTS, ids=str)
def test_moments_come_back_to_the_microsecond(works_folder: Path, me: str, moment: datetime) -> None:
    from bedsite.records import cards, chain, events
    from bedsite.records.payloads import Claim

    sent = events.append(Claim(says="dip"), sender="claim-0001", subject="O-1", who=me, said=moment).event
    cards.put(wire(2.3), expected=1, who=me, at=moment)
    sent.refresh_from_db()
    assert sent.said == moment and cards.head("wire", "W22").at == moment
    chain.verify()


def test_a_moment_without_a_zone_is_refused(works_folder: Path, me: str) -> None:
    from bedsite.records import events
    from bedsite.records.payloads import Claim

    with pytest.raises(NotReadable, match="without a time zone"):
        events.append(Claim(says="dip"), sender="claim-0001", subject="O-1", who=me, said=datetime(2026, 3, 2))


@pytest.mark.parametrize("why", ["NUL \0 in it", "half \ud800 a sign", "long " * 200])
def test_a_reason_that_cannot_be_kept_is_refused_and_not_cut(works_folder: Path, me: str, why: str) -> None:
    from bedsite.records import cards, chain

    before = chain.verify()
    with pytest.raises((NotReadable, OutsideRange)):
        cards.put(wire(2.3), expected=1, who=me, why=why)
    assert chain.verify() == before


@pytest.mark.parametrize("subject", ["S" * 65, "S\0", "S\ud800"])
def test_a_subject_that_cannot_be_kept_is_refused(works_folder: Path, me: str, subject: str) -> None:
    from bedsite.records import chain, events
    from bedsite.records.payloads import Claim

    with pytest.raises((NotReadable, OutsideRange)):
        events.append(Claim(says="dip"), sender="claim-0001", subject=subject, who=me)
    assert chain.verify().events == 0


def test_texts_of_every_sign_come_back(works_folder: Path, me: str) -> None:
    from bedsite.records import cards, chain

    note = "NUL \0, line\r\nends, \u2028, \u202e right to left, \U0001f6cf, e\u0301 and \xe9, \\ ' \" ; --"
    put = cards.put(wire(2.3, note=note), expected=1, who=me, why="\u202e \U0001f6cf ' -- %s {x}")
    found = cards.card_in(cards.head("wire", "W22"))
    assert (put.state, found.note) == ("changed", note.strip())
    chain.verify()


def test_figures_in_payloads_keep_their_canonical_form(works_folder: Path, me: str) -> None:
    from bedsite.records import chain, events
    from bedsite.records.payloads import Test

    figures = {"one": 1.0, "int": 1, "nought": -0.0, "small": 1e-7, "large": 1e22, "third": 1 / 3, "most": 1.7e308}
    sent = events.append(Test(subject="S1", test="t", figures=figures), sender="test-0001", subject="S1", who=me)
    again = events.append(
        Test(subject="S1", test="t", figures={**figures, "nought": 0.0, "third": 0.3333333333}),
        sender="test-0001", subject="S1", who=me,
    )  # fmt: skip
    assert sent.fresh and not again.fresh  # the same to nine digits
    sent.event.refresh_from_db()
    found = events.payload_of(sent.event)
    assert isinstance(found, Test) and found.figures["small"] == 1e-7 and found.figures["int"] == 1
    chain.verify()


def test_a_reading_sees_one_moment_and_makes_no_writer_wait(works_folder: Path, me: str) -> None:
    import threading

    from django.db import connections

    from bedsite.records import cards, chain, ledger

    def write() -> None:
        cards.put(wire(2.9), expected=1, who=me)
        connections.close_all()

    with chain.reading():
        before = ledger.revision_now()
        other_hand = threading.Thread(target=write)
        other_hand.start()
        other_hand.join(timeout=15)
        assert not other_hand.is_alive()
        assert (ledger.revision_now(), cards.head("wire", "W22").number) == (before, 1)
    assert cards.head("wire", "W22").number == 2
