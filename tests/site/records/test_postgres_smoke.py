"""The same ledger on PostgreSQL, in every run: taken in, put, clashed, guarded, verified, read; whole suite elsewhere.

BEDWRIGHT_TEST_DATABASE=postgresql runs every test of the site there.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from bedsite import opening, store
from bedwright.errors import NotReadable
from bedwright.works.springs import Wire
from bedwright.works.works import Works


@pytest.fixture(scope="module")
def server(request: pytest.FixtureRequest) -> object:
    """The session's server; skipped where the wheel's cannot start, and in CI a failure."""
    try:
        return request.getfixturevalue("postgres")
    except Exception as error:
        told = f"the PostgreSQL server of the wheel does not start here ({error})"
        pytest.fail(told) if os.environ.get("CI") == "true" else pytest.skip(told)


@pytest.fixture
def me(server: object, small_works: Works) -> Iterator[str]:
    """The small works, freshly taken into a database; who takes it in."""
    server.count += 1  # type: ignore[attr-defined]
    name = f"smoke{server.count}"  # type: ignore[attr-defined]
    server.run(f"CREATE DATABASE {name}")  # type: ignore[attr-defined]
    opening.new_ledger(store.named(server.url(name)))  # type: ignore[attr-defined]
    from django.db import connections

    from bedsite.records import ledger, people

    key = people.command_line()
    ledger.take_in(small_works, who=key)
    yield key
    connections.close_all()  # the database goes with its server: dropping one by force once took the server along


def wire(diameter: float) -> Wire:
    return Wire(code="W22", name="w", diameter=diameter, grade="SM", supplier="FERRUM", carbon="C-STEEL")


def test_the_ledger_on_postgresql(me: str, server: object, small_works: Works, tmp_path: Path) -> None:
    from django.db import DatabaseError, connection, transaction
    from tests.site.records.test_together import judge, start_hands

    from bedsite.records import cards, chain, events, ledger, snapshots
    from bedsite.records.payloads import Claim

    assert connection.vendor == "postgresql"
    assert [card.model_dump() for card in ledger.read_works().all_cards()] == [
        card.model_dump() for card in small_works.all_cards()
    ]
    with pytest.raises(NotReadable, match="holds a works already"):
        ledger.take_in(small_works, who=me)

    cards.put(wire(2.3), expected=1, who=me)
    aside = cards.put(wire(2.4), expected=1, who=me)
    assert aside.state == "aside" and cards.head("wire", "w22").number == 2
    assert cards.merge(wire(2.35), aside=aside.number, expected=2, who=me).state == "changed"
    assert cards.open_asides("wire", "W22") == [] and len(cards.heads("wire", holding="2.35")) == 1

    assert events.append(Claim(says="dip"), sender="claim-0001", subject="O-1", who=me).fresh
    assert not events.append(Claim(says="dip"), sender="claim-0001", subject="O-1", who=me).fresh
    kept = snapshots.keep(
        paper="bed sheet", name="x.pdf", subject="SNIPE", data=b"%PDF", media="application/pdf", results={}, who=me,
        revision=1,
    )  # fmt: skip
    assert snapshots.again(kept.id)[1] == b"%PDF"

    for table in ("revision", "event", "snapshot", "blob", "released", "doornote"):
        for order in ("UPDATE records_{0} SET {1} = {1}", "DELETE FROM records_{0}", "TRUNCATE records_{0} CASCADE"):
            key = {"blob": "sha256", "released": "id", "doornote": "id"}.get(table, "seq")
            if table in ("released", "doornote") and not order.startswith("TRUNCATE"):
                continue  # empty: no row, no trigger
            with pytest.raises(DatabaseError, match="never changed"), transaction.atomic(), connection.cursor() as held:
                held.execute(order.format(table, key))

    before = chain.verify()
    assert (before.events, before.snapshots) == (1, 1)
    start_hands(server.url(f"smoke{server.count}"), tmp_path, 2, 6)  # type: ignore[attr-defined]
    judge(2, 6)
    assert ledger.works_at(before.seq).content() != ledger.read_works().content()

    with connection.cursor() as held:
        held.execute("SET session_replication_role = replica")
        held.execute("UPDATE records_revision SET why = 'otherwise' WHERE number = 2 AND code = 'W22'")
    with pytest.raises(chain.ChainBroken, match="revision at place"):
        chain.verify()
