"""What one bed costs: materials with scrap or yield, labour by minutes or piece, set-up shared, overhead, rejects.

Plain numbers in (yields, run, rates, bottleneck minutes), by default the house's rules, so that a quote can be made
before any plan exists. Prices are dated; what has none is named and left out, never taken as nothing.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from bedwright.bill.rows import Bill, BillRow, Operation, shown
from bedwright.bill.scrap import house_scrap
from bedwright.cost.contribution import Offered, contribution, price_for_margin
from bedwright.cost.convert import priced_quantity
from bedwright.cost.money import exact, to_major, to_minor
from bedwright.cost.sheet import CostLine, CostSheet, Missing
from bedwright.cost.yields import gross
from bedwright.errors import OutsideRange
from bedwright.works.trading import Price
from bedwright.works.works import Works


@dataclass(slots=True)
class _Draft:
    """Lines gathered so far; amounts are rounded as each line is written."""

    works: Works
    bill: Bill
    as_of: date
    lines: list[CostLine] = field(default_factory=list)
    missing: dict[tuple[str, str], Missing] = field(default_factory=dict)
    assumed: set[str] = field(default_factory=set)

    @property
    def currency(self) -> str:
        return self.works.about.currency

    def write(
        self, part: str, code: str, name: str, quantity: float, unit: str, price: Decimal, amount: Decimal, how: str
    ) -> None:
        minor = to_minor(amount, self.currency)
        self.lines.append(CostLine(len(self.lines) + 1, part, code, name, quantity, unit, price, minor, how))

    def lacks(self, of: str, item: str, says: str) -> None:
        self.missing.setdefault((of, item), Missing(of, item, says))

    def sum(self) -> int:
        return sum(line.amount for line in self.lines)


def cost(
    works: Works,
    bill: Bill,
    as_of: date,
    *,
    yields: Mapping[str, float] | None = None,
    run_beds: int | None = None,
    overhead_per_minute: Decimal | None = None,
    reject_share: float | None = None,
    margin: Decimal | None = None,
    selling_price: Decimal | None = None,
    bottleneck_minutes: float | None = None,
) -> CostSheet:
    """The cost sheet of one bed on a day.

    yields: code -> share of what is put in that comes out (over 0 up to 1), from a cut plan; run_beds: beds that share
    a set-up; overhead_per_minute: money for one labour minute; reject_share: beds lost at the end, share of those made;
    margin: share of the price; selling_price: where it is given, contribution is taken from it; bottleneck_minutes:
    minutes at the scarce work place. What is not given comes from the house rules. Raises OutsideRange.
    """
    beds = round(works.rule("relative_run_batch")) if run_beds is None else run_beds
    if beds < 1:
        raise OutsideRange(f"a run of {beds} beds shares no set-up; give 1 or more")
    draft = _Draft(works, bill, as_of)
    by_scrap, by_yield = _materials(draft, yields)
    _labour(draft)
    set_up_minutes = _set_ups(draft, beds)
    _overhead(draft, bill.minutes + set_up_minutes, overhead_per_minute)
    _rejects(draft, reject_share)
    total = draft.sum()
    share = exact(works.rule("margin")) / 100 if margin is None else margin
    price = to_minor(price_for_margin(to_major(total, draft.currency), share), draft.currency)
    sheet = CostSheet(
        bed=bill.bed.bed.code,
        size=bill.bed.size.code,
        as_of=as_of,
        currency=draft.currency,
        run_beds=beds,
        lines=tuple(draft.lines),
        missing=tuple(draft.missing[key] for key in sorted(draft.missing)),
        assumed=tuple(sorted(draft.assumed)),
        material_by_scrap=by_scrap,
        material_by_yield=by_yield,
        total=total,
        margin=share,
        price=price,
        left=None,
    )
    return _with_contribution(sheet, selling_price, bottleneck_minutes)


def _with_contribution(sheet: CostSheet, selling: Decimal | None, minutes: float | None) -> CostSheet:
    if minutes is None:
        return sheet
    offered = to_major(sheet.price, sheet.currency) if selling is None else selling
    name = f"{sheet.bed} {sheet.size}"
    left = contribution(Offered(name, offered, to_major(sheet.variable, sheet.currency), exact(minutes)))
    return CostSheet(
        sheet.bed, sheet.size, sheet.as_of, sheet.currency, sheet.run_beds, sheet.lines, sheet.missing, sheet.assumed,
        sheet.material_by_scrap, sheet.material_by_yield, sheet.total, sheet.margin, sheet.price, left,
    )  # fmt: skip


def _materials(draft: _Draft, yields: Mapping[str, float] | None) -> tuple[int, int | None]:
    """A line for each material; (sum by scrap rates, sum by yields where given) in minor units."""
    rows: dict[tuple[str, str], list[BillRow]] = defaultdict(list)
    for row in draft.bill.rows:
        rows[row.kind, row.code].append(row)
    by_scrap = by_yield = 0
    for (kind, code), found in rows.items():
        price = draft.works.price_on(kind, code, draft.as_of)
        if price is None:
            draft.lacks(kind, code, f"no price has begun by {draft.as_of}")
            continue
        turned = [priced_quantity(draft.works, row, price.per) for row in found]
        if any(one is None for one in turned):
            draft.lacks(kind, code, f"priced per {price.per}, and its card cannot turn {found[0].counted_in} into that")
            continue
        nets = [(row, one[0]) for row, one in zip(found, turned, strict=True) if one is not None]
        words = next((one[1] for one in turned if one is not None and one[1]), "")
        scrapped = _by_scrap(draft.works, nets)
        used, how = scrapped
        if yields is not None and code in yields:
            used, how = _by_yield(sum(net for _, net in nets), yields[code], code)
        amount = exact(used) * price.price
        text = f"{how}{f' ({words})' if words else ''} = {shown(used)} {price.per} x {price.price:f}"
        name = found[0].name
        draft.write("material", code, name, used, price.per, price.price, amount, text)
        by_scrap += to_minor(exact(scrapped[0]) * price.price, draft.currency)
        by_yield += draft.lines[-1].amount
    return by_scrap, by_yield if yields is not None else None


def _by_scrap(works: Works, nets: Iterable[tuple[BillRow, float]]) -> tuple[float, str]:
    """Net quantities by their rows, each with the house's scrap on what is put in."""
    total, parts = 0.0, []
    sums: dict[tuple[str, float], float] = defaultdict(float)
    for row, net in nets:
        scrap = house_scrap(works, row)
        sums[scrap.rule, scrap.share] += net
    for (rule, share), net in sorted(sums.items()):
        total += gross(net, share, "input")
        parts.append(f"{shown(net)} / (1 - {rule} {share * 100:g} %)" if rule else f"{shown(net)}, no scrap")
    return total, " + ".join(parts)


def _by_yield(net: float, share: float, code: str) -> tuple[float, str]:
    if not 0 < share <= 1:
        raise OutsideRange(f"yield {share} of {code} must be a share over 0 up to 1 (96 % is 0.96)")
    return net / share, f"{shown(net)} / yield {share * 100:.6g} %"


def _labour(draft: _Draft) -> None:
    for step in draft.bill.operations:
        if step.piece_paid or step.subcontracted:
            _by_piece(draft, step)
        elif step.labour_minutes > 0:
            rate, says = _rate(draft, step.skill)
            if rate is None:
                continue
            hands = f" x {step.hands} people" if step.hands > 1 else ""
            how = f"{shown(step.minutes)} min{hands} x {rate:f} / 60{says}"
            amount = exact(step.labour_minutes) * rate / 60
            draft.write("labour", step.skill or "", step.operation, step.labour_minutes, "min", rate, amount, how)


def _by_piece(draft: _Draft, step: Operation) -> None:
    part = "outside" if step.subcontracted else "piece work"
    price = draft.works.price_on("piece", step.operation, draft.as_of)
    if price is None:
        draft.lacks("piece", step.operation, f"no piece price has begun by {draft.as_of}")
    elif price.per != "each":
        draft.lacks("piece", step.operation, f"priced per {price.per}; a piece price is per each")
    else:
        how = f"1 piece x {price.price:f}"
        draft.write(part, step.work_place, step.operation, 1.0, "each", price.price, price.price, how)


def _rate(draft: _Draft, skill: str | None) -> tuple[Decimal | None, str]:
    """Money for an hour of a skill, and what to say where the house's rate stands in."""
    price: Price | None = draft.works.price_on("labour", skill, draft.as_of) if skill else None
    if price is None:
        draft.assumed.add(f"labour of {skill or 'no special skill'} at rule labour_per_hour")
        return exact(draft.works.rule("labour_per_hour")), " (house rate)"
    if price.per != "hour":
        draft.lacks("labour", skill or "", f"priced per {price.per}; labour is priced per hour")
        return None, ""
    return price.price, ""


def _set_ups(draft: _Draft, beds: int) -> float:
    """Set-ups shared over a run, once for each work place and family; minutes of one bed's share."""
    minutes = 0.0
    seen: set[tuple[str, str]] = set()
    for step in draft.bill.operations:
        key = (step.work_place, step.family)
        if not step.family or step.subcontracted or key in seen:
            continue
        seen.add(key)
        times = {row.family: row.setup_minutes for row in draft.works.work_places[step.work_place].setups}
        spent = times.get(step.family)  # type: ignore[call-overload]
        if spent is None:
            lost = f"{step.family} at {step.work_place}"
            draft.lacks(
                "set-up", lost, f"no set-up minutes for {lost}; type them on the work place, 0 where it is free"
            )
            continue
        if not spent:
            continue
        rate, says = _rate(draft, step.skill)
        if rate is None:
            continue
        share = spent * max(step.hands, 1) / beds
        how = f"{step.family} {step.family_value}: {shown(spent)} min / {beds} beds x {rate:f} / 60{says}"
        amount = exact(share) * rate / 60
        draft.write("set-up", step.work_place, f"set-up, {step.operation}", share, "min", rate, amount, how)
        minutes += share
    return minutes


def _overhead(draft: _Draft, minutes: float, given: Decimal | None) -> None:
    rate = exact(draft.works.rule("overhead_per_minute")) if given is None else given
    if given is None:
        draft.assumed.add("overhead at rule overhead_per_minute")
    how = f"{shown(minutes)} labour minutes, set-up share included, x {rate:f}"
    draft.write("overhead", "", "overhead absorbed", minutes, "min", rate, exact(minutes) * rate, how)


def _rejects(draft: _Draft, given: float | None) -> None:
    """Good beds carry those lost at the end: total / (1 - share), less the total."""
    share = draft.works.rule("reject_taped") / 100 if given is None else given
    if given is None:
        draft.assumed.add("rejects at rule reject_taped")
    made = to_major(draft.sum(), draft.currency)
    lost = exact(gross(made, share, "input")) - made
    how = f"{made:f} / (1 - {share * 100:g} %) - {made:f}"
    draft.write("reject", "", "taped beds that cannot be put right", share * 100, "%", made, lost, how)
