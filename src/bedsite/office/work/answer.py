"""What came of a job, in short, as its page shows it; amounts of money only to those who deal in them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.urls import reverse

from bedsite.doors import rights
from bedwright.works.workbook.cells import as_text


@dataclass(frozen=True, slots=True)
class Paper:
    """A kept paper as listed."""

    id: str
    paper: str
    name: str
    size: int


@dataclass(frozen=True, slots=True)
class Answer:
    """Facts in a row, beds in a table, papers as links."""

    facts: tuple[tuple[str, str, str], ...] = ()
    """Words, figure, unit."""
    beds: tuple[tuple[str, ...], ...] = ()
    prices: bool = False
    papers: tuple[Paper, ...] = ()
    to: str = ""
    """Address of the sheet on which the whole of it stands."""


def facts_of(kind: str, answer: Any, roles: Iterable[str], *, money: bool) -> Answer | None:
    """The answer of a kind for people with these roles; None where there is none."""
    if answer is None:
        return None
    if kind == "papers":
        return _papers(answer, roles)
    if kind in ("pad-test", "lying"):
        return _of_a_bed(answer)
    if kind == "weigh-up":
        query = urlencode({"work": answer["work"], "seed": answer["seed"]})
        to = f"{reverse('office:weigh-up', args=[answer['brief']])}?{query}"
        return Answer((("brief", answer["brief"], ""),), to=to if money else "")
    if kind == "side-by-side":
        return _side_by_side(answer)
    return _reckoning(answer, money) if kind == "reckon" else Answer()


def _side_by_side(answer: Any) -> Answer:
    """Which beds; the address says the same question on their sheet."""
    facts = (("beds", ", ".join(answer["beds"]), ""), ("size", answer["size"], ""))
    query = urlencode({"bed": answer["beds"], "size": answer["size"], "person": answer["persons"]}, doseq=True)
    return Answer(facts, to=f"{reverse('office:side-by-side')}?{query}")


def _of_a_bed(answer: Any) -> Answer:
    """Its first figures; the address says the same question on the bed's sheet."""
    told = [(one["word"], one["value"], one["unit"]) for one in answer.get("facts", ())[:2]]
    facts = (("bed", answer["bed"], ""), ("size", answer["size"], ""), *told)
    query = urlencode({"size": answer["size"], **answer["asked"]})
    return Answer(facts, to=f"{reverse('office:bed', args=[answer['bed']])}?{query}")


def _papers(answer: Any, roles: Iterable[str]) -> Answer:
    seen = [one for one in answer["papers"] if rights.may_see_paper(roles, one["paper"])]
    facts = (
        ("revision of the works", as_text(answer["revision"]), ""),
        ("the day that counted as today", answer["as_of"], ""),
        ("papers", str(len(seen)), ""),
    )
    return Answer(facts, papers=tuple(Paper(one["id"], one["paper"], one["name"], one["size"]) for one in seen))


def _reckoning(answer: Any, money: bool) -> Answer:
    version, orders, plan = answer["version"], answer["orders"], answer["plan"]
    late = [one for one in orders["works_orders"] if not one["makes_van"]]
    short = [one for one in answer["bill"]["supply"] if one["short"]]
    facts = (
        ("revision of the works", str(version["works_revision"]), ""),
        ("the day that counted as today", version["as_of"], ""),
        ("works orders", str(len(orders["works_orders"])), ""),
        ("beds to make", str(orders["beds_to_make"]), ""),
        ("works orders that miss their van", str(len(late)), ""),
        ("materials short", str(len(short)), ""),
        ("cuts asked", str(len(answer["cuts"])), ""),
        ("van loads", str(len(answer["loading"])), ""),
        ("the plan stopped because", str(plan.get("why", "")) if isinstance(plan, dict) else "", ""),
    )
    costs = {(one["bed"], one["size"]): one for one in answer["cost"]["beds"]} if money else {}
    currency = version["currency"]
    beds = tuple(_bed(one, costs.get((one["bed"], one["size"])), money, currency) for one in answer["beds"])
    return Answer(tuple(fact for fact in facts if fact[1]), beds, money)


def _hardness(bed: Any) -> str:
    found, low, high = (bed.get(f"h_tangent{end}_n_per_mm") for end in ("", "_low", "_high"))
    if found is None:
        return "not known"
    between = f" ({low:.2g} to {high:.2g})" if low is not None and high is not None else ""
    return f"{found:.2g}{between}"


def _bed(bed: Any, cost: Any, money: bool, currency: str) -> tuple[str, ...]:
    told = (
        bed["bed"],
        bed["name"],
        bed["size"],
        f"{bed['height_mm']:.0f}",
        f"{bed['mass_kg']:.1f}",
        _hardness(bed),
    )
    if not money:
        return told
    known = cost is not None and cost["total_minor"] is not None
    return (*told, f"{cost['total_minor'] / 100:.2f} {currency}" if known else "not known")
