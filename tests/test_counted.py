"""One thing is said in the singular, wherever the program counts."""

from __future__ import annotations

import pytest

from bedwright.cutting.plan import Proof
from bedwright.words import counted


@pytest.mark.parametrize(
    ("count", "words"), [(0, "0 van loads"), (1, "1 van load"), (2, "2 van loads"), (21, "21 van loads")]
)
def test_one_is_singular(count: int, words: str) -> None:
    assert counted(count, "van load") == words


def test_a_plural_of_its_own() -> None:
    assert [counted(count, "bus", "buses") for count in (1, 2)] == ["1 bus", "2 buses"]


def test_a_cut_plan_speaks_of_one_order() -> None:
    assert Proof(10, 10, "", 1, 1).words() == "least possible, proven; 1 order tried"
    assert Proof(10, 10, "", 3, 1).words() == "least possible, proven; 3 orders tried"
