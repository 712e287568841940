"""Every stored format of the ledger so far is read for ever: opened, brought up, verified, saying the same."""

from __future__ import annotations

import hashlib
import importlib.util
import json
import shutil
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from bedsite import opening
from bedsite.store import Place

HERE = Path(__file__).parent
SAMPLES = sorted(HERE.glob("ledger-format-*.sqlite3"))


def maker() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_ledger", HERE / "make_ledger.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(params=SAMPLES, ids=lambda sample: sample.stem)
def sample(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[dict[str, Any]]:
    """A copy of a sample, opened; gives what was written down of it when it was made."""
    copy = tmp_path / "ledger.sqlite3"
    shutil.copyfile(request.param, copy)
    opening.open_ledger(Place(path=copy))
    yield json.loads(request.param.with_suffix(".json").read_text(encoding="utf-8"))
    from django.db import connections

    connections.close_all()


def within(frozen: Any, found: Any, place: str = "") -> list[str]:
    """Where something frozen is not found again; a field that came later, with its default, is no matter."""
    if isinstance(frozen, dict) and isinstance(found, dict):
        return [line for key in frozen for line in within(frozen[key], found.get(key), f"{place}.{key}")]
    if isinstance(frozen, list) and isinstance(found, list) and len(frozen) == len(found):
        return [
            line for n, (a, b) in enumerate(zip(frozen, found, strict=True)) for line in within(a, b, f"{place}[{n}]")
        ]
    return [] if frozen == found else [f"{place}: {frozen!r} was written, {found!r} is read"]


def test_there_is_a_sample_of_every_format(sample: dict[str, Any]) -> None:
    from bedsite.records.formats import LEDGER_FORMAT

    numbers = [int(path.stem.rsplit("-", 1)[1]) for path in SAMPLES]
    assert numbers == list(range(1, LEDGER_FORMAT + 1))


def test_a_sample_says_what_it_said(sample: dict[str, Any]) -> None:
    assert within(sample, json.loads(json.dumps(maker().told()))) == []


def test_a_sample_holds_one_of_everything(sample: dict[str, Any]) -> None:
    """So that the comparison above proves something."""
    from bedsite.records.payloads import TYPES

    assert {row[2] for row in sample["events"]} == set(TYPES)
    history = sample["histories"]["wire W22"]
    assert [row[2] for row in history].count(True) == 2 and any(row[3] for row in history), (
        "asides, one of them settled"
    )
    assert any(row[4] for row in sample["histories"]["wire GONE"])
    assert {row[1] for row in sample["released"]} == {"works order", "run", "bundle", "serial"}
    assert {row[3] for row in sample["steps"]} >= {"to do", "done", "trouble"}
    assert any(erased for *_, erased in sample["people"]) and len(sample["papers"]) == 1
    corrected = [one for rows in sample["standing"].values() for one in rows if one[0] == "sample-1000"]
    assert corrected[0][1]["figure"] == 245.0
    assert not any(one[0] == "sample-1004" for rows in sample["standing"].values() for one in rows)


def test_a_sample_can_be_written_on(sample: dict[str, Any]) -> None:
    from bedsite.records import cards, chain, ledger, people
    from bedwright.works.springs import Wire

    end = chain.verify({int(sample["end"][0]): str(sample["end"][1])})
    wire = cards.card_in(cards.head("wire", "W22"))
    assert isinstance(wire, Wire)
    head = cards.head("wire", "W22").number
    cards.put(wire.model_copy(update={"diameter": 3.0}), expected=head, who=people.command_line())
    assert chain.verify({end.seq: end.hash}).seq == end.seq + 1
    assert ledger.works_at(sample["revision"]).wires["W22"].diameter == wire.diameter


def test_a_sample_is_backed_up_and_restored(sample: dict[str, Any], tmp_path: Path) -> None:
    from click.testing import CliRunner

    from bedcli.main import main
    from bedsite.records import chain
    from bedsite.records.backup import backup

    backup(tmp_path / "kept.sqlite3")
    done = CliRunner().invoke(main, ["restore", str(tmp_path / "kept.sqlite3"), str(tmp_path / "new")])
    assert done.exit_code == 0, done.output
    opening.open_ledger(Place(path=tmp_path / "new" / "ledger.sqlite3"))
    assert [chain.verify().seq, chain.verify().hash] == sample["end"][:2]


def test_old_bodies_are_raised_and_keep_their_content_ids(
    sample: dict[str, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    """An invented step of a schema: wires were kept with their diameter in inches under another name."""
    from bedsite.records import bodies, cards, chain, formats, ledger, people
    from bedsite.records.models import Revision
    from bedwright.errors import NotReadable
    from bedwright.works.springs import Wire

    def first(body: dict[str, Any]) -> dict[str, Any]:
        return body | {"half_of_it": body["diameter"] / 2}

    def second(body: dict[str, Any]) -> dict[str, Any]:
        rest = {key: value for key, value in body.items() if key != "half_of_it"}
        return rest | {"diameter": body["half_of_it"] * 2 + 1}

    before = {code: wire.diameter for code, wire in ((one.code, one) for one in ledger.read_works().wires)}
    monkeypatch.setattr(formats, "SCHEMA", {"wire": 3})
    monkeypatch.setattr(formats, "UPCASTERS", {("wire", 1): first, ("wire", 2): second})
    bodies._card.cache_clear()
    try:
        after = {one.code: one.diameter for one in ledger.read_works().wires}
        assert after == {code: pytest.approx(value + 1) for code, value in before.items()}
        assert {str(row.seq): row.content for row in Revision.objects.all()} == sample["contents"]
        for row in Revision.objects.all():
            assert hashlib.sha256(row.body.encode()).hexdigest() == row.content, "nothing stored was touched"
        chain.verify()
        head = cards.head("wire", "W19")
        wire = cards.card_in(head)
        assert isinstance(wire, Wire)
        cards.put(wire.model_copy(update={"name": "new form"}), expected=head.number, who=people.command_line())
        assert [row.schema for row in cards.history("wire", "W19")][:2] == [3, 1]
        assert ledger.read_works().wires["W19"].diameter == wire.diameter, "the new form is not raised again"
        chain.verify()
        monkeypatch.setattr(formats, "SCHEMA", {})
        bodies._card.cache_clear()
        with pytest.raises(NotReadable, match="has schema 3"):
            cards.card_in(cards.head("wire", "W19"))
    finally:
        bodies._card.cache_clear()
