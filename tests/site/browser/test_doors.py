"""A real browser at the doors: first start to owner, somebody let in by a link, keyboard alone, three widths."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from tests.site.browser.conftest import PASSWORD, Served, axe, first_owner, watched

WIDTHS = (390, 1024, 1600)


def looked_at(chrome: Any, base: str, state: Any, addresses: list[str]) -> list[str]:
    """Serious faults of axe, and pages wider than the window, in three widths."""
    wrong = []
    context = chrome.new_context(bypass_csp=True, storage_state=state, service_workers="block")
    page = context.new_page()
    for address in addresses:
        for width in WIDTHS:
            page.set_viewport_size({"width": width, "height": 900})
            page.goto(base + address)
            if page.evaluate("document.documentElement.scrollWidth > window.innerWidth"):
                wrong.append(f"{address} is wider than {width}")
        wrong += [f"{address}: {fault}" for fault in axe(page)]
    context.close()
    return wrong


def test_from_the_first_start_to_somebody_else_signed_in(
    works_folder: Path, served: Callable[[Path], Served], chrome: Any
) -> None:
    server = served(works_folder)
    assert server.link and server.seconds < 10
    context = chrome.new_context()
    page, troubles = watched(context)
    assert not looked_at(chrome, server.base, None, ["/sign-in", server.link.removeprefix(server.base)])
    first_owner(page, server, name="Ann Reed", sign_in="ann")
    page.click("text=people")
    page.click("text=Somebody new")
    page.fill("[name=name]", "Bo Hill")
    page.fill("[name=sign_in]", "bo")
    page.check("[value=viewer]")
    page.click("text=Make this person")
    person = page.url.removeprefix(server.base)
    page.click("text=Make a link")
    link = page.locator("p.once").inner_text()
    assert not looked_at(
        chrome, server.base, context.storage_state(),
        ["/people", "/people/new", person, f"{person}/erase", "/tablets", "/audit", "/me"],
    )  # fmt: skip
    other = chrome.new_context()
    page_of_bo, more = watched(other)
    page_of_bo.goto(link)
    page_of_bo.fill("[name=password]", "wind over the wall")
    page_of_bo.fill("[name=again]", "wind over the wall")
    page_of_bo.click("text=Set the password")
    assert page_of_bo.locator(".leave").inner_text().startswith("Bo Hill")
    assert page_of_bo.locator("text=people").count() == 0, "no link to what is not for Bo"
    page_of_bo.click("text=Bo Hill")
    assert page_of_bo.locator("h1").inner_text() == "Bo Hill"
    page.goto(server.base + person)
    page.click("text=Shut Bo Hill out")
    page_of_bo.goto(server.base + "/me")
    assert page_of_bo.url.startswith(server.base + "/sign-in?next=")
    page.goto(server.base + "/audit")
    told = page.locator("tbody").inner_text()
    assert "shut out" in told and "link used" in told and "to Bo Hill" in told
    assert troubles == [] and more == []


def test_signing_in_and_out_by_keyboard_alone(
    works_folder: Path, served: Callable[[Path], Served], chrome: Any
) -> None:
    from bedsite.doors import people_acts
    from bedsite.records.people import command_line

    assert command_line()
    people_acts.new_person("Ann Reed", "ann", {"owner"}, PASSWORD)
    server = served(works_folder)
    assert server.link == ""
    page, troubles = watched(chrome.new_context())
    page.goto(server.base + "/people")
    keys = page.keyboard
    page.wait_for_function("document.activeElement.name === 'sign_in'")  # the box has the focus before anybody types
    keys.type("ann")
    keys.press("Tab")
    keys.type(PASSWORD)
    keys.press("Enter")
    page.wait_for_url(server.base + "/people")
    page.goto(server.base + "/me")
    keys.press("Tab")
    assert page.evaluate("document.activeElement.innerText") == "Skip to the sheet"
    for _ in range(20):
        keys.press("Tab")
        if page.evaluate("document.activeElement.innerText") == "sign out":
            break
    keys.press("Enter")
    page.wait_for_url(server.base + "/sign-in")
    assert troubles == []


def test_a_badge_prints_alone_on_its_sheet(works_folder: Path, served: Callable[[Path], Served], chrome: Any) -> None:
    server = served(works_folder)
    page, troubles = watched(chrome.new_context())
    first_owner(page, server)
    page.goto(server.base + "/people")
    page.click("th a")
    page.click("text=Make a badge")
    page.emulate_media(media="print")
    shown = page.locator("body").inner_text()
    assert "Badge of Own Er" in shown and "sign out" not in shown and "If it is lost" not in shown
    assert page.locator(".badge svg").count() == 2 and troubles == []
