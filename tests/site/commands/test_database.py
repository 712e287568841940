"""The ledger in a PostgreSQL database: adopted, backed up, restored, emptied after a failure."""

from __future__ import annotations

import stat
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import Result

from bedsite import opening, store
from bedwright.works.workbook.writer import write_works
from bedwright.works.works import Works

Run = Callable[..., Result]


@pytest.fixture
def empty(postgres: Any, request: pytest.FixtureRequest) -> Callable[[], str]:
    """Makes an empty database and gives its URL."""

    def made() -> str:
        postgres.count += 1
        name = f"empty{postgres.count}"
        postgres.run(f"CREATE DATABASE {name}")
        return str(postgres.url(name))

    return made


@pytest.fixture
def works(tmp_path: Path, small_works: Works) -> Path:
    folder = tmp_path / "mine"
    folder.mkdir()
    write_works(small_works, folder / "works.xlsx")
    return folder


def tables(url: str) -> list[str]:
    import psycopg

    with psycopg.connect(url) as held:
        found = held.execute("SELECT tablename FROM pg_tables WHERE schemaname = 'public'").fetchall()
        found += held.execute("SELECT proname FROM pg_proc WHERE proname = 'ledger_never_changed'").fetchall()
    return [name for (name,) in found]


def test_the_whole_way_through_a_database(works: Path, empty: Callable[[], str], run: Run, tmp_path: Path) -> None:
    done = run("adopt", works, "--database", empty())
    assert done.exit_code == 0, done.output
    assert not (works / store.LEDGER).exists()
    assert stat.S_IMODE((works / store.LEDGER_URL).stat().st_mode) == 0o600
    assert run("adopt", works, "--database", empty()).exit_code == 2
    from bedsite.records import cards, chain, ledger, people

    opening.open_ledger(store.place_of(works))  # type: ignore[arg-type]
    wire = ledger.read_works().wires["W22"]
    cards.put(wire.model_copy(update={"name": "Ünï"}), expected=1, who=people.command_line())
    before, content = chain.verify(), ledger.read_works().content()
    assert run("backup", works, tmp_path / "kept.sqlite3").exit_code == 0

    done = run("restore", tmp_path / "kept.sqlite3", tmp_path / "file")
    assert done.exit_code == 0, done.output
    opening.open_ledger(store.Place(path=tmp_path / "file" / store.LEDGER))
    assert chain.verify() == before and ledger.read_works().content() == content

    url = empty()
    done = run("restore", tmp_path / "kept.sqlite3", tmp_path / "base", "--database", url)
    assert done.exit_code == 0, done.output
    assert sorted(path.name for path in (tmp_path / "base").iterdir()) == [
        ".serve.lock", ".view", "ledger.url", "works.xlsx",
    ]  # fmt: skip
    opening.open_ledger(store.named(url))
    assert chain.verify() == before and ledger.read_works().content() == content
    cards.put(wire.model_copy(update={"name": "on"}), expected=2, who=people.command_line())
    from bedsite.records.models import Device, DoorNote

    DoorNote.objects.create(at=chain.now(), what="sign-in")  # keys go on where the copied ones ended
    Device.objects.create(key="d" * 32, name="tablet", place="build", made_at=chain.now())
    assert run("verify", tmp_path / "base").exit_code == 0
    again = run("restore", tmp_path / "kept.sqlite3", tmp_path / "third", "--database", url)
    assert again.exit_code == 2 and "holds a works already" in again.output


def test_a_database_with_other_peoples_tables_is_left_alone(works: Path, empty: Callable[[], str], run: Run) -> None:
    import psycopg

    url = empty()
    with psycopg.connect(url) as held:
        held.execute("CREATE TABLE theirs (id int)")
    done = run("adopt", works, "--database", url)
    assert done.exit_code == 2 and "'theirs'" in done.output
    assert tables(url) == ["theirs"] and store.place_of(works) is None


def test_after_a_failure_the_database_is_as_empty_as_before(
    works: Path, empty: Callable[[], str], run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    from bedsite.records import ledger
    from bedwright.errors import NotReadable

    def fails(*_: object, **__: object) -> int:
        raise NotReadable("something broke")

    url = empty()
    monkeypatch.setattr(ledger, "take_in", fails)
    assert run("adopt", works, "--database", url).exit_code == 2
    assert tables(url) == [] and store.place_of(works) is None
    monkeypatch.undo()
    assert run("adopt", works, "--database", url).exit_code == 0


def test_what_is_no_database_is_refused_in_one_line(works: Path, run: Run) -> None:
    for url in ("nonsense", "mysql://a/b", "postgresql://nobody@127.0.0.1:1/none"):
        done = run("adopt", works, "--database", url)
        assert done.exit_code == 2 and done.output.count("\n") == 1, done.output
        assert store.place_of(works) is None
