"""What makes two questions the same, and what makes them differ."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest

from bedwright.errors import NotReadable


def asked(**changed: Any) -> Any:
    from bedsite.longwork.kinds import OfTheWorks

    facts: dict[str, Any] = {"works": "a" * 64, "as_of": date(2026, 3, 2), "revision": 7, "released": 0}
    return OfTheWorks(**(facts | changed))


def test_where_to_read_it_is_no_part_of_a_question(works_folder: Path) -> None:
    from bedsite.longwork.question import question_of

    first = question_of("reckon", asked())
    assert first == question_of("reckon", asked(revision=9))
    assert first != question_of("reckon", asked(works="b" * 64))
    assert first != question_of("reckon", asked(as_of=date(2026, 3, 3)))


def test_papers_carry_their_revision_so_it_is_part_of_theirs(works_folder: Path) -> None:
    from bedsite.longwork.kinds import PapersOfTheWorks
    from bedsite.longwork.question import question_of

    both = [question_of("papers", PapersOfTheWorks(**asked(revision=number).model_dump())) for number in (7, 9)]
    assert both[0] != both[1]
    assert both[0] != question_of("reckon", asked())


def test_another_model_or_another_lock_is_another_question(works_folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from dataclasses import replace

    from bedsite.longwork import kinds, question

    first = question.question_of("reckon", asked())
    monkeypatch.setitem(kinds.KINDS, "reckon", replace(kinds.RECKON, model_version="next"))
    second = question.question_of("reckon", asked())
    monkeypatch.setattr(question, "lock_hash", lambda: "0" * 64)
    assert len({first, second, question.question_of("reckon", asked())}) == 3


def test_without_a_lock_file_the_installed_versions_count(works_folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from bedsite.longwork import question

    with_lock = question.lock_hash()
    monkeypatch.setattr(question, "_ROOT", works_folder)
    question.lock_hash.cache_clear()
    try:
        found = question.lock_hash()
        assert found != with_lock and len(found) == 64
        assert {"numpy", "pydantic"} <= {name for name, _ in question.installed()}
        monkeypatch.setattr(question, "installed", lambda: [["numpy", "0"]])
        question.lock_hash.cache_clear()
        assert question.lock_hash() != found
    finally:
        question.lock_hash.cache_clear()


def test_an_unknown_kind_is_refused_by_its_name(works_folder: Path) -> None:
    from bedsite.longwork.question import question_of

    with pytest.raises(NotReadable, match="'bake' is no long work of this program; there are lying, pad-test, papers"):
        question_of("bake", asked())


def test_inputs_are_strict(works_folder: Path) -> None:
    with pytest.raises(ValueError, match="revision"):
        asked(revision="7")
    with pytest.raises(ValueError, match="more"):
        asked(more=1)
