"""The starter works, and a way to change one card of it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from bedwright.works.card import Card
from bedwright.works.workbook.csv_folder import read_csv_folder
from bedwright.works.works import Works

STARTER = Path(__file__).resolve().parents[2] / "starter"


@pytest.fixture(scope="session")
def starter() -> Works:
    return read_csv_folder(STARTER)


Change = Callable[..., Works]


@pytest.fixture
def changed() -> Change:
    """changed(works, card, field=value, ...): the same works with one card made anew, checked as any card."""

    def change(works: Works, card: Card, **fields: Any) -> Works:
        values = {name: getattr(card, name) for name in type(card).model_fields}
        new = type(card).make(**{**values, **fields})
        return Works.of(works.about, [new if old is card else old for old in works.all_cards()])

    return change
