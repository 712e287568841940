"""The one table of who may do what: page x verb x role, and which fields of which card each role may see and change.

Middleware asks it for every request, templates ask it for every link, and a test walks every address as every role and
as a stranger. A page without a row is refused to everybody.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import Literal, get_args

from pydantic import BaseModel

from bedwright.works.kinds import BY_KIND

Role = Literal["owner", "designer", "planner", "buyer", "inspector", "maker", "viewer"]
ROLES: tuple[Role, ...] = get_args(Role)
MEANING: dict[Role, str] = {
    "owner": "people and rights, and everything else",
    "designer": "beds, parts and how they are made",
    "planner": "orders, people at work, places, van rounds",
    "buyer": "suppliers, prices, stock, bought beds",
    "inspector": "evidence and checks; sees no prices",
    "maker": "the floor only; sees no prices",
    "viewer": "looks at the office, changes nothing; sees no prices",
}
OFFICE: frozenset[str] = frozenset(ROLES) - {"maker"}
"""Everybody who works at a desk; a maker has the floor."""
OWNER = frozenset({"owner"})
SEE_MONEY = frozenset({"owner", "designer", "planner", "buyer"})
"""Who deals in money: prices in lists, whole workbooks."""
ANYBODY = frozenset({"anybody"})
"""Strangers too: only what lets people in, and the files that pages are drawn with."""
SIGNED_IN = frozenset(ROLES)
DEVICE = frozenset({"device"})
"""A tablet that was let in, whoever stands at it; its acts need somebody's badge or PIN besides."""


@dataclass(frozen=True, slots=True)
class Right:
    """Who may call a page (its name in urls.py) with a verb."""

    page: str
    verb: Literal["GET", "POST"]
    who: frozenset[str]


def _both(page: str, who: frozenset[str]) -> tuple[Right, Right]:
    return Right(page, "GET", who), Right(page, "POST", who)


TABLE: tuple[Right, ...] = (
    # doors
    *_both("doors:sign-in", ANYBODY),
    *_both("doors:first", ANYBODY),
    *_both("doors:password", ANYBODY),
    *_both("doors:tablet", ANYBODY),
    Right("doors:sign-out", "POST", SIGNED_IN),
    Right("doors:me", "GET", SIGNED_IN),
    Right("doors:my-password", "POST", SIGNED_IN),
    Right("doors:my-pin", "POST", SIGNED_IN),
    Right("doors:people", "GET", OWNER),
    *_both("doors:new-person", OWNER),
    Right("doors:person", "GET", OWNER),
    Right("doors:person-roles", "POST", OWNER),
    Right("doors:person-shut-out", "POST", OWNER),
    Right("doors:person-let-in", "POST", OWNER),
    *_both("doors:person-erase", OWNER),
    Right("doors:person-badge", "POST", OWNER),
    Right("doors:person-pin", "POST", OWNER),
    Right("doors:person-link", "POST", OWNER),
    Right("doors:devices", "GET", OWNER),
    Right("doors:new-device", "POST", OWNER),
    Right("doors:device-link", "POST", OWNER),
    Right("doors:device-shut-out", "POST", OWNER),
    Right("doors:audit", "GET", OWNER),
    # office
    *(Right(f"office:{page}", "GET", OFFICE) for page in ("marrying", "front", "search")),
    *(Right(f"office:{page}", "GET", OFFICE) for page in ("beds", "beds-table", "bed", "bed-plan")),
    *(Right(f"office:{page}", "GET", OFFICE) for page in ("bed-came", "bed-drawn")),
    *(Right(f"office:{page}", "POST", OFFICE - {"viewer"}) for page in ("bed-pad-test", "bed-lying", "bed-cancel")),
    *(Right(f"office:{page}", "GET", SEE_MONEY) for page in ("weigh-up", "weigh-up-came")),
    *(Right(f"office:{page}", "POST", SEE_MONEY) for page in ("weigh-up", "weigh-up-cancel")),
    *(Right(f"office:{page}", "GET", OFFICE) for page in ("side-by-side", "side-by-side-came")),
    *(Right(f"office:{page}", "POST", OFFICE - {"viewer"}) for page in ("side-by-side", "side-by-side-cancel")),
    *(Right(f"office:{page}", "GET", OFFICE) for page in ("cards", "card", "card-revision", "card-history")),
    *(Right(f"office:{page}", "GET", OFFICE) for page in ("card-compare", "card-table", "card-merge")),
    *_both("office:card-new", OFFICE - {"viewer"}),
    *_both("office:card-edit", OFFICE - {"viewer"}),
    *(Right(f"office:{page}", "POST", OFFICE - {"viewer"}) for page in ("card-merge", "card-out", "card-back")),
    Right("office:workbook", "GET", SEE_MONEY),
    *_both("office:import", SEE_MONEY),
    Right("office:work", "GET", OFFICE),
    Right("office:work", "POST", OFFICE - {"viewer"}),
    *(Right(f"office:{page}", "GET", OFFICE) for page in ("work-job", "work-progress", "papers", "paper")),
    Right("office:work-cancel", "POST", OFFICE - {"viewer"}),
    *_both("office:release", frozenset({"owner", "planner"})),
    *_both("office:bookings", frozenset({"owner", "planner"})),
    # floor
    Right("floor:stations", "GET", SIGNED_IN | DEVICE),
    Right("floor:look", "GET", SIGNED_IN),
    Right("floor:station", "GET", DEVICE),
    Right("floor:now", "GET", DEVICE),
    Right("floor:acts", "POST", DEVICE),
    Right("floor:unlock", "POST", DEVICE),
    Right("floor:lock", "POST", DEVICE),
    Right("floor:keeper", "GET", ANYBODY),
)


@cache
def _by_page() -> dict[tuple[str, str], frozenset[str]]:
    return {(right.page, right.verb): right.who for right in TABLE}


def who_may(page: str, verb: str) -> frozenset[str] | None:
    """Roles that may call a page with a verb; None where the table has no row. HEAD counts as GET."""
    return _by_page().get((page, "GET" if verb == "HEAD" else verb))


# which kinds of card each role changes; every office role may look at all of them, money apart
CHANGES: dict[str, frozenset[str]] = {
    "brief": frozenset({"owner", "designer", "planner", "buyer"}),
    "order": frozenset({"owner", "planner"}),
    "customer": frozenset({"owner", "planner"}),
    "collection": frozenset({"owner", "planner"}),
    "van round": frozenset({"owner", "planner"}),
    "vehicle": frozenset({"owner", "planner"}),
    "person": frozenset({"owner", "planner"}),
    "shift": frozenset({"owner", "planner"}),
    "closed day": frozenset({"owner", "planner"}),
    "work place": frozenset({"owner", "planner", "designer"}),
    "route": frozenset({"owner", "planner", "designer"}),
    "price": frozenset({"owner", "buyer"}),
    "supplier": frozenset({"owner", "buyer"}),
    "stock": frozenset({"owner", "buyer", "planner"}),
    "plant": frozenset({"owner", "buyer"}),
    "offer": frozenset({"owner", "buyer"}),
    "evidence": frozenset({"owner", "designer", "inspector"}),
}
DESIGN = frozenset({"owner", "designer"})
"""Who changes every other kind."""


def may_change(roles: Iterable[str], kind: str) -> bool:
    """Whether any of these roles may change cards of a kind; `about` is the owner's."""
    allowed = OWNER if kind == "about" else CHANGES.get(kind, DESIGN)
    return bool(allowed & set(roles))


def may_see(roles: Iterable[str], model: type[BaseModel], field: str) -> bool:
    """Whether any of these roles may see a field of a card or row: amounts of money are for those who deal in them.

    A maker, an inspector and a viewer see no prices, whether on a page, in a list, in history or in a file.
    """
    return not is_money(model, field) or bool(SEE_MONEY & set(roles))


def may_see_kind(roles: Iterable[str], kind: str) -> bool:
    """Whether a kind of card is shown at all: a kind that exists for its prices is hidden with them."""
    held = set(roles)
    if not held & OFFICE:
        return False
    return kind not in MONEY_KINDS or bool(SEE_MONEY & held)


PLAIN_PAPERS = frozenset(
    {"bed sheet", "job cards", "van sheet", "labels", "bill", "cuts", "plan", "loading", "ticket", "tickets"}
)
"""Papers, by their word, that tell no amounts of money; every other one counts as telling some."""


def may_see_paper(roles: Iterable[str], paper: str) -> bool:
    """Whether any of these roles may open a kept paper, by its word: a maker none, prices who deals in them."""
    held = set(roles)
    return bool(SEE_MONEY & held) or (bool(OFFICE & held) and paper in PLAIN_PAPERS)


MONEY_KINDS = frozenset({"price", "offer"})


@cache
def is_money(model: type[BaseModel], field: str) -> bool:
    """Whether a field holds an amount of money: in cards these are the decimals."""
    annotation = model.model_fields[field].annotation
    return annotation is Decimal or Decimal in get_args(annotation)


assert set(CHANGES) <= set(BY_KIND), sorted(set(CHANGES) - set(BY_KIND))
