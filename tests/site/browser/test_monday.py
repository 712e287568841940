"""A planner on Monday at six: releases, sees what is missing for the next van, finds a bed by keys alone."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from tests.site.browser.conftest import Served, axe, first_owner, watched


def test_from_nothing_released_to_a_set_found_by_keys(
    works_folder: Path, served: Callable[[Path], Served], chrome: Any
) -> None:
    import pypdfium2

    up = served(works_folder)
    context = chrome.new_context(viewport={"width": 1024, "height": 768})
    page, troubles = watched(context, expected="status of 422")
    first_owner(page, up)
    page.goto(up.base)
    assert page.inner_text("h1") == "Marrying list" and "Nothing is released yet" in page.inner_text("main")
    page.locator("main").get_by_role("link", name="release the order lines").click()
    for box in page.get_by_role("checkbox").all():
        box.check()
    page.get_by_role("button", name="Release what is ticked").click()
    page.get_by_role("link", name="marrying list").click()
    told = page.inner_text("main")
    assert "of 17 beds made" in told and "not begun" in told and "W000001.1" in told
    page.fill("#day", "2026-03-13")
    page.get_by_role("button", name="show").click()
    assert "day=2026-03-13" in page.url and page.locator("section.van").count() == 1
    text = "".join(one.get_textpage().get_text_range() for one in pypdfium2.PdfDocument(page.pdf(format="A4")))
    assert (
        page.locator("table.sets th a").nth(1).inner_text() in text
        and "sign out" not in text
        and "van round" not in text
    )

    for _ in range(30):  # by keys alone: Tab to the box in the top line, a serial, Enter
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.id") == "find":
            break
    page.keyboard.type("s0000001")
    page.keyboard.press("Enter")
    page.wait_for_url("**/search?q=s0000001")
    page.get_by_role("link", name="S00000017").click()
    assert "S00000017" in page.inner_text("main")
    assert troubles == []

    wrong: dict[str, list[str]] = {}
    for width in (390, 1024, 1600):
        looked = chrome.new_context(
            storage_state=context.storage_state(), viewport={"width": width, "height": 800}, bypass_csp=True
        )
        seen, _ = watched(looked, expected="status of 422")
        for path in ("/", "/search?q=snipe"):
            seen.goto(up.base + path)
            wide = seen.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
            faults = axe(seen) + ([f"runs off by {wide} px"] if wide > 0 else [])
            if faults:
                wrong[f"{path} {width}"] = faults
        looked.close()
    context.close()
    assert wrong == {}
