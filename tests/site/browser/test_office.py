"""The office in a real browser: from the first start to a card that two people changed, by mouse and by keyboard."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from tests.site.browser.conftest import Served, axe, first_owner, watched

PAGES = (
    "/works", "/cards/wires/", "/cards/wires/new/", "/cards/wires/card/W22/", "/cards/wires/card/W22/edit/",
    "/cards/wires/card/W22/history/", "/cards/beds/card/SNIPE/edit/", "/cards/orders/card/O-1/", "/workbook/take-in/",
    "/people", "/people/new", "/tablets", "/audit", "/me", "/work", "/papers", "/release",
)  # fmt: skip


@dataclass
class Desk:
    """Somebody at a desk: the page, what went wrong on it, the address, and how they are known to the site."""

    page: Any
    troubles: list[str]
    base: str
    context: Any

    def to(self, path: str) -> Any:
        answer = self.page.goto(self.base + path)
        assert answer is not None and answer.status == 200, (path, answer and answer.status)
        return self.page


@pytest.fixture
def owner(works_folder: Path, served: Callable[[Path], Served], chrome: Any) -> Iterator[Desk]:
    """The first owner, who came in by the one-time link."""
    up = served(works_folder)
    assert up.seconds < 5, f"ready after {up.seconds:.1f} s"
    context = chrome.new_context(viewport={"width": 1024, "height": 768})
    page, troubles = watched(context, expected="status of 422")  # a form with faults: the browser logs it so
    first_owner(page, up)
    yield Desk(page, troubles, up.base, context)
    context.close()


def save(page: Any) -> None:
    page.locator(".acts button[value=save]").click()
    page.wait_for_load_state()


def test_from_the_first_start_to_a_changed_card(owner: Desk) -> None:
    page = owner.to("/works")
    assert "Small Works" in page.inner_text("h1")
    page.get_by_role("link", name="wires", exact=True).click()
    page.get_by_role("link", name="W22", exact=True).click()
    page.get_by_role("link", name="edit").first.click()
    page.fill("[name=f-diameter]", "22")
    save(page)
    fault = page.locator("#main, main").inner_text()
    assert "8" in fault and page.input_value("[name=f-diameter]") == "22", "what was typed stays, with its fault"
    page.fill("[name=f-diameter]", "2.3 mm")
    page.fill("[name=why]", "the coiler measured it")
    save(page)
    assert "2.3" in page.inner_text("main")
    owner.to("/cards/wires/card/W22/history/")
    told = page.inner_text("main")
    assert "the coiler measured it" in told and "Own Er" in told
    assert owner.troubles == []


def test_two_browsers_on_one_card_lose_nothing(owner: Desk, chrome: Any) -> None:
    other_context = chrome.new_context(storage_state=owner.context.storage_state())
    other, troubles = watched(other_context)
    edit = "/cards/wires/card/W22/edit/"
    owner.to(edit)
    other.goto(owner.base + edit)
    owner.page.fill("[name=f-diameter]", "2.3")
    save(owner.page)
    other.fill("[name=f-diameter]", "2.4")
    other.fill("[name=f-name]", "wire of the second")
    save(other)
    told = other.inner_text("main")
    assert "2.3" in told and "2.4" in told, "both stand side by side"
    owner.to("/")
    assert "W22" in owner.page.inner_text("main"), "the first page says that somebody must merge"
    owner.to("/cards/wires/card/W22/3/merge/")
    page = owner.page
    page.locator(".acts button").click()
    page.wait_for_load_state()
    assert "Nothing was written yet" in page.inner_text("main"), "both changed the diameter: a person must choose"
    page.fill("[name=other-f-diameter]", "2.35")
    page.check("#other-f-diameter")
    page.locator(".acts button").click()
    page.wait_for_load_state()
    assert "2.35" in page.inner_text("main") and "wire of the second" in page.inner_text("main")
    owner.to("/cards/wires/card/W22/history/")
    assert page.inner_text("main table").count("Own Er") == 3, "both contents and the merge are in the history"
    owner.to("/")
    assert "/3/merge/" not in owner.page.content(), "nothing waits any more"
    assert (owner.troubles, troubles) == ([], [])
    other_context.close()


def test_a_card_by_keyboard_alone(owner: Desk) -> None:
    """Tab reaches every box in its order and shows where it is; Enter saves."""
    page = owner.to("/cards/wires/card/W22/edit/")
    seen: list[str] = []
    for _ in range(60):
        page.keyboard.press("Tab")
        name = page.evaluate("document.activeElement.name || document.activeElement.textContent.trim()")
        outlined = page.evaluate(
            "(() => { const s = getComputedStyle(document.activeElement);"
            " return s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) >= 2; })()"
        )
        assert outlined, f"nothing shows that {name!r} has the focus"
        seen.append(name)
        if name == "f-diameter":
            page.keyboard.press("Control+A")
            page.keyboard.type("2.5")
        if name == "why":
            page.keyboard.type("by keys")
            page.keyboard.press("Enter")
            break
    boxes = [name for name in seen if name.startswith("f-")]
    assert boxes == ["f-name", "f-form", "f-diameter", "f-grade", "f-supplier", "f-carbon", "f-note"]
    page.wait_for_load_state()
    assert "2.5" in page.inner_text("main") and owner.troubles == []


def test_rows_of_a_card_are_added_and_taken_away_without_script(owner: Desk, chrome: Any) -> None:
    context = chrome.new_context(storage_state=owner.context.storage_state(), java_script_enabled=False)
    page, troubles = watched(context)
    page.goto(owner.base + "/cards/beds/card/SNIPE/edit/")
    before = page.locator("main table tr").count()
    page.get_by_role("button", name="add").first.click()
    page.wait_for_load_state()
    assert page.locator("main table tr").count() > before
    assert troubles == []
    context.close()


@pytest.mark.parametrize("width", [390, 1024, 1600])
def test_no_page_shuts_anybody_out_or_runs_off_its_width(owner: Desk, chrome: Any, width: int) -> None:
    """axe finds nothing serious on any page; nothing but tables is wider than the screen."""
    wrong = {}
    context = chrome.new_context(
        storage_state=owner.context.storage_state(), viewport={"width": width, "height": 800}, bypass_csp=True
    )
    page, troubles = watched(context)
    for path in PAGES:
        page.goto(owner.base + path)
        wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        faults = axe(page) + ([f"runs off by {wide} px"] if wide > 0 else [])
        if faults:
            wrong[path] = faults
    context.close()
    assert (wrong, troubles) == ({}, [])


def test_a_card_prints_as_a_sheet_of_paper(owner: Desk) -> None:
    import pypdfium2

    page = owner.to("/cards/beds/card/SNIPE/")
    data = page.pdf(format="A4")
    document = pypdfium2.PdfDocument(data)
    text = "".join(one.get_textpage().get_text_range() for one in document)
    assert "SNIPE" in text and "sign out" not in text, "what leads elsewhere is not printed"
    page.emulate_media(media="print")
    ground = page.evaluate("getComputedStyle(document.body).backgroundColor")
    assert ground in ("rgb(255, 255, 255)", "rgba(0, 0, 0, 0)")
