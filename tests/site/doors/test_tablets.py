"""Tablets: let in by a link, known by a cookie, unlocked by badge or PIN, locked by idleness, shut out."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import TYPE_CHECKING, Any

import pytest
from django.test import Client

if TYPE_CHECKING:
    from bedsite.records.models import Device, Person

PASSWORD = "sheep cross at dusk"


def made(owner: Client) -> tuple[str, Any]:
    """A new tablet's link, and its row."""
    from bedsite.doors.pages.tablets import _places
    from bedsite.records.models import Device

    page = owner.post("/tablets/new", {"name": "by the press", "place": _places()[0][0]}).content.decode()
    found = re.search(r"http://testserver(/tablet/[\w-]+)", page)
    assert found is not None
    return found[1], Device.objects.get(name="by the press")


def test_a_tablet_is_let_in_by_a_link_that_works_once(signed_in: Any) -> None:
    owner, browser = signed_in("owner"), Client(REMOTE_ADDR="192.0.2.7")
    address, device = made(owner)
    assert browser.get(address).status_code == 200 and "bedwright-device" not in browser.cookies
    assert browser.post(address).status_code == 302
    cookie = browser.cookies["bedwright-device"]
    assert cookie["httponly"] and cookie["samesite"] == "Strict" and cookie["path"] == "/"
    device.refresh_from_db()
    assert len(device.token) == 64 and device.token not in cookie.value
    assert browser.get(address).status_code == 403 and Client().post(address).status_code == 403
    assert browser.get("/floor/").status_code in (200, 302)
    assert browser.get("/people").status_code == 302, "a tablet is nobody"
    assert "<td>yes</td>" in owner.get("/tablets").content.decode()


def test_a_cookie_made_up_or_spoilt_is_no_tablet(tablet: tuple[Device, Client]) -> None:
    from django.core import signing

    good = tablet[1].cookies["bedwright-device"].value
    signed = [signing.dumps(held, salt="bedwright.device") for held in ("made up", tablet[0].token, ["x"])]
    for value in ("x", good[:-2], good + "A", good.replace(":", "."), *signed):
        browser = Client()
        browser.cookies["bedwright-device"] = value
        assert browser.get("/floor/station").status_code == 302, value
    assert tablet[1].get("/floor/station").status_code != 302


def test_shutting_out_ends_cookie_links_and_unlocks(signed_in: Any, people: dict[str, Person]) -> None:
    from bedsite.doors import clock, people_acts, unlock

    owner, browser = signed_in("owner"), Client()
    address, device = made(owner)
    browser.post(address)
    again = re.search(r"(/tablet/[\w-]+)", owner.post(f"/tablets/{device.key}/link").content.decode())
    device.refresh_from_db()
    held = unlock.unlock(device, badge=people_acts.new_badge(people["maker"]))
    assert owner.post(f"/tablets/{device.key}/shut-out").status_code == 302
    assert browser.get("/floor/station").status_code == 302
    assert again is not None and Client().get(again[1]).status_code == 403
    device.refresh_from_db()
    with pytest.raises(unlock.Locked):
        unlock.person_of(held.id, device, clock.now())
    assert owner.post(f"/tablets/{device.key}/link").status_code == 404


def test_a_new_link_takes_the_place_of_the_cookie_before(signed_in: Any) -> None:
    owner, first, second = signed_in("owner"), Client(), Client()
    address, device = made(owner)
    first.post(address)
    again = re.search(r"(/tablet/[\w-]+)", owner.post(f"/tablets/{device.key}/link").content.decode())
    assert again is not None and first.get("/floor/station").status_code != 302
    second.post(again[1])
    assert first.get("/floor/station").status_code == 302 and second.get("/floor/station").status_code != 302


def test_a_tablet_link_ends_after_15_minutes(signed_in: Any, clock: Any) -> None:
    address, _ = made(signed_in("owner"))
    clock.move(minutes=15)
    assert Client().post(address).status_code == 403


@pytest.fixture
def at_work(people: dict[str, Person], tablet: tuple[Device, Client], clock: Any) -> tuple[Any, Device, Any]:
    """An unlock, its device, and the clock."""
    from bedsite.doors import people_acts, unlock

    held = unlock.unlock(tablet[0], badge=people_acts.new_badge(people["maker"]))
    return held, tablet[0], clock


def test_an_act_counts_while_the_tablet_is_unlocked(at_work: Any, people: dict[str, Person]) -> None:
    from bedsite.doors import unlock

    held, device, clock = at_work
    for _ in range(30):
        clock.move(minutes=10)
        assert unlock.person_of(held.id, device, clock.at).key == people["maker"].key
    clock.move(minutes=10, seconds=1)
    with pytest.raises(unlock.Locked, match="idle for more than 10 min"):
        unlock.person_of(held.id, device, clock.at)


def test_twelve_hours_are_the_most(at_work: Any) -> None:
    from bedsite.doors import unlock

    held, device, clock = at_work
    for _ in range(72):
        clock.move(minutes=10)
        unlock.person_of(held.id, device, clock.at)
    clock.move(seconds=1)
    with pytest.raises(unlock.Locked, match="more than 12 h"):
        unlock.person_of(held.id, device, clock.at)


def test_acts_said_without_network_count_by_when_they_were_said(at_work: Any) -> None:
    from bedsite.doors import unlock

    held, device, clock = at_work
    began = clock.at
    clock.move(hours=2)
    for minutes in (9, 18, 27, 25, 36):  # one came out of its order
        unlock.person_of(held.id, device, began + timedelta(minutes=minutes))
    with pytest.raises(unlock.Locked, match="idle"):
        unlock.person_of(held.id, device, began + timedelta(minutes=47))
    unlock.lock(held.id, at=began + timedelta(minutes=40))
    assert unlock.person_of(held.id, device, began + timedelta(minutes=39))
    with pytest.raises(unlock.Locked, match="was locked"):
        unlock.person_of(held.id, device, began + timedelta(minutes=41))


def test_an_act_before_the_unlock_or_in_the_future_does_not_count(at_work: Any) -> None:
    from bedsite.doors import unlock

    held, device, clock = at_work
    assert unlock.person_of(held.id, device, clock.at - timedelta(minutes=1))
    with pytest.raises(unlock.Locked, match="before the tablet was unlocked"):
        unlock.person_of(held.id, device, clock.at - timedelta(minutes=1, seconds=1))
    assert unlock.person_of(held.id, device, clock.at + timedelta(minutes=1))
    held.refresh_from_db()
    assert held.last_said == clock.at, "a clock that is ahead keeps nothing open for longer"
    with pytest.raises(unlock.Locked, match="5 min ahead"):
        unlock.person_of(held.id, device, clock.at + timedelta(minutes=5))


def test_an_unlock_counts_on_its_own_tablet_for_its_own_person_only(at_work: Any, people: dict[str, Person]) -> None:
    from bedsite.doors import devices, people_acts, unlock

    held, device, clock = at_work
    other = devices.new_device("another", "press")
    for wrong_id, wrong_device in ((held.id, other), (held.id, None), ("x" * 32, device), ("", device)):
        with pytest.raises(unlock.Locked, match="This tablet is locked"):
            unlock.person_of(wrong_id, wrong_device, clock.at)
    people_acts.shut_out(people["maker"])
    clock.move(seconds=1)
    with pytest.raises(unlock.Locked):
        unlock.person_of(held.id, device, clock.at)


def test_a_pin_needs_its_name(people: dict[str, Person], tablet: tuple[Device, Client]) -> None:
    from bedsite.doors import unlock

    unlock.set_pin(people["maker"], "4711")
    unlock.set_pin(people["viewer"], "4711")
    assert [person.name for person in unlock.who_may_unlock()] == ["The maker", "The viewer"]
    assert unlock.unlock(tablet[0], pin="4711", name_key=people["viewer"].key).person == people["viewer"].key
    for key, pin in ((people["buyer"].key, ""), ("", "4711"), ("", ""), (people["buyer"].key, "4711")):
        with pytest.raises(unlock.Locked):
            unlock.unlock(tablet[0], pin=pin, name_key=key)
