"""Two people on one card, a thousand interleavings: nothing lost, and the ledger says what a plain list would say."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bedwright.works.springs import Wire

CODES = itertools.count()
WHO = ("a" * 32, "b" * 32)
ACTS = ("read", "put", "put", "put", "merge", "merge out", "bring back", "take out")
STEP = st.tuples(st.integers(0, 1), st.sampled_from(ACTS), st.integers(0, 3), st.integers(0, 30))
Said = tuple[int, bool]
"""(content, gone)."""


def wire(code: str, content: int) -> Wire:
    return Wire(code=code, name=f"as {content}", diameter=1.5, grade="SM", supplier="FERRUM", carbon="C-STEEL")


@dataclass
class Plain:
    """What should be: a list of revisions, and which counts. Shares nothing with the program."""

    rows: list[tuple[Said, int, str, bool]] = field(default_factory=list)  # (said, onto, who, aside)
    counts: int = 0
    open: list[int] = field(default_factory=list)

    def said(self, number: int) -> Said | None:
        return self.rows[number - 1][0] if number else None

    def add(self, said: Said, onto: int, who: str, settles: int = 0) -> tuple[str, int]:
        if not settles and self.said(self.counts) == said:
            return "same", self.counts
        late = onto != self.counts
        if late and not settles and self.said(onto) == said:
            return "same", onto
        if late:
            for number in self.open:
                if self.rows[number - 1][:3] == (said, onto, who):
                    return "aside", number
        self.rows.append((said, onto, who, late))
        number = len(self.rows)
        if late:
            self.open.append(number)
            return "aside", number
        state = "changed" if self.counts else "new"
        self.counts = number
        if settles:
            self.open.remove(settles)
        return state, number


STEPS = st.lists(STEP, min_size=2, max_size=12)


@settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(steps=STEPS)
def test_nothing_is_lost(works_folder: Path, steps: list[tuple[int, str, int, int]]) -> None:
    _play(steps)


@pytest.mark.full
@settings(max_examples=1000, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(steps=STEPS)
def test_nothing_is_lost_in_a_thousand(works_folder: Path, steps: list[tuple[int, str, int, int]]) -> None:
    _play(steps)


def _play(steps: list[tuple[int, str, int, int]]) -> None:
    from bedsite.records import cards

    code = f"T{next(CODES)}"
    plain = Plain()
    seen = [0, 0]  # the number that each had before him
    for hand, act, content, pick in steps:
        who, onto = WHO[hand], seen[hand]
        if act == "read":
            seen[hand] = plain.counts
            continue
        if act == "put":
            put = cards.put(wire(code, content), expected=onto, who=who)
            expected = plain.add((content, False), onto, who)
        elif not plain.rows:
            continue
        elif act.startswith("merge"):
            if not plain.open:
                continue
            aside, gone = plain.open[pick % len(plain.open)], act == "merge out"
            put = cards.merge(wire(code, content), aside=aside, expected=onto, who=who, gone=gone)
            expected = plain.add((content, gone), onto, who, settles=aside)
        elif act == "bring back":
            old = 1 + pick % len(plain.rows)
            put = cards.bring_back("wire", code, old, expected=onto, who=who)
            expected = plain.add(plain.rows[old - 1][0], onto, who)
        else:
            put = cards.take_out("wire", code, expected=onto, who=who)
            base = plain.said(onto) or plain.said(plain.counts)
            assert base is not None
            expected = plain.add((base[0], True), onto, who)
        assert (put.state, put.number, put.head) == (*expected, plain.counts), (act, put, expected)
        if put.state in ("new", "changed"):
            seen[hand] = put.number
        _agree(code, plain)


def _agree(code: str, plain: Plain) -> None:
    from bedsite.records import cards

    rows = cards.history("wire", code)[::-1]
    said = [((int(cards.card_in(row).name.split()[1]), row.gone), row.onto, row.who, row.aside) for row in rows]
    assert said == plain.rows
    assert [row.number for row in rows] == list(range(1, len(rows) + 1))
    head = cards.head("wire", code)
    assert (head.number, head.last, head.asides) == (plain.counts, len(plain.rows), len(plain.open))
    assert (int(cards.card_in(head).name.split()[1]), head.gone) == plain.said(plain.counts)
    assert [row.number for row in cards.open_asides("wire", code)] == plain.open


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(steps=st.lists(STEP, min_size=8, max_size=20))
def test_the_chain_holds_after_each(works_folder: Path, steps: list[tuple[int, str, int, int]]) -> None:
    from bedsite.records import cards, chain

    code = f"C{next(CODES)}"
    last = 0
    for hand, act, content, pick in steps:
        if act == "put" or not last:
            last = cards.put(wire(code, content), expected=pick % (last + 1), who=WHO[hand]).number or last
        elif act == "take out":
            cards.take_out("wire", code, expected=pick % (last + 1), who=WHO[hand])
        elif act.startswith("merge") and (kept := cards.open_asides("wire", code)):
            cards.merge(wire(code, content), aside=kept[0].number, expected=pick % (last + 1), who=WHO[hand])
        last = cards.head("wire", code).last
    chain.verify()
