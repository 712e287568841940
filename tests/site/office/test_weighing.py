"""The weigh-up of a brief: asked, watched, cancelled, shown; for who deals in money alone."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

import pytest

PAGE = "/briefs/WISH/weigh-up?work=2&seed=1"


@pytest.fixture
def wish(works_folder: Any, me: str) -> None:
    """A brief that bed RUFF begins, in a works whose fillings have a figure of firmness."""
    from bedsite.records import cards, ledger
    from bedwright.works.trading import Brief

    for filling in ledger.read_works().fillings:
        cards.put(filling.model_copy(update={"hardness_40": 4.0}), expected=1, who=me)
    brief = Brief(
        code="WISH", customer="QUIET", bed="RUFF", size="150", quantity=3, due=date(2026, 4, 1), h_low=2.0, h_high=9.0
    )
    cards.put(brief, expected=0, who=me)


def text(answer: Any, status: int = 200) -> str:
    assert answer.status_code == status, answer.content.decode()[:2000]
    return str(answer.content.decode())


def test_a_weigh_up_from_the_asking_to_the_best_set(wish: None, owner: Any, sheet: Any) -> None:
    from bedsite.longwork import kept_answers
    from bedsite.longwork.working import Worker
    from bedsite.records.models import Job

    assert "Not weighed up yet" in text(owner.get(PAGE))
    asked = owner.post("/briefs/WISH/weigh-up", {"work": "2", "seed": "1"})
    assert asked.status_code == 302 and asked["Location"] == PAGE
    waits = text(owner.get(PAGE))
    cancel = re.search(r'action="(/weigh-up/cancel/[^"]+)"', waits)
    assert cancel and "waiting" in waits and 'hx-trigger="every 2s"' in waits
    assert owner.post(cancel[1])["Location"] == PAGE
    assert "Not weighed up yet" in text(owner.get(PAGE))
    owner.post("/briefs/WISH/weigh-up", {"work": "2", "seed": "1"})
    assert Worker().one()
    job = Job.objects.order_by("-pk").first()
    assert job is not None and job.state == "done", job and job.message
    answer = kept_answers.read(job.question)
    page = sheet(owner.get(PAGE))
    assert answer["members"] and all(one["code"] in page.text for one in answer["members"])
    assert all(figure in page.text for one in answer["members"] for figure in one["figures"])
    assert "none of these is beaten" in page.text.casefold() and "not measured" in page.text
    for place in (f"/work/{job.key}", "/cards/briefs/card/WISH/"):
        assert "/briefs/WISH/weigh-up" in text(owner.get(place))


def test_every_refusal_is_a_sentence_under_its_box(wish: None, owner: Any, sheet: Any) -> None:
    for box, value in (("work", "many"), ("work", "0"), ("seed", "-1")):
        answer = owner.post("/briefs/WISH/weigh-up", {box: value})
        assert answer.status_code == 422 and "is no whole number from" in sheet(answer).text
        assert f'id="box-{box}-fault"' in answer.content.decode()
    assert owner.get("/briefs/NOBODY/weigh-up").status_code == 404


def test_a_brief_that_aims_at_nothing_says_so(wish: None, owner: Any, me: str) -> None:
    from bedsite.records import cards, ledger

    brief = ledger.read_works().briefs["WISH"]
    cards.put(brief.model_copy(update={"allowed_parts": "NO-SUCH"}), expected=1, who=me)
    shown = text(owner.get(PAGE))
    assert "cannot be weighed up as it stands" in shown and "NO-SUCH" in shown
    assert "ask for the weigh-up" not in shown


@pytest.mark.parametrize("role", ["viewer", "inspector", "maker"])
def test_it_is_for_who_deals_in_money(wish: None, signed_in: Any, role: str) -> None:
    browser = signed_in(role)
    assert browser.get(PAGE).status_code == browser.post("/briefs/WISH/weigh-up").status_code == 403
