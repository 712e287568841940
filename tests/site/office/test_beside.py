"""Beds side by side, as people with each role meet them."""

from __future__ import annotations

import re
from typing import Any

import pytest

PAGE = "/side-by-side?bed=KNOT&bed=RUFF&size=150"


def text(answer: Any, status: int = 200) -> str:
    assert answer.status_code == status, answer.content.decode()[:2000]
    return str(answer.content.decode())


def sent(*beds: str, size: str = "150", person: str = "") -> dict[str, Any]:
    return {"bed": [*beds, *[""] * (4 - len(beds))], "size": size, "person": [person, ""]}


def test_two_beds_from_the_asking_to_the_sheet(owner: Any, me: str, sheet: Any, signed_in: Any) -> None:
    from bedsite.longwork.working import Worker
    from bedsite.records import cards, ledger
    from bedwright.reckoning import Reckoning

    for filling in ledger.read_works().fillings:
        cards.put(filling.model_copy(update={"hardness_40": 4.0}), expected=1, who=me)
    assert "Not reckoned yet" in text(owner.get(PAGE))
    asked = owner.post("/side-by-side", sent("KNOT", "RUFF"))
    assert asked.status_code == 302 and asked["Location"] == PAGE
    waits = text(owner.get(PAGE))
    came = re.search(r'hx-get="(/side-by-side/came/[^"]+)"', waits)
    assert came and "waiting" in waits and "cancel it" in waits
    assert Worker().one()
    assert "every 2s" not in text(owner.get(came[1]))
    page = sheet(owner.get(PAGE))
    held = Reckoning(ledger.read_works())
    for code in ("KNOT", "RUFF"):
        assert f"{held.bill(code, '150').mass:.1f}"[:-1] in page.text
    assert "hardness H, tangent" in page.text and "against KNOT" in page.text and "cost of one" in page.text
    assert re.search(r"RUFF (is|has|takes|brings) ", page.text), "differences in words"
    drawing = re.search(r'hx-get="(/beds/drawn/[^"]+/curve-1)"', text(owner.get(PAGE)))
    assert drawing and text(owner.get(drawing[1], headers={"HX-Request": "true"})).startswith("<svg")
    viewer = signed_in("viewer")
    assert "cost of one" not in text(viewer.get(PAGE)) and viewer.post("/side-by-side", {}).status_code == 403


@pytest.mark.parametrize(
    ("form", "box", "says"),
    [
        (sent(), "1-box-bed", "stands beside nothing"),
        (sent("KNOT", "KNOT"), "1-box-bed", "is named twice"),
        (sent("KNOT", "NOBODY"), "1-box-bed", "is no bed of this works"),
        (sent("KNOT", "RUFF", size="9"), "box-size", "is no size of this works"),
        (sent("KNOT", "RUFF", person="child 900 mm 15 kg"), "0-box-person", "neither man nor woman"),
    ],
)
def test_every_refusal_is_a_sentence_under_its_box(owner: Any, sheet: Any, form: Any, box: str, says: str) -> None:
    from bedsite.records.models import Job

    answer = owner.post("/side-by-side", form)
    assert answer.status_code == 422 and says in sheet(answer).text
    assert f'id="{box}-fault"' in answer.content.decode() and Job.objects.count() == 0
