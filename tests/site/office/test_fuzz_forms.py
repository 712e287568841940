"""Whatever is sent to a form of cards: an answer in words, never a fault of ours, and nothing half written."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bedwright.works.kinds import KINDS
from bedwright.works.works import Works

LENIENT = settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
SPOILT = st.one_of(
    st.text(max_size=80),
    st.sampled_from(
        (
            "", "-1", "0", "1e999", "nan", "inf", "TRUE", "١٢", "2,5", "1,000", "13.5 SWG", "13 1/2 SWG", "2026-02-30",
            "99:99", "=1+1", "@x", "A" * 3000, "\x00", "\x1b[2J", "a\r\nb", "‮x", "𝟚", "9" * 400, "<b>x</b>",
            "{{ x }}", "' or 1=1 --", "../../x",
        )
    ),
)  # fmt: skip
ACTS = st.sampled_from(
    ("save", "", "add-zones", "add-layers", "add-x", "remove-layers-0", "remove-layers-999", "remove-layers--1", "drop")
)


def _with_rows(small_works: Works) -> list[tuple[str, str]]:
    found = []
    for kind in KINDS:
        cards = sorted(small_works.of_kind(kind), key=lambda card: -len(card.model_dump_json()))
        found += [(kind.SHEET, card.code) for card in cards[:1]]
    return found


def test_an_edit_takes_any_text_in_any_box(owner: Any, sheet: Callable[[Any], Any], small_works: Works) -> None:
    from django.urls import reverse

    from bedsite.records import chain

    pages = {}
    for name, code in _with_rows(small_works):
        at = reverse("office:card-edit", args=(name, code))
        pages[at] = sheet(owner.get(at)).form("made-from")

    @LENIENT
    @given(data=st.data())
    def tried(data: st.DataObject) -> None:
        at = data.draw(st.sampled_from(sorted(pages)))
        names = sorted(set(pages[at]) - {"csrfmiddlewaretoken"})
        spoilt = data.draw(st.dictionaries(st.sampled_from(names), SPOILT, min_size=1, max_size=4))
        sent = pages[at] | {name: [value] for name, value in spoilt.items()} | {"act": [data.draw(ACTS)]}
        answer = owner.post(at, sent)
        assert answer.status_code in (200, 302, 400, 404, 422), (at, spoilt)
        if answer.status_code == 422:
            told = sheet(answer)
            for name, value in spoilt.items():
                if name.startswith("f-") and value and not set(value) & set("\0\r\n"):
                    assert dict(told.form("made-from")).get(name, [value])[0] == value, "what was typed stays"

    tried()
    assert chain.verify().revisions > 0


def test_a_new_card_takes_any_text_in_any_box(owner: Any, sheet: Callable[[Any], Any]) -> None:
    pages = {
        f"/cards/{kind.SHEET}/new/": sheet(owner.get(f"/cards/{kind.SHEET}/new/")).form("f-code") for kind in KINDS
    }

    @LENIENT
    @given(data=st.data())
    def tried(data: st.DataObject) -> None:
        at = data.draw(st.sampled_from(sorted(pages)))
        names = sorted(pages[at])
        spoilt = data.draw(st.dictionaries(st.sampled_from(names), SPOILT, max_size=8))
        answer = owner.post(at, pages[at] | {name: [value] for name, value in spoilt.items()} | {"act": ["save"]})
        assert answer.status_code in (302, 422), (at, spoilt)

    tried()


@LENIENT
@given(
    question=st.dictionaries(
        st.sampled_from(("search", "show", "sort", "down", "after", "gone", "like", "before", "rows", "said")), SPOILT
    ),
    page=st.sampled_from(("", "table/", "new/", "card/W22/", "card/W22/history/", "card/W22/compare/", "card/~00/")),
    name=st.sampled_from(("wires", "beds", "units", "about", "nothing")),
)
def _asked(client: Any, question: dict[str, str], page: str, name: str) -> None:
    answer = client.get(f"/cards/{name}/{page}", question)
    assert answer.status_code in (200, 404), (name, page, question)


def test_a_list_takes_any_question(owner: Any) -> None:
    _asked(owner)


def test_a_merge_takes_any_choice(owner: Any, sheet: Callable[[Any], Any], small_works: Works, me: str) -> None:
    from bedsite.records import cards

    card = next(bed for bed in small_works.beds if len(bed.layers) > 2)
    cards.put(card.model_copy(update={"note": "one", "layers": card.layers[:-1]}), expected=1, who=me)
    cards.put(card.model_copy(update={"note": "two", "layers": card.layers[1:]}), expected=1, who=me)
    at = f"/cards/beds/card/{card.code}/3/merge/"
    page = sheet(owner.get(at))
    names = sorted({box["name"] for box in page.boxes if box.get("name")} - {"csrfmiddlewaretoken", "made-from"})
    assert any(name.startswith("pick-r-layers-") for name in names)
    base = page.form("made-from")

    @LENIENT
    @given(
        spoilt=st.dictionaries(st.sampled_from(names), st.one_of(SPOILT, st.sampled_from(("now", "aside", "other"))))
    )
    def tried(spoilt: dict[str, str]) -> None:
        answer = owner.post(at, base | {name: [value] for name, value in spoilt.items()})
        assert answer.status_code in (302, 422), spoilt

    tried()
