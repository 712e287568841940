"""The station asked by script and by form: unlock, scan, done, trouble, back; wrong clocks, locked, sent twice."""

from __future__ import annotations

import re
import uuid
from datetime import timedelta
from typing import Any

import pytest
from django.utils import timezone


def new_id() -> str:
    return str(uuid.uuid4())


def test_the_page_shows_next_in_large_letters_and_the_cautions_of_the_place(floor: Any) -> None:
    page = floor.client.get("/floor/station").content.decode()
    assert "Scan your badge" in page and "Tess Fold" in page
    assert re.search(r"data-f=.bed.>(Ruff|RUFF|Knot)<", page) and re.search(
        r"\d+ left for the van of Fri 13 Mar", page
    ), page
    assert "Not booked as done: sew flange" in page or "Not booked as done:" in page
    assert "<strong>Needles.</strong>" in page
    assert "<script>" not in page and "onclick" not in page and "style=" not in page


def test_one_scan_starts_a_bed_and_closes_the_last(floor: Any) -> None:
    floor.unlock()
    one, two = floor.serials[:2]
    first = floor.act("start", one, new_id())
    assert (first["state"], first["shown"]["mine"][0]["serial"]) == ("counted", one)
    assert first["notes"], "earlier steps are not booked, and that is said"
    second = floor.act("start", two, new_id())
    assert f"{one} is closed" in second["says"]
    assert [row["serial"] for row in second["shown"]["mine"]] == [two]
    assert second["shown"]["done"][0]["serial"] == one
    assert second["shown"]["person"] == "Tess Fold"


def test_an_act_counts_once_however_often_it_is_sent(floor: Any) -> None:
    from bedsite.records.models import Event

    floor.unlock()
    id_ = new_id()
    said = timezone.now().isoformat()
    states = [floor.act("start", floor.serials[0], id_, said=said)["state"] for _ in range(3)]
    assert states == ["counted", "again", "again"]
    assert Event.objects.filter(type="booking").count() == 1
    clash = floor.act("start", floor.serials[1], id_, said=said)
    assert clash["state"] == "refused" and "sent before with something else" in clash["says"]


def test_what_was_sent_before_a_lock_is_answered_again_after_it(floor: Any) -> None:
    floor.unlock()
    id_, said = new_id(), timezone.now().isoformat()
    assert floor.act("start", floor.serials[0], id_, said=said)["state"] == "counted"
    floor.post("lock", {"unlock": floor.unlock_id})
    assert floor.act("start", floor.serials[0], id_, said=said)["state"] == "again"
    assert floor.act("start", floor.serials[1], new_id())["state"] == "refused"


def test_acts_said_while_the_network_was_gone_count_from_when_they_were_said(floor: Any) -> None:
    from bedsite.records.models import Step, Unlock

    floor.unlock()
    then = timezone.now() - timedelta(minutes=9)
    Unlock.objects.update(started=then - timedelta(minutes=1), last_said=then)
    for minutes, serial in enumerate(floor.serials[:3]):
        said = (then + timedelta(minutes=3 * minutes)).isoformat()
        assert floor.act("start", serial, new_id(), said=said)["state"] == "counted"
    first = Step.objects.filter(serial=floor.serials[0], place="tape-edge").order_by("position").first()
    assert first is not None and first.started == then and first.done == then + timedelta(minutes=3)


@pytest.mark.parametrize(
    ("off", "says"),
    [
        (timedelta(minutes=5), "clock of this tablet is 5 min ahead"),
        (timedelta(hours=-13), "more than 12 h ago, or the clock of this tablet is slow"),
        (timedelta(minutes=-30), "before the tablet was unlocked"),
    ],
)
def test_a_wrong_clock_is_answered_in_words(floor: Any, off: timedelta, says: str) -> None:
    floor.unlock()
    answer = floor.act("start", floor.serials[0], new_id(), said=(timezone.now() + off).isoformat())
    assert answer["state"] == "refused" and says in answer["says"]


@pytest.mark.parametrize(
    ("told", "says"),
    [
        ({"serial": "S99999999"}, "no serial of this works"),
        ({"serial": "W000001.1"}, "is a run, and a bed is booked by its serial"),
        ({"serial": "=1+1\0"}, "is no serial"),
        ({"act": "fly"}, "act"),
        ({"position": "x"}, "position"),
        ({"position": 999}, "has no step 999"),
        ({"said": "yesterday"}, "is no moment"),
        ({"id": "x"}, "no id that could be one"),
        ({"unlock": "nobody"}, "This tablet is locked"),
        ({"price": 3}, "which is not known here"),
        ({"says": "x" * 500}, "says"),
    ],
)
def test_what_cannot_be_read_is_refused_in_words(floor: Any, told: dict[str, Any], says: str) -> None:
    from bedsite.records.models import Event

    floor.unlock()
    right = {"id": new_id(), "act": "start", "serial": floor.serials[0], "unlock": floor.unlock_id}
    answer = floor.post("acts", right | told)
    assert answer["state"] == "refused" and says in answer["says"], answer
    assert not Event.objects.filter(type="booking").exists()


@pytest.mark.parametrize("body", [b"[]", b"nul", b"\xff\xfe", b"[" * 5000, b'{"id": {}}'])
def test_rubbish_is_no_error_of_ours(floor: Any, body: bytes) -> None:
    response = floor.client.post("/floor/acts", body, content_type="application/json")
    assert response.status_code == 200 and response.json()["state"] == "refused"
    response = floor.client.post("/floor/unlock", body, content_type="application/json")
    assert response.status_code == 200 and response.json()["state"] == "refused"


def test_trouble_and_back(floor: Any) -> None:
    floor.unlock()
    serial = floor.serials[0]
    floor.act("start", serial, new_id())
    shown = floor.act("trouble", serial, new_id(), says="no material")["shown"]
    assert [row["serial"] for row in shown["trouble"]] == [serial] and not shown["mine"]
    shown = floor.act("back", serial, new_id())["shown"]
    assert [row["serial"] for row in shown["mine"]] == [serial]
    shown = floor.act("done", serial, new_id())["shown"]
    assert not shown["mine"] and shown["done"][0]["serial"] == serial


def test_without_script_plain_forms_do_the_same_and_a_double_press_counts_once(floor: Any) -> None:
    from bedsite.records.models import Event

    client, serial = floor.client, floor.serials[0]
    wrong = client.post("/floor/unlock", {"person": floor.person.key, "pin": "0000"}, follow=True)
    assert "Name and PIN do not fit" in wrong.content.decode()
    opened = client.post("/floor/unlock", {"person": floor.person.key, "pin": "2580"}, follow=True)
    assert "Tess Fold is at work here." in opened.content.decode()
    told = {"id": new_id(), "act": "start", "serial": serial, "position": ""}
    page = client.post("/floor/acts", told, follow=True).content.decode()
    assert f"{serial}: " in page and "in work" in page and "In work" in page
    client.post("/floor/acts", told)
    assert Event.objects.filter(type="booking").count() == 1
    assert "Scan your badge" in client.post("/floor/lock", follow=True).content.decode()
    refused = client.post("/floor/acts", told | {"id": new_id()}, follow=True).content.decode()
    assert "This tablet is locked" in refused


def test_a_tablet_books_only_at_its_own_place(floor: Any) -> None:
    from bedsite.doors.devices import new_device
    from bedsite.records.models import Event

    floor.unlock()
    id_ = new_id()
    floor.act("start", floor.serials[0], id_)
    assert {event.device for event in Event.objects.filter(type="booking")} == {floor.device.key}
    other = new_device("build tablet", "build")
    from bedsite.floor.station import acts

    answer = acts.take({"id": id_, "act": "start", "serial": floor.serials[0]}, other, "BUILD")
    assert answer.state == "refused" and "another tablet" in answer.says


def test_strangers_and_offices(floor: Any) -> None:
    from django.test import Client

    stranger = Client(HTTP_HOST="127.0.0.1")
    assert stranger.get("/floor/station").status_code == 302
    assert stranger.post("/floor/acts", {}).status_code == 403
    assert floor.client.get("/floor/").status_code == 302
    seen = floor.owner.get("/floor/")
    assert seen.status_code == 200 and "TAPE-EDGE" in seen.content.decode()
    look = floor.owner.get("/floor/look/tape-edge").content.decode()
    assert floor.serials[0] in look and "Start next" not in look
    assert floor.owner.get("/floor/look/nowhere").status_code == 404
    assert floor.owner.post("/floor/acts", {}).status_code == 403


def test_the_keeper_speaks_for_the_floor_and_names_the_files_it_keeps(floor: Any) -> None:
    answer = floor.client.get("/floor/keeper.js")
    assert answer["Content-Type"].startswith("text/javascript")
    text = answer.content.decode()
    assert '"/floor/station"' in text and "/static/floor/station.js?v=" in text


def test_a_station_says_which_trouble_it_is(floor: Any) -> None:
    floor.unlock()
    serial = floor.serials[0]
    floor.act("start", serial, new_id())
    shown = floor.act("trouble", serial, new_id(), says="machine down")["shown"]
    assert [row["says"] for row in shown["trouble"]] == ["machine down"]
    for address in ("/floor/", "/floor/look/tape-edge"):
        assert "machine down" in floor.owner.get(address).content.decode()
    assert "machine down" in floor.client.get("/floor/station").content.decode()
