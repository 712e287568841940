"""Words, cards and house rules: nothing listed that nothing reads, and the pages made from them are current."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

from bedwright.words import WORDS
from bedwright.works.kinds import KINDS, child_rows
from bedwright.works.rules import DEFAULTS

ROOT = Path(__file__).parent.parent
MODELS = [model for kind in KINDS for model in (kind, *child_rows(kind).values())]


def words_of_cards() -> set[str]:
    found = set()
    for model in MODELS:
        for info in model.model_fields.values():
            extra = info.json_schema_extra
            if isinstance(extra, dict) and "word" in extra:
                found.add(str(extra["word"]))
    return found


def test_the_pages_of_words_and_cards_are_current() -> None:
    command = [sys.executable, str(ROOT / "tools" / "words-page"), "--check"]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout) == (0, "docs/words is current\n"), done.stdout + done.stderr


def test_every_word_is_on_some_card() -> None:
    assert sorted(set(WORDS) - words_of_cards()) == []


@pytest.mark.parametrize("key", sorted(WORDS))
def test_a_word_can_be_read(key: str) -> None:
    word = WORDS[key]
    assert word.meaning and word.low < word.high
    if word.usual is not None:
        low, high = word.usual
        assert word.low <= low < high <= word.high


def test_every_house_rule_is_read_somewhere() -> None:
    """A rule on the sheet that nothing reads would look like a figure that counts."""
    rooms = (path for path in (ROOT / "src" / "bedwright").rglob("*.py") if path.name != "rules.py")
    quoted = set(re.findall(r'"([a-z0-9_]+)"', "\n".join(path.read_text(encoding="utf-8") for path in rooms)))
    assert sorted(set(DEFAULTS) - quoted) == []


@pytest.mark.parametrize("code", sorted(DEFAULTS))
def test_a_default_lies_in_its_own_usual_range(code: str) -> None:
    rule = DEFAULTS[code]
    assert rule.low <= rule.value <= rule.high and rule.meaning
