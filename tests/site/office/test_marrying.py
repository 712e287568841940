"""The marrying list: sets not complete for the next vans, and what keeps each; counted, never read bed by bed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Any

import pytest

VAN = "/?round=north&day=2026-03-13"


@dataclass
class Made:
    """What was released of O-2: works order -> serials; who books."""

    serials: dict[str, tuple[str, ...]]
    me: str
    count: int = 0

    def book(self, act: str, serial: str, position: int, says: str = "") -> None:
        from bedsite.records import bookings
        from bedsite.records.models import Step
        from bedsite.records.payloads import Booking

        self.count += 1
        place = Step.objects.get(serial=serial, position=position).place
        told = Booking(act=act, serial=serial, place=place, position=position, says=says)  # type: ignore[arg-type]
        bookings.book(told, sender=f"desk-{self.count:06d}", who=self.me)

    def through(self, serial: str, streams: set[str]) -> None:
        """Every step of these streams booked as done."""
        from bedsite.records.release import find, release_of

        found = find(serial)
        assert found is not None
        for step in release_of(found).steps:
            if (step.stream or "meet") in streams:
                self.book("done", serial, step.position)


@pytest.fixture
def made(works_folder: Any, me: str) -> Made:
    from bedsite.longwork.releasing import lines_to_release, to_release
    from bedsite.records import ledger
    from bedsite.records.release import release
    from bedwright.reckoning import Reckoning

    reckoning = Reckoning(ledger.read_works())
    lines = tuple(line for line in lines_to_release(reckoning) if line.order == "O-2")
    done = release(to_release(reckoning, lines), revision=reckoning.works.about.revision, who=me)
    return Made({one.works_order: tuple(s for run in one.runs for s in run.serials) for one in done}, me)


def test_without_a_release_it_says_what_to_do_first(
    owner: Any, signed_in: Callable[..., Any], sheet: Callable[[Any], Any]
) -> None:
    page = sheet(owner.get("/"))
    assert "Nothing is released yet" in page.text and "/release" in page.links
    looking = sheet(signed_in("viewer").get("/"))
    assert "A planner or owner releases" in looking.text and "/release" not in looking.links
    assert "works" in page.text and "/works" in page.links and "/search" not in page.links


def test_a_van_stands_with_its_sets_and_their_gaps(owner: Any, made: Made, sheet: Callable[[Any], Any]) -> None:
    from bedsite.records.by_van import runs_of_days

    day = date(2026, 3, 13)
    first = next(run for run in runs_of_days([day]) if run.bed == "KNOT")
    assert (first.beds, first.made, [gap.open for gap in first.gaps]) == (3, 0, [3, 3, 3, 3])
    one, other, _ = made.serials[first.works_order]
    made.through(one, {"unit", "panels"})
    made.through(other, {"unit", "panels", "border", "meet"})
    after = next(run for run in runs_of_days([day]) if run.run == first.run)
    assert (after.made, after.open) == (1, 2)
    assert {gap.stream: gap.open for gap in after.gaps} == {"unit": 1, "panels": 1, "border": 2, "meet": 2}
    page = sheet(owner.get("/"))
    assert "Fri 13 Mar" in page.text and "1 of 17 beds made" in page.text
    assert [gap.begun for gap in after.gaps] == [True, True, True, True] and not any(gap.begun for gap in first.gaps)
    assert "1 of 3 beds made" in page.text and "2 of 3 open" in page.text and first.run in page.text


def test_what_keeps_a_set_is_said(owner: Any, made: Made, sheet: Callable[[Any], Any], me: str) -> None:
    from bedsite.records import cards, events
    from bedsite.records.payloads import Check
    from bedsite.records.release import find, release_of
    from bedwright.works.trading import Order

    order = cards.card_in(cards.head("order", "O-2"))
    assert isinstance(order, Order)
    cards.put(order.model_copy(update={"state": "held"}), expected=1, who=me)
    cards.put(order.model_copy(update={"note": "somebody else's"}), expected=1, who=me)
    serials = next(iter(made.serials.values()))
    first = min(step.position for step in release_of(find(serials[0])).steps)  # type: ignore[arg-type]
    made.book("start", serials[0], first)
    made.book("trouble", serials[0], first, "no material")
    events.append(
        Check(subject=serials[1], check="flatness", outcome="hold"), sender="check-0001", subject=serials[1], who=me
    )
    text = sheet(owner.get(VAN)).text
    for says in (
        "order O-2 is held", "1 bed on hold after a check", ": no material", "order O-2 waits for a merge",
        "Nobody has reckoned this revision yet",
    ):  # fmt: skip
        assert says in text, says
    events.append(
        Check(subject=serials[1], check="flatness", outcome="right"), sender="check-0002", subject=serials[1], who=me
    )
    assert "on hold" not in sheet(owner.get(VAN)).text, "the last word of a check counts"


def test_a_complete_set_leaves_the_list(owner: Any, made: Made, sheet: Callable[[Any], Any]) -> None:
    order = next(key for key, serials in made.serials.items() if len(serials) == 3)
    assert f"{order}.1" in sheet(owner.get(VAN)).text
    for serial in made.serials[order]:
        made.through(serial, {"unit", "panels", "border", "meet"})
    page = sheet(owner.get(VAN)).text
    assert f"{order}.1" not in page and "1 set complete" in page and "3 of 17 beds made" in page


def test_a_cut_off_that_passed_is_late(owner: Any, made: Made, sheet: Callable[[Any], Any], me: str) -> None:
    from bedsite.records import cards, ledger
    from bedsite.records.bodies import about_of

    row = cards.head("about", "works")
    about = about_of(row.body, row.schema, works_id="small-works", revision=ledger.revision_now())
    cards.put(about.model_copy(update={"as_of": date(2026, 3, 16)}), expected=1, who=me)
    text = sheet(owner.get("/")).text
    assert "Today counts as Monday 16 March 2026" in text
    assert "its cut-off has passed" in text and "passed" in text, "what stayed behind stands first"


def test_a_kept_reckoning_says_what_is_late_and_short(
    owner: Any, made: Made, sheet: Callable[[Any], Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    from bedsite.longwork import asking, kept_answers, latest
    from bedsite.records import cards
    from bedsite.records.bodies import about_of
    from bedsite.records.models import Job

    works_order = next(iter(made.serials))
    job = asking.ask_reckoning(made.me)
    row = cards.head("about", "works")
    about = about_of(row.body, row.schema, works_id="small-works", revision=1)
    assert latest.kept_reckoning(about) is None, "asked, not yet reckoned"
    Job.objects.filter(pk=job.pk).update(state="done")
    answer = {
        "orders": {"works_orders": [{"works_order": f"{works_order}.1", "makes_van": False}]},
        "plan": {"late": [{"works_order": f"{works_order}.1", "why": "the tape edge is full"}]},
        "bill": {"supply": [{"code": "TICK", "starves": [f"{works_order}.1"]}]},
    }
    kept_answers.keep(job.question, "reckon", answer)
    page = sheet(owner.get(VAN)).text
    assert "late the tape edge is full" in page and "short of TICK" in page and "Nobody has reckoned" not in page
    order = cards.card_in(cards.head("order", "O-1"))
    cards.put(order.model_copy(update={"note": "moved on"}), expected=1, who=made.me)
    assert "Nobody has reckoned this revision yet" in sheet(owner.get(VAN)).text


def test_an_enquiry_and_a_brief_without_a_bed_wait(owner: Any, me: str, sheet: Callable[[Any], Any]) -> None:
    from bedsite.records import cards
    from bedwright.works.trading import Brief, Order

    order = cards.card_in(cards.head("order", "O-3"))
    assert isinstance(order, Order)
    cards.put(order.model_copy(update={"state": "enquiry"}), expected=1, who=me)
    wish = Brief(code="WISH", customer="QUIET", size="150", quantity=3, due=date(2026, 4, 1))
    cards.put(wish, expected=0, who=me)
    text = sheet(owner.get("/")).text
    assert "order O-3 waits for an answer to QUIET" in text and "brief WISH waits for a bed for QUIET" in text


def test_the_address_holds_round_and_day_and_says_what_is_none(
    owner: Any, made: Made, sheet: Callable[[Any], Any]
) -> None:
    answer = owner.get("/?day=tomorrow")
    assert answer.status_code == 422 and "is no day of a van; it is written as 2026-11-02." in sheet(answer).text
    page = sheet(owner.get(VAN))
    assert {"name": "day", "value": "2026-03-13"}.items() <= next(b for b in page.boxes if b.get("id") == "day").items()
    assert "Nothing is released for this van." in sheet(owner.get("/?day=2026-03-10&round=north")).text
    assert "no bed is open" in sheet(owner.get("/?day=2026-03-14")).text
    for odd in (
        "?round=%00",
        "?page=99999",
        "?from=x&page=-1",
        "?from=9999-12-31",
        "?from=0001-01-01",
        "?round=nobody",
    ):
        assert owner.get(f"/{odd}").status_code == 200, odd
    assert owner.get("/?day=9999-12-31").status_code == 422


def test_beds_are_counted_by_groups(made: Made) -> None:
    """No question is asked bed by bed, and none brings the rows of beds."""
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    from bedsite.records.by_van import runs_of_days

    runs_of_days([date(2026, 3, 13)])
    with CaptureQueriesContext(connection) as seen:
        found = runs_of_days([date(2026, 3, 13)])
    assert sum(run.beds for run in found) == 17
    assert len(seen) <= 2 + 2 * len(made.serials)
    asked = [query["sql"].split(" FROM ")[0] for query in seen if "records_step" in query["sql"]]
    assert asked and all(
        '"serial"' not in sql.replace('COUNT(DISTINCT "records_step"."serial")', "COUNT") or "COUNT" in sql
        for sql in asked
    )


def test_a_long_van_stands_on_pages_of_its_own(
    owner: Any, made: Made, sheet: Callable[[Any], Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    from bedsite.office.marrying import showing

    monkeypatch.setattr(showing, "MOST_SETS", 1)
    first = sheet(owner.get("/?day=2026-03-13"))
    more = next(link for link in first.links if "round=north" in link)
    assert "more set of this van" in first.text or "more sets of this van" in first.text
    seen: list[str] = []
    while more:
        page = sheet(owner.get(f"/{more}"))
        seen += [link.rpartition("=")[2] for link in page.links if "/bookings?serial=" in link]
        more = next((link for link in page.links if f"page={len(seen) + 1}" in link), "")
    assert len(seen) == len(set(seen)) >= 2, "every set once"
