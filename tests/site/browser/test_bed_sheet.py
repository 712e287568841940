"""A bed in a real browser: asked for a pad test, watched without a click, looked at in three widths, printed."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from tests.site.browser.conftest import Served, axe, first_owner, watched


def test_a_bed_is_pressed_watched_and_printed(
    works_folder: Path, me: str, served: Callable[[Path], Served], chrome: Any
) -> None:
    import pypdfium2

    from bedsite.records import cards, ledger

    for filling in ledger.read_works().fillings:
        cards.put(filling.model_copy(update={"hardness_40": 4.0}), expected=1, who=me)
    up = served(works_folder)
    context = chrome.new_context(viewport={"width": 1024, "height": 768})
    page, troubles = watched(context)
    first_owner(page, up)
    page.goto(f"{up.base}/beds")
    page.get_by_role("link", name="RUFF", exact=True).click()
    page.wait_for_selector("figure:has-text('Plan of the unit of RUFF') svg")
    page.get_by_role("button", name="ask for the pad test").focus()
    page.keyboard.press("Enter")
    page.wait_for_selector("text=Predicted pad test", timeout=60_000)
    page.wait_for_selector(".came figure svg >> nth=2")
    address = page.url
    text = "".join(one.get_textpage().get_text_range() for one in pypdfium2.PdfDocument(page.pdf(format="A4")))
    assert "RUFF" in text and "H, tangent" in text and "ask for the pad test" not in text and "sign out" not in text
    state = context.storage_state()
    context.close()
    wrong = {}
    context = chrome.new_context(storage_state=state, bypass_csp=True)
    page, more = watched(context)
    for path in ("/beds", "/side-by-side?bed=RUFF&bed=KNOT", address.removeprefix(up.base)):
        page.goto(up.base + path)
        if page.locator(".came").count():
            page.wait_for_selector(".came figure svg >> nth=2")
        for width in (390, 1024, 1600):
            page.set_viewport_size({"width": width, "height": 800})
            wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
            faults = axe(page) + ([f"runs off by {wide} px"] if wide > 0 else [])
            if faults:
                wrong[path, width] = faults
    context.close()
    assert (wrong, troubles, more) == ({}, [], [])
