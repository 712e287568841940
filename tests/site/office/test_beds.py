"""Beds: the list, one bed's sheet, and what long work tells of it, as people with each role meet them."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest

PAGE = "/beds/SNIPE?size=150"


@pytest.fixture
def work_off(works_folder: object) -> Callable[[], int]:
    """Work off whatever waits, in this process."""
    from bedsite.longwork.working import Worker

    def all_of_it() -> int:
        worker, number = Worker(), 0
        while worker.one():
            number += 1
        return number

    return all_of_it


@pytest.fixture
def pressable(works_folder: object, me: str) -> Any:
    """The works with a figure of firmness on every filling; bed RUFF can be pressed."""
    from bedsite.records import cards, ledger

    for filling in ledger.read_works().fillings:
        cards.put(filling.model_copy(update={"hardness_40": 4.0}), expected=1, who=me)
    return ledger.read_works()


def text(answer: Any, status: int = 200) -> str:
    assert answer.status_code == status, answer.content.decode()[:2000]
    return str(answer.content.decode())


def test_the_list_finds_sorts_and_goes_out_as_csv(owner: Any, sheet: Any) -> None:
    whole = sheet(owner.get("/beds"))
    assert all(code in whole.text for code in ("SNIPE", "KNOT", "RUFF")) and "3 in all" in whole.text
    assert any(link.startswith("/beds/SNIPE?size=") for link in whole.links)
    down = text(owner.get("/beds?sort=code&down=1"))
    assert down.index(">SNIPE<") < down.index(">KNOT<") and 'aria-sort="descending"' in down
    pocket = sheet(owner.get("/beds?search=pocket&size=90"))
    assert "KNOT" in pocket.text and "SNIPE" not in pocket.text
    assert "No bed here holds “nowhere”" in text(owner.get("/beds?search=nowhere&sort=bad&page=x"))
    table = owner.get("/beds.csv?search=pocket")
    lines = table.content.decode().splitlines()
    assert lines[0].startswith("bed,name,unit") and [line[:4] for line in lines[1:]] == ["KNOT", "RUFF"]


def test_a_bed_stands_as_its_cards_say(owner: Any, sheet: Any) -> None:
    from bedsite.records.ledger import read_works
    from bedwright.reckoning import Reckoning

    held = Reckoning(read_works())
    at, bill = held.bed("SNIPE", "150"), held.bill("SNIPE", "150")
    page = sheet(owner.get(PAGE))
    for told in (f"Finished {at.height:.0f}", f"{bill.mass:.1f} ({bill.mass_low:.1f}", str(at.spring_count), "GBP"):
        assert told in page.text, told
    for layer in at.layers:
        assert f"{layer.face}{layer.position}" in page.text and layer.code in page.text
    order = [page.text.index(f" {words} ") for words in ("face A", "panel A", "face B", "panel B")]
    assert order == sorted(order), "from the upper face down"
    assert "/cards/beds/card/SNIPE/edit/" in page.links and "/cards/beds/card/SNIPE/history/" in page.links
    content = text(owner.get(PAGE))
    assert "<svg" in content and "Not pressed yet" in content and "data:" not in content
    assert len(content) < 60_000
    plan = owner.get("/beds/SNIPE/plan?size=150", headers={"HX-Request": "true"})
    assert text(plan).startswith("<svg") and "figcaption" in text(plan)
    assert owner.get("/beds/SNIPE/plan?size=150")["Content-Type"] == "image/svg+xml"
    assert owner.get("/beds/NOBODY").status_code == owner.get("/beds/SNIPE?size=none").status_code == 404


def test_a_changed_card_is_seen_at_once(owner: Any, me: str) -> None:
    from bedsite.records import cards, ledger

    before = text(owner.get(PAGE))
    card = ledger.read_works().beds["SNIPE"]
    cards.put(card.model_copy(update={"name": "quite another"}), expected=1, who=me)
    assert "quite another" not in before and "quite another" in text(owner.get(PAGE))


def test_a_pad_test_from_the_asking_to_its_drawings(
    owner: Any, sheet: Any, pressable: Any, work_off: Callable[[], int]
) -> None:
    from bedsite.longwork import kept_answers, queue

    asked = owner.post("/beds/RUFF/pad-test?size=150", {"pad_base": "solid", "pad_spot": "", "pad_edge": ""})
    assert asked.status_code == 302 and asked["Location"].startswith("/beds/RUFF?size=150")
    place = asked["Location"].partition("#")[0]
    waits = text(owner.get(place))
    fragment = re.search(r'hx-get="(/beds/came/([^"]+))"', waits)
    assert fragment and "waiting" in waits and "cancel it" in waits
    assert work_off() == 1
    came = text(owner.get(fragment[1]))
    assert came.lstrip().startswith('<div class="came">') and 'hx-trigger="every' not in came
    job = queue.job_of(fragment[2])
    assert job is not None and job.state == "done", job and job.message
    answer = kept_answers.read(job.question)
    value, low, high = answer["h_tangent"]
    assert low < value < high and "(" in answer["facts"][0]["value"]
    whole = sheet(owner.get(place))
    assert answer["facts"][0]["value"] in whole.text and answer["facts"][1]["value"] in whole.text
    assert "no measurement" in whole.text and "H, secant" in whole.text
    assert sheet(owner.get("/beds/RUFF?size=150")).text == whole.text, "the same question, whoever asks it again"
    later = re.search(r'hx-get="(/beds/drawn/[^"]+/section)"', text(owner.get(place)))
    assert later and text(owner.get(later[1], headers={"HX-Request": "true"})).startswith("<svg")


def test_a_bed_that_cannot_be_pressed_says_why(owner: Any, work_off: Callable[[], int]) -> None:
    place = owner.post("/beds/SNIPE/pad-test?size=150", {})["Location"].partition("#")[0]
    assert work_off() == 1
    told = text(owner.get(place))
    assert "It could not be done." in told and "filling WOOL: no figure of firmness" in told


def test_a_person_lies_with_caution_and_a_map(
    owner: Any, sheet: Any, pressable: Any, work_off: Callable[[], int]
) -> None:
    from bedwright.mechanics.lain import CAUTION

    said = {"person": "man 1755 mm 80 kg", "posture": "side", "second": "", "second_posture": "supine"}
    place = owner.post("/beds/RUFF/lying?size=150", said)["Location"].partition("#")[0]
    assert work_off() == 1
    assert CAUTION in sheet(owner.get(place)).text
    asked_for = re.search(r'hx-get="(/beds/drawn/[0-9a-f]{64}/map)"', text(owner.get(place)))
    assert asked_for
    content = text(owner.get(asked_for[1], headers={"HX-Request": "true"}))
    picture = re.search(r'href="(/beds/drawn/[0-9a-f]{64}/map-picture)"', content)
    assert "data:" not in content and CAUTION[:40] in content
    assert picture
    drawn = owner.get(picture[1])
    assert drawn["Content-Type"] == "image/png" and drawn.content.startswith(b"\x89PNG")
    assert owner.get(picture[1].replace("map-", "nothing-")).status_code == 404


@pytest.mark.parametrize(
    ("place", "box", "sent", "says"),
    [
        ("pad-test", "pad_base", {"pad_base": "straw"}, "is no base known here"),
        ("pad-test", "pad_spot", {"pad_spot": "9000, 10"}, "is off the bed"),
        ("pad-test", "pad_spot", {"pad_spot": "ten"}, "is not two lengths"),
        ("pad-test", "pad_face", {"pad_face": "C"}, "is no face"),
        ("lying", "person", {}, "nobody is said"),
        ("lying", "person", {"person": "child 900 mm 15 kg"}, "neither man nor woman"),
        ("lying", "person", {"person": "man 80 kg"}, "no stature is given"),
        ("lying", "person", {"second": "man 1755 mm 80 kg"}, "no first"),
        ("lying", "posture", {"person": "man 1755 mm 80 kg", "posture": "prone"}, "is no way to lie"),
    ],
)
def test_every_refusal_is_a_sentence_under_its_box(
    owner: Any, sheet: Any, place: str, box: str, sent: Any, says: str
) -> None:
    from bedsite.records.models import Job

    answer = owner.post(f"/beds/SNIPE/{place}?size=150", sent)
    assert answer.status_code == 422 and says in sheet(answer).text
    assert re.search(rf'id="box-{box}-fault"', answer.content.decode())
    assert Job.objects.count() == 0


def test_who_sees_no_money_sees_none_and_a_viewer_asks_nothing(signed_in: Any, sheet: Any) -> None:
    assert "GBP" in sheet(signed_in("planner").get(PAGE)).text
    for role in ("viewer", "inspector"):
        assert "GBP" not in text(signed_in(role, name=role).get(PAGE))
    viewer = signed_in("viewer", name="one more")
    assert "ask for the pad test" not in text(viewer.get(PAGE))
    assert viewer.post("/beds/SNIPE/pad-test?size=150").status_code == 403


def test_a_job_is_cancelled_from_the_bed(owner: Any) -> None:
    place = owner.post("/beds/SNIPE/pad-test?size=150", {})["Location"].partition("#")[0]
    action = re.search(r'action="(/beds/SNIPE/cancel/[^"]+)"', text(owner.get(place)))
    assert action
    assert owner.post(action[1].replace("&amp;", "&")).status_code == 302
    assert "Not pressed yet" in text(owner.get(place))


def test_predicted_stands_beside_measured(owner: Any, me: str, sheet: Any) -> None:
    from bedsite.longwork import kept_answers, queue
    from bedsite.records import cards, ledger
    from bedsite.records.models import Job

    card = ledger.read_works().beds["SNIPE"]
    rows = [
        {"position": at, "size": "150", "sample": f"sample {at}", "cycles": 30000, "hardness_before": read,
         "hardness_after": 4.0}
        for at, read in enumerate((5.5, 9.5), start=1)
    ]  # fmt: skip
    cards.put(type(card).make(**card.model_dump() | {"tests": tuple(rows)}), expected=1, who=me)
    assert "sample 2" in sheet(owner.get(PAGE)).text and "inside" not in sheet(owner.get(PAGE)).text
    owner.post("/beds/SNIPE/pad-test?size=150", {})
    job = Job.objects.get()
    answer = {"h_tangent": [5.0, 4.0, 6.0], "facts": [], "edge": [], "notes": [], "drawings": []}
    kept_answers.keep(job.question, job.kind, answer)
    assert queue.cancel(job.key)
    told = sheet(owner.get(PAGE)).text
    assert re.search(r"sample 1 .* 5.5 4 inside sample 2 .* 9.5 4 outside", told)
