"""The station in a real browser against a real server: one scan, a network cut and back, a reload while it is gone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from tests.site.browser.conftest import axe, serving, watched

from bedwright.reckoning import Reckoning

CUT = "ERR_INTERNET_DISCONNECTED|ERR_NETWORK|Failed to load resource"


@dataclass
class Station:
    """A tablet at the tape edge, let in by its link; the ledger that its server writes to can be read here too."""

    base: str
    context: Any
    page: Any
    troubles: list[str]
    badge: str
    serials: tuple[str, ...]

    def scan(self, code: str) -> None:
        """What a scanner does: types, wherever the focus is, and presses Enter."""
        self.page.keyboard.type(code)
        self.page.keyboard.press("Enter")

    def told(self, words: str) -> None:
        self.page.wait_for_function("w => document.getElementById('told').innerText.includes(w)", arg=words)

    def in_work(self) -> str:
        return str(self.page.locator("#mine [data-f=serial]").inner_text())


def bookings() -> int:
    from bedsite.records.models import Event

    return int(Event.objects.filter(type="booking").count())


def state_of(serial: str, operation: str = "tape, first pass") -> str:
    from bedsite.records.models import Step

    return str(Step.objects.get(serial=serial, operation=operation).state)


@pytest.fixture
def station(works_folder: Path, me: str, chrome: Any) -> Iterator[Station]:
    from bedsite.doors import devices, one_time, people_acts, unlock
    from bedsite.longwork.releasing import lines_to_release, to_release
    from bedsite.records import ledger
    from bedsite.records.release import release

    reckoning = Reckoning(ledger.read_works())
    lines = tuple(line for line in lines_to_release(reckoning) if line.order == "O-2" and line.line == 1)
    (made,) = release(to_release(reckoning, lines), revision=reckoning.works.about.revision, who=me)
    person = people_acts.new_person("Tess Fold", "", ["maker"])
    badge = people_acts.new_badge(person)
    unlock.set_pin(person, "2580")
    link = one_time.make("device", devices.new_device("tape tablet", "tape-edge").key)
    with serving(works_folder) as served:
        context = chrome.new_context(viewport={"width": 1024, "height": 768})
        page, troubles = watched(context, CUT)
        page.goto(f"{served.base}/tablet/{link}")
        if page.locator("main form button").count():
            page.locator("main form button").first.click()
        page.goto(f"{served.base}/floor/station")
        page.wait_for_selector("body.kept")
        serials = tuple(serial for run in made.runs for serial in run.serials)
        yield Station(served.base, context, page, troubles, badge, serials)
        context.close()


def test_one_scan_starts_a_bed_and_closes_the_last_without_a_keyboard(station: Station) -> None:
    page, (one, two, *_) = station.page, station.serials
    station.scan(one)
    station.told("Show your badge first")
    station.scan(station.badge)
    station.told("Tess Fold is at work here.")
    station.scan(one)
    station.told("in work")
    page.focus("#buttons form.start button")  # a scanner types wherever the focus is
    station.scan(two)
    station.told(f"{one} is closed")
    assert (station.in_work(), state_of(one), state_of(two)) == (two, "done", "in work")
    page.click("text=Trouble")
    page.click("text=wrong part")
    page.wait_for_selector("#trouble-list li")
    page.click("#trouble-list button")
    page.wait_for_selector("#mine:not([hidden])")
    page.click("form.done button")
    station.told("done")
    page.wait_for_selector("#mine[hidden]", state="attached")
    page.click("form.back button")
    page.wait_for_selector("#mine:not([hidden])")
    page.click("form.done button")
    page.wait_for_function("() => !Kept.acts().length")
    page.click("form.start button")
    page.wait_for_selector("#mine:not([hidden])")
    page.wait_for_function("() => !Kept.acts().length")
    assert state_of(two) == "done"
    assert station.troubles == []


def test_a_network_cut_keeps_what_was_said_over_a_reload_and_counts_it_once(station: Station) -> None:
    page, context, (one, two, three, *_) = station.page, station.context, station.serials
    station.scan(station.badge)
    station.told("Tess Fold is at work here.")
    page.reload()
    context.set_offline(True)
    for serial in (one, two, three):
        station.scan(serial)
        page.wait_for_function("s => document.querySelector('#mine [data-f=serial]').textContent === s", arg=serial)
    page.wait_for_function("() => document.getElementById('kept').innerText.includes('Kept here, not yet sent: 3')")
    assert bookings() == 0
    page.reload()
    page.wait_for_selector("body.listening")
    page.wait_for_function("() => document.getElementById('kept').innerText.includes('not yet sent: 3')")
    assert station.in_work() == three
    station.scan(station.badge)
    station.told("The network is gone: nobody can be let in now")
    other = context.new_page()  # a second page of the same tablet sends them too
    other.goto(f"{station.base}/floor/station")
    context.set_offline(False)
    page.wait_for_function("() => !Kept.acts().length", timeout=40000)
    assert bookings() == 3
    assert [state_of(one), state_of(two), state_of(three)] == ["done", "done", "in work"]
    page.wait_for_function("() => document.getElementById('kept').hidden", timeout=30000)
    assert station.troubles == []


def test_an_answer_that_was_lost_is_asked_for_again_and_counts_once(station: Station) -> None:
    page, one = station.page, station.serials[0]
    station.scan(station.badge)
    station.told("Tess Fold is at work here.")
    lost = []

    def lose(route: Any) -> None:
        if not lost:
            lost.append(route.fetch())  # it reached the ledger, and the answer never came back
            route.abort()
        else:
            route.continue_()

    station.context.route("**/floor/acts", lose)
    station.scan(one)
    page.wait_for_function("() => document.getElementById('kept').innerText.includes('not yet sent: 1')")
    page.wait_for_function("() => !Kept.acts().length", timeout=20000)
    assert bookings() == 1 and state_of(one) == "in work"


def test_what_is_refused_stands_there_in_words_until_it_was_seen(station: Station) -> None:
    page = station.page
    station.scan(station.badge)
    station.told("Tess Fold is at work here.")
    station.scan("S99999999")
    page.wait_for_selector("#refused:not([hidden])")
    assert "no serial of this works" in page.inner_text("#refused")
    assert page.inner_text("#told") == "", "nothing says any more that it is in work"
    page.reload()
    page.wait_for_selector("#refused:not([hidden])")
    page.click("#refused button")
    page.wait_for_selector("#refused", state="hidden")


def test_name_and_pin_by_touch_and_by_keys(station: Station) -> None:
    page = station.page
    page.click("text=Tess Fold")
    for key in "2580":
        page.click(f"#keys button[data-key='{key}']")
    page.click("#keys button[type=submit]")
    station.told("Tess Fold is at work here.")
    page.click("#lock button")
    page.wait_for_selector("body.locked")
    page.focus(".names input")
    page.keyboard.press("Space")
    page.focus("#pin")
    page.keyboard.type("2580")
    page.keyboard.press("Enter")
    page.wait_for_selector("body:not(.locked)")
    page.focus("form.start button")
    page.keyboard.press("Enter")
    page.wait_for_selector("#mine:not([hidden])")
    assert station.troubles == []


@pytest.mark.parametrize("width", [390, 1024, 1600])
def test_large_letters_large_targets_and_no_serious_fault(station: Station, chrome: Any, width: int) -> None:
    context = chrome.new_context(
        bypass_csp=True, storage_state=station.context.storage_state(), viewport={"width": width, "height": 768},
        service_workers="block",
    )  # fmt: skip
    page = context.new_page()
    page.goto(f"{station.base}/floor/station")
    page.wait_for_selector("body.listening")
    assert axe(page) == []
    page.keyboard.type(station.badge)
    page.keyboard.press("Enter")
    page.wait_for_selector("body:not(.locked)")
    page.keyboard.type(station.serials[0])
    page.keyboard.press("Enter")
    page.wait_for_selector("#mine:not([hidden])")
    page.click("#trouble summary")
    assert axe(page) == []
    small = page.eval_on_selector_all(
        "button, summary",
        "all => all.filter(b => b.offsetParent && (b.offsetHeight < 64 || b.offsetWidth < 64)).map(b => b.innerText)",
    )
    assert small == []
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    size = page.eval_on_selector("#next .bed-name", "e => parseFloat(getComputedStyle(e).fontSize)")
    assert size * 0.66 >= (72 if width >= 1024 else 40), "capitals of 72 px can be read at two metres"
    context.close()
