"""A backup is one moment of the ledger, whole and by itself, while everybody goes on writing."""

from __future__ import annotations

import multiprocessing
import sqlite3
import stat
from contextlib import closing
from pathlib import Path

import pytest

from bedsite import opening, store
from bedsite.store import Place
from bedwright.errors import NotReadable


def write_on(text: str, name: str, stop: object, written: object) -> None:
    """A process of its own: a new revision of one card and an event, again and again."""
    opening.open_ledger(store.named(text))
    from bedsite.records import cards, events, people
    from bedsite.records.payloads import Claim
    from bedwright.works.springs import Wire

    me = people.command_line()
    number = 0
    while not stop.is_set() or number < 3:  # type: ignore[attr-defined]
        number += 1
        wire = Wire(code=name, name=f"number {number}", diameter=2.0)
        cards.put(wire, expected=cards.UNTOUCHED, who=me)
        events.append(Claim(says=f"claim {number}"), sender=f"{name}-{number:06d}", subject=name, who=me)
        written.value = number  # type: ignore[attr-defined]


def test_a_backup_while_four_write_is_one_moment(works_folder: Path, tmp_path: Path) -> None:
    from bedsite.records import chain
    from bedsite.records.backup import backup

    place = store.place_of(works_folder)
    assert place is not None
    spawn = multiprocessing.get_context("spawn")
    stop = spawn.Event()
    counts = [spawn.Value("i", 0) for _ in range(4)]
    writers = [
        spawn.Process(target=write_on, args=(place.text, f"WRITER-{number}", stop, count))
        for number, count in enumerate(counts)
    ]
    for one in writers:
        one.start()
    try:
        while any(count.value < 2 for count in counts):  # type: ignore[attr-defined]
            assert all(one.is_alive() for one in writers)
        copies, before = [], [count.value for count in counts]  # type: ignore[attr-defined]
        for number in range(3):
            copies.append(backup(tmp_path / f"copy-{number}.sqlite3"))
        during = [count.value for count in counts]  # type: ignore[attr-defined]
    finally:
        stop.set()
        for one in writers:
            one.join(60)
    assert all(one.exitcode == 0 for one in writers)
    assert sum(during) > sum(before), "the writers went on"
    whole = chain.verify()
    assert copies[0].seq < copies[2].seq < whole.seq
    for number, copied in enumerate(copies):
        opening.open_ledger(Place(path=tmp_path / f"copy-{number}.sqlite3"))
        found = chain.verify()
        assert (found.seq, found.hash) == (copied.seq, copied.hash)
        for name in range(4):
            from bedsite.records.models import Event, Head

            said = Event.objects.filter(subject=f"WRITER-{name}").count()
            assert Head.objects.get(kind="wire", folded=f"writer-{name}").number in (said, said + 1)
    opening.open_ledger(place)
    assert chain.verify({one.seq: one.hash for one in copies}).seq == whole.seq, "each copy is the chain's beginning"


def test_a_backup_is_one_file_of_its_owner_that_lets_nobody_in(works_folder: Path, me: str, tmp_path: Path) -> None:
    from bedsite.records import chain
    from bedsite.records.backup import backup
    from bedsite.records.models import OneTime, Person, Unlock

    OneTime.objects.create(token="t" * 64, what="owner", ends=chain.now())
    Unlock.objects.create(id="u" * 32, person=me, device="d", started=chain.now(), last_said=chain.now())
    copied = backup(tmp_path / "copy.sqlite3")
    assert sorted(path.name for path in tmp_path.iterdir() if path.name != "works") == ["copy.sqlite3"]
    assert stat.S_IMODE((tmp_path / "copy.sqlite3").stat().st_mode) == 0o600
    assert copied.revisions == copied.seq == chain.verify().seq
    with closing(sqlite3.connect(tmp_path / "copy.sqlite3")) as held:
        assert held.execute("PRAGMA journal_mode").fetchone() == ("delete",)
        for table in ("records_onetime", "records_unlock"):
            assert held.execute(f"SELECT count(*) FROM {table}").fetchone() == (0,)
        assert held.execute("SELECT count(*) FROM records_person").fetchone() == (Person.objects.count(),)
    assert b"t" * 64 not in (tmp_path / "copy.sqlite3").read_bytes()
    assert OneTime.objects.count() == Unlock.objects.count() == 1, "the ledger itself keeps them"


def test_a_backup_is_never_written_over(works_folder: Path, tmp_path: Path) -> None:
    from bedsite.records.backup import backup

    (tmp_path / "there").write_text("mine")
    with pytest.raises(FileExistsError):
        backup(tmp_path / "there")
    assert (tmp_path / "there").read_text() == "mine"


def test_rows_go_over_to_another_ledger_as_they_are(works_folder: Path, me: str, tmp_path: Path) -> None:
    """What a backup from PostgreSQL does, and a restore into it: tried between two files here."""
    from django.core.management import call_command

    from bedsite.records import cards, chain, events, snapshots
    from bedsite.records.backup import copy_rows, quickly_checked, second
    from bedsite.records.payloads import Claim
    from bedwright.works.springs import Wire

    cards.put(Wire(code="Ünï-1", name="'; --\\x00 =1", diameter=2.0), expected=0, who=me)
    events.append(Claim(says='"quoted"\nand more'), sender="claim-0001", subject="O-1", who=me)
    snapshots.keep(
        paper="bed sheet", name="x.pdf", subject="SNIPE", data=bytes(range(256)), media="application/pdf",
        results={"a": 1}, who=me, revision=1,
    )  # fmt: skip
    before = chain.verify()
    with second(Place(path=tmp_path / "copy.sqlite3")) as copy:
        call_command("migrate", database=copy, verbosity=0, interactive=False)
        with chain.reading():
            assert copy_rows("default", copy) > before.seq
    assert quickly_checked(tmp_path / "copy.sqlite3").hash == before.hash
    opening.open_ledger(Place(path=tmp_path / "copy.sqlite3"))
    assert chain.verify() == before
    cards.put(Wire(code="AFTER", name="it can be written on", diameter=2.0), expected=0, who=me)
    assert chain.verify().seq == before.seq + 1


@pytest.mark.parametrize("harm", ["cut short", "no ledger", "a row less", "another end"])
def test_the_quick_check_finds_what_is_plainly_wrong(works_folder: Path, tmp_path: Path, harm: str) -> None:
    from bedsite.records.backup import backup, quickly_checked

    copy = tmp_path / "copy.sqlite3"
    backup(copy)
    quickly_checked(copy)
    if harm == "cut short":
        copy.write_bytes(copy.read_bytes()[: copy.stat().st_size // 2])
    elif harm == "no ledger":
        copy.write_bytes(b"hello" * 1000)
    else:
        with closing(sqlite3.connect(copy)) as held:
            held.execute("DROP TRIGGER records_revision_no_delete")
            held.execute(
                "DELETE FROM records_revision WHERE seq = 5"
                if harm == "a row less"
                else "UPDATE records_chainend SET hash = 'x'"
            )
            held.commit()
    with pytest.raises(NotReadable, match=r"damaged|cannot be read"):
        quickly_checked(copy)
