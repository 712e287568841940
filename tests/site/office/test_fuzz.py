"""Whatever is sent to the pages of cards, the answer is a page: never a fault of ours, and the chain holds."""

from __future__ import annotations

import random
from collections.abc import Callable
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bedwright.works.kinds import KINDS
from bedwright.works.works import Works

TEXT = st.one_of(
    st.text(max_size=40),
    st.sampled_from(
        [
            "", "0", "-1", "1e999", "nan", "1/0", "٣", "2.2 mm", "13 1/2 SWG", "=1+1", "<script>", "' OR 1=1 --", "\0",
            "2026-02-30", "25:61", "x" * 5000, "W22", "../..", "{{ 1 }}", "\ud800", "99999999999999999999", "yes", "é",
        ]
    ),
)  # fmt: skip
ANSWERS = {200, 302, 400, 403, 404, 405, 409, 413, 422}
CALM = settings(
    max_examples=300,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)


@CALM
@given(
    place=st.integers(0, 10_000),
    changes=st.lists(st.tuples(st.integers(0, 200), TEXT), min_size=1, max_size=6),
    act=st.sampled_from(["save", "add-layers", "add-beds", "remove-layers-0", "remove-steps-99", "remove-x", "", "?"]),
    made_from=st.sampled_from(["1", "0", "-1", "7", "x"]),
)
def test_forms(
    owner: Any,
    sheet: Callable[[Any], Any],
    small_works: Works,
    place: int,
    changes: list[tuple[int, str]],
    act: str,
    made_from: str,
) -> None:
    all_cards = list(small_works.all_cards())
    card = all_cards[place % len(all_cards)]
    at = f"/cards/{card.SHEET}/card/{card.code}/edit/"
    page = owner.get(at)
    if page.status_code != 200:  # an earlier example took it out
        return
    sent = sheet(page).form("made-from")
    names = sorted(sent)
    for which, text in changes:
        sent[names[which % len(names)]] = [_sendable(text)]
    answer = owner.post(at, sent | {"act": [act], "made-from": [made_from]})
    assert answer.status_code in ANSWERS
    if answer.status_code != 302:
        sheet(answer)


@CALM
@given(
    kind=st.sampled_from([kind.SHEET for kind in KINDS] + ["about", "nothing", "wires "]),
    rest=st.sampled_from(
        ["", "new/", "table/", "card/W22/", "card/%00/", "card/../", "card/W22/history/", "card/W22/compare/",
         "card/W22/0/", "card/W22/99999999999999999999/", "card/W22/1/merge/", "card/w22/edit/"]
    ),
    query=st.dictionaries(
        st.sampled_from(["search", "sort", "show", "after", "gone", "down", "before", "rows", "like", "said"]), TEXT,
        max_size=4,
    ),
)  # fmt: skip
def test_addresses_and_queries(owner: Any, kind: str, rest: str, query: dict[str, str]) -> None:
    answer = owner.get(f"/cards/{kind}/{rest}", {name: _sendable(text) for name, text in query.items()})
    assert answer.status_code in ANSWERS | {301}
    if answer.streaming:
        b"".join(answer.streaming_content)


def test_the_chain_holds_after_random_saves(owner: Any, sheet: Callable[[Any], Any], small_works: Works) -> None:
    from bedsite.records import chain

    chance = random.Random(5)
    cards = list(small_works.all_cards())
    for _ in range(60):
        card = chance.choice(cards)
        at = f"/cards/{card.SHEET}/card/{card.code}/edit/"
        sent = sheet(owner.get(at)).form("made-from")
        name = chance.choice([one for one in sent if one.startswith("f-")])
        sent[name] = [chance.choice(["1", "2.5", "x", "", "W22", "yes", "2026-05-05"])]
        assert owner.post(at, sent | {"act": ["save"]}).status_code in ANSWERS
    assert chain.verify().events == 0


def _sendable(text: str) -> str:
    return text.encode("utf-8", "replace").decode()
