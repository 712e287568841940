"""The pages of long work and of kept papers, as people with each role meet them."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest


@pytest.fixture
def signed_in(works_folder: Path) -> Callable[[str], Any]:
    """A browser without script in which somebody of a role signed in."""
    from django.conf import settings
    from django.test import Client

    from bedsite.doors import clock, sessions
    from bedsite.records import people
    from bedsite.records.chain import now
    from bedsite.records.models import Person

    if "testserver" not in settings.ALLOWED_HOSTS:
        settings.ALLOWED_HOSTS = ["testserver", *settings.ALLOWED_HOSTS]

    def made(role: str) -> Any:
        browser = Client()
        who = Person.objects.create(
            key=people.new_key(), sign_in=f"a {role}", name=f"A {role}", roles=role, made_at=now(), password="!"
        )
        browser.force_login(who)
        session = browser.session
        session[sessions.BEGAN] = session[sessions.SEEN] = clock.now().timestamp()
        session.save()
        browser.key = who.key
        return browser

    return made


def ask(browser: Any, what: str, **more: str) -> str:
    answer = browser.post("/work", {"what": what} | more)
    assert answer.status_code == 302, answer.content.decode()
    return str(answer["Location"])


def test_a_reckoning_from_the_asking_to_its_answer(signed_in: Any, work_off: Callable[[], int]) -> None:
    planner = signed_in("planner")
    assert "Nothing was asked yet" in planner.get("/work").content.decode()
    page = ask(planner, "reckon")
    waits = planner.get(page).content.decode()
    assert "waiting" in waits and 'hx-trigger="every 2s"' in waits and "look again" in waits
    fragment = planner.get(f"{page}/progress").content.decode()
    assert fragment.startswith('<div id="progress"') and "<html" not in fragment
    assert ask(planner, "reckon") == page
    assert work_off() == 1
    done = planner.get(f"{page}/progress").content.decode()
    assert "hx-get" not in done and "What came of it" in done and "SNIPE" in done and "GBP" in done
    listed = planner.get("/work").content.decode()
    assert "A planner" in listed and "reckoning of the whole order book" in listed
    assert ask(planner, "reckon") == page


def test_progress_is_shown_while_at_work(signed_in: Any) -> None:
    from bedsite.longwork import queue

    planner = signed_in("planner")
    page = ask(planner, "papers")
    job = queue.take("a worker")
    assert job is not None and queue.tell(job, 250, 1000, "pad tests")
    shown = planner.get(f"{page}/progress").content.decode()
    assert 'max="1000" value="250"' in shown and "25 %" in shown and "pad tests" in shown
    assert "cancel it" in shown
    assert planner.post(f"{page}/cancel").status_code == 302
    shown = planner.get(page).content.decode()
    assert "being cancelled" in shown and "cancel it" not in shown
    assert queue.leave(job)
    assert "cancelled" in planner.get(page).content.decode()


def test_faults_are_told_each_in_its_line_and_escaped(signed_in: Any) -> None:
    from bedsite.longwork import queue

    planner = signed_in("planner")
    page = ask(planner, "reckon")
    job = queue.take("a worker")
    assert job is not None and queue.fail(job, "the first <b>fault</b>\nthe second")
    shown = planner.get(page).content.decode()
    assert "<p>the first &lt;b&gt;fault&lt;/b&gt;</p><p>the second</p>" in shown


def test_what_cannot_be_asked_is_refused_in_words(signed_in: Any) -> None:
    from bedsite.records.models import Job

    planner = signed_in("planner")
    for sent, says in (({"what": "bake"}, "cannot be asked for"), ({"what": "reckon", "as_of": "soon"}, "is no day")):
        answer = planner.post("/work", sent)
        assert answer.status_code == 422 and says in answer.content.decode()
    assert planner.get("/work/nothing").status_code == 404
    assert planner.post("/work/nothing/cancel").status_code == 404
    assert Job.objects.count() == 0
    assert ask(planner, "reckon", as_of="2026-03-03")
    assert Job.objects.get().inputs.count("2026-03-03") == 1


def test_papers_serve_the_kept_bytes(signed_in: Any, work_off: Callable[[], int]) -> None:
    from bedsite.records import snapshots

    buyer = signed_in("buyer")
    page = ask(buyer, "papers")
    work_off()
    assert "bed-sheets/" in buyer.get(page).content.decode()
    assert "bed-sheets/" in buyer.get("/papers").content.decode()
    for row in snapshots.listed():
        answer = buyer.get(f"/papers/{row.id}")
        assert answer.status_code == 200 and answer.content == snapshots.again(row.id)[1]
        assert answer["X-Content-Type-Options"] == "nosniff"
        assert answer["Content-Type"] == row.blob.media
        how, _, name = answer["Content-Disposition"].partition("; filename=")
        assert how == ("inline" if row.name.endswith(".pdf") else "attachment")
        assert name.strip('"') == row.name.rpartition("/")[2]
    assert buyer.get("/papers/" + "0" * 32).status_code == 404


def test_who_sees_no_prices_sees_none_in_papers_or_answers(signed_in: Any, work_off: Callable[[], int]) -> None:
    from bedsite.records import snapshots

    page = ask(signed_in("owner"), "papers")
    reckoned = ask(signed_in("planner"), "reckon")
    work_off()
    rows = {row.name: row.id for row in snapshots.listed()}
    for role in ("viewer", "inspector"):
        browser = signed_in(role)
        for place in (page, "/papers"):
            shown = browser.get(place).content.decode()
            assert "cost.xlsx" not in shown and "summary.json" not in shown and "bill.xlsx" in shown
        assert browser.get(f"/papers/{rows['cost.xlsx']}").status_code == 404
        assert browser.get(f"/papers/{rows['summary.json']}").status_code == 404
        assert browser.get(f"/papers/{rows['bill.xlsx']}").status_code == 200
        assert "GBP" not in browser.get(reckoned).content.decode()
    maker = signed_in("maker")
    assert {maker.get(place).status_code for place in (page, "/papers", f"/papers/{rows['bill.xlsx']}", "/work")} == {
        403
    }


def test_a_viewer_asks_and_cancels_nothing(signed_in: Any) -> None:
    viewer = signed_in("viewer")
    assert viewer.post("/work", {"what": "reckon"}).status_code == 403
    assert '<h2 id="ask">' not in viewer.get("/work").content.decode()
    page = ask(signed_in("planner"), "reckon")
    assert viewer.post(f"{page}/cancel").status_code == 403
    assert "cancel it" not in viewer.get(page).content.decode()


def test_a_file_name_carries_nothing_but_plain_letters(works_folder: Path) -> None:
    from bedsite.office.papers.views import file_name

    assert file_name('job-cards/a"; x=\r\n.pdf') == "a__ x___.pdf"
    assert file_name("x/") == "paper"
