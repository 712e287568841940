"""Cards of every kind go through their stored body unchanged, whatever is typed into them."""

from __future__ import annotations

from datetime import date, time, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import BaseModel, ValidationError

from bedwright.errors import OutsideRange
from bedwright.works.card import Card
from bedwright.works.kinds import KINDS
from bedwright.works.workbook.csv_folder import read_csv_folder
from bedwright.works.works import Works

DEMO = Path(__file__).resolve().parents[3] / "demo"
EVERY: dict[str, list[Card]] = {}


@pytest.fixture(scope="module", autouse=True)
def every(small_works: Works, ledger_templates: object) -> None:
    """Cards by kind: the small works' and the demo's, so that each kind has some. Django is set up by then."""
    for works in (small_works, read_csv_folder(DEMO)):
        for card in works.all_cards():
            EVERY.setdefault(card.KIND, []).append(card)


def test_every_kind_is_here() -> None:
    assert [kind.KIND for kind in KINDS if not EVERY.get(kind.KIND)] == []


TEXTS = st.text(max_size=30)
FACTORS = st.floats(0.5, 2) | st.sampled_from([1.0, 1 + 1e-10, 1 / 3])


def altered(model: BaseModel, draw: Any) -> BaseModel:
    """The same with its texts, figures, days and nested rows changed, one draw a field; may not validate."""
    values: dict[str, Any] = {}
    for name in type(model).model_fields:
        value = getattr(model, name)
        if name in ("note", "name"):
            value = draw(TEXTS)
        elif isinstance(value, bool) or value is None:
            pass
        elif isinstance(value, float):
            value *= draw(FACTORS)
        elif isinstance(value, Decimal):
            value = value.scaleb(draw(st.integers(-2, 1)))
        elif isinstance(value, date):
            value += timedelta(days=draw(st.integers(0, 400)))
        elif isinstance(value, time):
            value = value.replace(minute=draw(st.integers(0, 59)))
        elif isinstance(value, tuple) and value and isinstance(value[0], BaseModel):
            value = tuple(altered(row, draw) for row in value[: draw(st.integers(0, len(value)))])
        values[name] = value
    return type(model).model_construct(**values)


@pytest.mark.parametrize("kind", [kind.KIND for kind in KINDS])
@settings(max_examples=25, deadline=None)
@given(data=st.data())
def test_a_card_comes_out_as_it_went_in(kind: str, data: st.DataObject) -> None:
    from bedsite.records.bodies import body_of, card_of, content_of, words_in

    card = data.draw(st.sampled_from(EVERY[kind]))
    try:
        changed = type(card).model_validate(altered(card, data.draw).model_dump(), strict=True)
    except ValidationError:
        changed = card
    try:
        body = body_of(changed)
    except OutsideRange:  # half a character
        return
    found = card_of(kind, 1, body)
    assert body_of(found) == body
    assert content_of(found) == content_of(changed)
    assert words_in(kind, body) == words_in(kind, body_of(found))
    assert "\0" not in body and "\0" not in words_in(kind, body)
    _same(changed.model_dump(), found.model_dump())


def _same(one: Any, other: Any) -> None:
    """Equal; floats to nine significant digits, as they are kept."""
    assert type(one) is type(other)
    if isinstance(one, dict):
        assert one.keys() == other.keys()
        for key in one:
            _same(one[key], other[key])
    elif isinstance(one, (tuple, list)):
        assert len(one) == len(other)
        for left, right in zip(one, other, strict=True):
            _same(left, right)
    elif isinstance(one, float):
        assert f"{one:.9g}" == f"{other:.9g}"
    else:
        assert one == other
