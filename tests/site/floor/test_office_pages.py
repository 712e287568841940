"""Release from the office, once however often the button is pressed; a booking withdrawn with a why."""

from __future__ import annotations

import re
import uuid
from typing import Any


def test_lines_are_ticked_and_released_once(floor: Any) -> None:
    from bedsite.records.release import lines_released

    page = floor.owner.get("/release").content.decode()
    assert "W000001" in page and "O-1" in page and 'value="1 O-1"' in page
    sender = re.search(r'name="sender" value="([0-9a-f]{32})"', page)
    assert sender is not None
    told = {"sender": sender.group(1), "line": ["1 O-1", "2 O-1"]}
    before = len(lines_released())
    first, second = floor.owner.post("/release", told), floor.owner.post("/release", told)
    assert (first.status_code, second.status_code) == (303, 303)
    assert len(lines_released()) == before + 2
    made = floor.owner.get(first["Location"]).content.decode()
    assert "Released now" in made and "W000003" in made and "Every line that is to be made is released." in made


def test_nothing_ticked_and_lines_that_are_gone_are_said(floor: Any) -> None:
    sender = uuid.uuid4().hex
    empty = floor.owner.post("/release", {"sender": sender})
    assert empty.status_code == 422 and "no line is ticked" in empty.content.decode()
    gone = floor.owner.post("/release", {"sender": sender, "line": ["1 O-2", "1 O-1"]})
    assert gone.status_code == 422 and "has nothing to release any more" in gone.content.decode()
    assert floor.owner.post("/release", {"sender": "x"}).status_code == 422


def test_a_booking_is_withdrawn_with_a_why_and_the_story_keeps_it(floor: Any) -> None:
    floor.unlock()
    serial, wrong = floor.serials[0], str(uuid.uuid4())
    floor.act("start", serial, wrong)
    page = floor.owner.get("/bookings", {"serial": serial.lower()}).content.decode()
    assert "in work" in page and "Tess Fold" in page and "tape tablet" in page
    told = {"serial": serial, "wrong": wrong, "sender": uuid.uuid4().hex}
    assert floor.owner.post("/bookings", told).status_code == 422
    done = floor.owner.post("/bookings", told | {"why": "wrong  ticket"}, follow=True).content.decode()
    assert "withdrawn: wrong ticket" in done and ">in work<" not in done
    assert floor.owner.get("/bookings", {"serial": "S99999999"}).status_code == 404
    assert "W000001.1" in floor.owner.get("/bookings", {"serial": "W000001"}).content.decode()
    assert floor.owner.get("/bookings", {"serial": "\0"}).status_code == 404
