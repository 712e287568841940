"""A backup becomes a ledger only where there is none, and only when every row of it holds; damage is named."""

from __future__ import annotations

import fcntl
import random
import sqlite3
import stat
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from bedcli.main import main
from bedsite import opening, store


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, [str(argument) for argument in arguments])


@pytest.fixture
def lived_in(works_folder: Path, me: str) -> Path:
    """A works in which something happened: revisions, one aside, an event, a paper."""
    from bedsite.records import cards, events, ledger, snapshots
    from bedsite.records.payloads import Claim

    wire = ledger.read_works().wires["W22"]
    cards.put(wire.model_copy(update={"diameter": 2.3}), expected=1, who=me)
    cards.put(wire.model_copy(update={"diameter": 2.4}), expected=1, who=me)
    events.append(Claim(says="a dip in the middle"), sender="claim-0001", subject="O-1", who=me)
    snapshots.keep(
        paper="bed sheet", name="x.pdf", subject="SNIPE", data=b"%PDF-1.7 the very bytes", media="application/pdf",
        results={}, who=me, revision=ledger.revision_now(),
    )  # fmt: skip
    return works_folder


@pytest.fixture
def backup(lived_in: Path, tmp_path: Path) -> Path:
    done = run("backup", lived_in, tmp_path / "kept.sqlite3")
    assert done.exit_code == 0, done.output
    return tmp_path / "kept.sqlite3"


def test_a_backup_is_restored_into_a_new_works(lived_in: Path, backup: Path, tmp_path: Path) -> None:
    from bedsite.records import cards, chain, ledger, people, snapshots

    before, works = chain.verify(), ledger.read_works()
    done = run("restore", backup, tmp_path / "new")
    assert done.exit_code == 0, done.output
    assert before.hash in done.output
    new = tmp_path / "new"
    assert stat.S_IMODE((new / store.LEDGER).stat().st_mode) == 0o600
    assert not [path for path in new.iterdir() if "part" in path.name]
    opening.open_ledger(store.Place(path=new / store.LEDGER))
    assert chain.verify() == before
    assert ledger.read_works().content() == works.content()
    assert [row.number for row in cards.open_asides("wire", "W22")] == [3]
    (paper,) = snapshots.listed()
    assert snapshots.again(paper.id)[1] == b"%PDF-1.7 the very bytes"
    cards.put(works.wires["W22"], expected=2, who=people.command_line())
    assert run("verify", new).exit_code == 0
    assert run("faults", new).exit_code == 0, "and its view was written"


def test_a_ledger_is_never_written_over(lived_in: Path, backup: Path, tmp_path: Path) -> None:
    done = run("restore", backup, lived_in)
    assert done.exit_code == 2 and "never written over" in done.output
    assert run("restore", backup, tmp_path / "new").exit_code == 0
    assert run("restore", backup, tmp_path / "new").exit_code == 2


def test_a_running_server_is_in_the_way(backup: Path, tmp_path: Path) -> None:
    new = tmp_path / "new"
    new.mkdir()
    with (new / ".serve.lock").open("a") as held:
        fcntl.flock(held, fcntl.LOCK_EX)
        done = run("restore", backup, new)
        assert done.exit_code == 2 and "stop it first" in done.output
    assert store.place_of(new) is None
    assert run("restore", backup, new).exit_code == 0


def alone(backup: Path) -> Path:
    """The backup without its hash beside it, so that the rows themselves must tell."""
    backup.with_name(f"{backup.name}.sha256").unlink()
    return backup


def changed(backup: Path, *orders: str) -> None:
    """Change rows as somebody with the file in hand can: triggers off."""
    with closing(sqlite3.connect(backup)) as held:
        triggers = held.execute("SELECT name FROM sqlite_schema WHERE type = 'trigger'").fetchall()
        for (name,) in triggers:
            held.execute(f"DROP TRIGGER {name}")
        for order in orders:
            held.execute(order)
        held.commit()


def refused(backup: Path, tmp_path: Path) -> str:
    done = run("restore", backup, tmp_path / "new")
    assert done.exit_code == 2, done.output
    assert not list((tmp_path / "new").glob("*ledger*")) and store.place_of(tmp_path / "new") is None
    return done.output


def test_any_flipped_byte_is_found_by_the_files_hash(backup: Path, tmp_path: Path) -> None:
    data = bytearray(backup.read_bytes())
    draw = random.Random(5)
    for _ in range(20):
        spoilt = bytearray(data)
        spoilt[draw.randrange(len(data))] ^= 1 << draw.randrange(8)
        backup.write_bytes(spoilt)
        assert "is not the file that was written" in refused(backup, tmp_path)


def test_a_flipped_byte_in_a_card_is_named_by_its_place(backup: Path, tmp_path: Path) -> None:
    data = alone(backup).read_bytes()
    with closing(sqlite3.connect(backup)) as held:
        seq, body = held.execute(
            "SELECT seq, body FROM records_revision WHERE kind = 'wire' AND folded = 'w22' AND number = 3"
        ).fetchone()
    assert data.count(body.encode()) == 1, "an aside stands in its revision alone"
    spot = data.index(body.encode()) + body.index("2.4")
    backup.write_bytes(data[:spot] + b"9" + data[spot + 1 :])
    assert f"revision at place {seq}" in refused(backup, tmp_path)


def test_flipped_bytes_anywhere_never_change_what_is_restored(backup: Path, tmp_path: Path) -> None:
    """Without the hash beside it: a flip is refused, or it hit nothing that the chain covers."""
    from bedsite.records import chain, ledger

    before, content = chain.verify(), ledger.read_works().content()
    data = alone(backup).read_bytes()
    draw = random.Random(6)
    restored = 0
    for number in range(12):
        spoilt = bytearray(data)
        spoilt[draw.randrange(len(data))] ^= 1 << draw.randrange(8)
        backup.write_bytes(spoilt)
        new = tmp_path / f"new-{number}"
        done = run("restore", backup, new)
        assert done.exit_code in (0, 2), done.output
        assert not isinstance(done.exception, Exception) or isinstance(done.exception, SystemExit)
        if done.exit_code == 0:
            restored += 1
            opening.open_ledger(store.Place(path=new / store.LEDGER))
            assert chain.verify() == before and ledger.read_works().content() == content
    assert restored < 12


@pytest.mark.parametrize(
    ("orders", "says"),
    [
        (["DELETE FROM records_revision WHERE seq = 5", *["UPDATE records_chainend SET revisions = revisions - 1"]],
         "place 5 of the chain is missing"),
        (["DELETE FROM records_revision WHERE seq = 5"], "is damaged"),
        (["UPDATE records_revision SET who = 'x' WHERE seq = 7"], "revision at place 7"),
        (["UPDATE records_event SET body = '{}'"], "event at place"),
        (["UPDATE records_blob SET data = x'00'"], "kept file"),
        (["UPDATE records_snapshot SET blob_id = 'gone'"], "points at a row"),
        (["UPDATE records_head SET body = replace(body, '2.3', '2.9') WHERE folded = 'w22'"], "w22"),
        (["UPDATE records_chainend SET works_id = 'other'"], "place 1"),
    ],
)  # fmt: skip
def test_a_changed_row_is_named(backup: Path, tmp_path: Path, orders: list[str], says: str) -> None:
    changed(alone(backup), *orders)
    assert says.casefold() in refused(backup, tmp_path).casefold()


def test_a_file_cut_short_is_refused(backup: Path, tmp_path: Path) -> None:
    whole = alone(backup).read_bytes()
    for share in (0.1, 0.5, 0.9, 0.999):
        backup.write_bytes(whole[: int(len(whole) * share)])
        assert "damaged" in (said := refused(backup, tmp_path)) or "cannot be read" in said
    backup.write_bytes(b"")
    refused(backup, tmp_path)
    backup.write_text("hello")
    refused(backup, tmp_path)


def test_a_ledger_of_a_newer_program_is_refused(backup: Path, tmp_path: Path) -> None:
    changed(
        alone(backup),
        "INSERT INTO django_migrations (app, name, applied) VALUES ('records', '9999_later', '2030-01-01')",
    )
    assert "newer bedwright" in refused(backup, tmp_path)


def test_verify_names_the_first_place_that_does_not_hold(
    lived_in: Path, ledger_templates: Callable[[Path], store.Place]
) -> None:
    done = run("verify", lived_in)
    assert done.exit_code == 0 and "every row agrees with its hash" in done.output
    if (lived_in / store.LEDGER).is_file():
        changed(lived_in / store.LEDGER, "UPDATE records_event SET who = 'somebody else'")
        done = run("verify", lived_in)
        assert done.exit_code == 2 and "event at place" in done.output


def test_backups_get_names_of_their_own(lived_in: Path) -> None:
    for _ in range(2):
        assert run("backup", lived_in).exit_code == 0
    files = sorted(path.name for path in (lived_in / "backups").iterdir())
    assert len(files) == 4 and files[1] == f"{files[0]}.sha256"
    assert stat.S_IMODE((lived_in / "backups").stat().st_mode) == 0o700


def test_a_refusal_names_the_file_that_was_typed_and_leaves_no_folder(tmp_path: Path) -> None:
    from click.testing import CliRunner

    from bedcli.main import main

    wrong = tmp_path / "wrong.sqlite3"
    wrong.write_bytes(b"this is no ledger of anybody" * 400)
    done = CliRunner().invoke(main, ["restore", str(wrong), str(tmp_path / "other")])
    assert done.exit_code == 2 and "wrong.sqlite3" in done.output and "ledger-part" not in done.output
    assert not (tmp_path / "other").exists()
    done = CliRunner().invoke(main, ["restore", str(tmp_path), str(tmp_path / "other")])
    assert "is a folder" in done.output
