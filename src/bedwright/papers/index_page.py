"""The page that opens a run: everything in short, readable and printable, one file, no script, no network.

It prints the summary as it stands and works nothing out. All text is escaped; links are relative.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from html import escape
from importlib.resources import files
from typing import Any

from bedwright.cost.money import money_words
from bedwright.papers.cautions import CERTIFIES_NOTHING, cautions
from bedwright.typed import show

Plain = Mapping[str, Any]
Column = tuple[str, str]
"""A heading and its unit; a unit (or "n") sets the column in figures, to the right."""

SHEETS = (
    ("bed-sheets/", "Bed sheets"),
    ("job-cards/", "Job cards"),
    ("van-sheets/", "Van sheets"),
    ("labels/", "Product labels"),
)
CAUTIONS = ("fire", "infants", "lift", "film", "bunk", "recovery")


def index_page(summary: Plain, papers: Sequence[str], limits: Sequence[str]) -> bytes:
    """The page. papers: relative paths written beside it; limits: sentences on what this version leaves out."""
    style = files("bedwright.papers").joinpath("index.css").read_text(encoding="utf-8")
    version = summary["version"]
    body = (
        _book(summary),
        _late(summary),
        _vans(summary),
        _beds(summary),
        _briefs(summary),
        _cuts(summary),
        _supply(summary),
        _bought(summary),
        _refused(summary),
        _papers(papers),
        _words(limits),
    )
    parts = [
        "<!doctype html>",
        '<html lang="en"><head><meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"<title>{escape(version['name'])}, {escape(version['as_of'])}</title>",
        f"<style>{style}</style></head><body>",
        _title(version, "".join(body)),
        *body,
        "</body></html>",
    ]
    return ("\n".join(part for part in parts if part) + "\n").encode("utf-8")


def _title(version: Plain, body: str) -> str:
    """The heading, with links to the parts that this page has."""
    links = (
        ("book", "order book"), ("late", "late"), ("vans", "vans"), ("beds", "beds"), ("briefs", "briefs"),
        ("cuts", "cuts"), ("supply", "shortages"), ("bought", "bought beds"), ("papers", "papers"),
        ("limits", "limits"),
    )  # fmt: skip
    nav = "".join(f'<a href="#{key}">{says}</a>' for key, says in links if f'id="{key}"' in body)
    says = f"<p>{escape(version['says'])}</p>" if version["says"] else ""
    return (
        f"<header><h1>{escape(version['name'])}: the order book</h1>"
        f"<p>As of {escape(version['as_of'])}; works {escape(version['works_id'])}, revision "
        f"{version['works_revision']}, content {escape(version['works_content'][:12])}; "
        f"bedwright {escape(version['program'])}. Draft: nothing is released.</p>{says}<nav>{nav}</nav></header>"
    )


def _book(summary: Plain) -> str:
    orders, plan = summary["orders"], summary["plan"]
    make = orders["beds_to_make"]
    missing = plan["beds_missing_their_van"]
    states = ", ".join(f"{count} {state}" for state, count in orders["beds_by_state"].items())
    left = sum(len(van["left"]) for van in summary["loading"])
    audits = [*plan["audit"], *(one for cut in summary["cuts"] for one in cut["audit"])]
    audits += [one for van in summary["loading"] for one in van["audit"]]
    facts = [
        ("orders", f"{orders['orders']} with {orders['lines']} lines; beds: {states}"),
        ("to make", f"{make} beds in {plan['works_orders']} works orders, {plan['operations']} operations, "
                    f"{plan['oven_charges']} oven charges"),
        ("make their van", f"{make - missing} beds; {missing} do not"),
        ("how sure", f"{plan['how_sure']}; {plan['why_stopped']}"),
        ("van loads", f"{len(summary['loading'])}; "
                      + ("nothing is left behind" if not left else f"{left} bundles are left behind")),
        ("audits", "plan, cuts and loads audited independently: no fault" if not audits
                   else f"{len(audits)} faults: " + "; ".join(audits)),
    ]  # fmt: skip
    return f'<h2 id="book">The order book</h2>{_facts(facts)}'


def _late(summary: Plain) -> str:
    late = summary["plan"]["late"]
    if not late:
        return '<h2 id="late">Late</h2><p>No works order misses its van.</p>'
    orders = {one["works_order"]: one for one in summary["orders"]["works_orders"]}
    names = {bed["bed"]: bed["name"] or bed["bed"] for bed in summary["beds"]}
    rows = []
    for one in late:
        order = orders[one["works_order"]]
        hours = one["seconds_late"] / 3600
        rows.append(
            (one["works_order"], f"{order['beds']} x {names[order['bed']]} {order['size']}", order["customer"],
             f"{order['van_round']} {order['van_day']}", _how_late(hours), one["why"])
        )  # fmt: skip
    table = _table(
        (("works order", ""), ("beds", ""), ("customer", ""), ("van", ""), ("late", "n"), ("why late", "")), rows
    )
    return f'<h2 id="late">Late</h2><div class="bad">{len(late)} works orders miss their van.</div>{table}'


def _how_late(hours: float) -> str:
    return f"{hours:.1f} h" if hours < 72 else f"{hours / 24:.0f} days"


def _vans(summary: Plain) -> str:
    rows = [
        (van["day"], van["van_round"], van["vehicle"], van["beds"], van["collected"],
         _one(van["used_length_mm"] / 1000, 2), _one(van["bound_length_mm"] / 1000, 2),
         "; ".join(["fits" if van["fits"] else "left behind: " + "; ".join(van["left"]), *van["not_ready"]]))
        for van in summary["loading"]
    ]  # fmt: skip
    columns = (
        ("day", ""), ("round", ""), ("vehicle", ""), ("beds", "n"), ("collected", "n"), ("floor used", "m"),
        ("at least", "m"), ("", ""),
    )  # fmt: skip
    return f'<h2 id="vans">Van loads</h2>{_table(columns, rows)}'


def _beds(summary: Plain) -> str:
    costs = {(one["bed"], one["size"]): one for one in summary["cost"]["beds"]}
    currency = summary["version"]["currency"]
    rows = []
    for bed in summary["beds"]:
        cost = costs[bed["bed"], bed["size"]]
        springs = f"{bed['springs']}" + (f" + {bed['mini_springs']}" if bed["mini_springs"] else "")
        steel = "supplier's" if bed["steel_not_known_of"] else _one(bed["steel_kg"])
        rows.append(
            (f"{bed['name'] or bed['bed']}", bed["size"], springs, _one(bed["height_mm"], 0), _one(bed["mass_kg"]),
             steel, _h(bed), money_words(cost["total_minor"], currency),
             money_words(cost["price_for_margin_minor"], currency),
             "" if cost["complete"] else cost["says"])
        )  # fmt: skip
    columns = (
        ("bed", ""), ("size", ""), ("springs", "n"), ("height", "mm"), ("mass", "kg"), ("steel", "kg"),
        ("H, tangent", "N/mm"), ("cost", currency), ("price at house margin", currency), ("", ""),
    )  # fmt: skip
    note = (
        "H is the mean slope of the predicted pad curve at 210, 275 and 340 N, with the interval that wire, turns, "
        "diameter, fillings, panel tension and ties leave open. It is predicted, no measurement: only a laboratory's "
        "test is a test."
    )
    return f'<h2 id="beds">Beds</h2>{_table(columns, rows)}<p class="soft">{note}</p>{_open_coil(summary)}'


def _open_coil(summary: Plain) -> str:
    """What the open-coil cards give at one size, beside each other: counts and steel, as found, no rule."""
    open_coil = [bed for bed in summary["beds"] if bed["construction"] == "open-coil"]
    sizes = Counter(bed["size"] for bed in open_coil)
    size = max(sizes, key=lambda one: (sizes[one], one), default="")
    found = [bed for bed in open_coil if bed["size"] == size]
    known = [bed for bed in found if not bed["steel_not_known_of"]]
    if len(known) < 2:
        return ""
    says = "; ".join(
        f"{escape(bed['name'] or bed['bed'])} {bed['springs']} springs of {show(bed['wire_mm'][0])} mm wire, "
        f"{_one(bed['steel_kg'], 2)} kg steel in all"
        for bed in known
    )
    return (
        f"<p>Open-coil units of these cards at {size}: {says}. That is what these cards give; more springs of thinner "
        "wire weigh less or more with turns, end rings and lacing, so it is no rule.</p>"
    )


def _h(bed: Plain) -> str:
    if bed["h_tangent_n_per_mm"] is None:
        return "not known"
    low, high = bed["h_tangent_low_n_per_mm"], bed["h_tangent_high_n_per_mm"]
    return f"{_one(bed['h_tangent_n_per_mm'])} ({_one(low)} to {_one(high)})"


def _briefs(summary: Plain) -> str:
    briefs = summary["orders"]["briefs"]
    rows = [
        (one["brief"], f"{one['bed']} {one['size']}", "; ".join(one["met"]), "; ".join(one["not_met"]),
         "; ".join(one["not_known"]))
        for one in briefs
    ]  # fmt: skip
    columns = (("brief", ""), ("bed", ""), ("met", ""), ("not met", ""), ("not known", ""))
    return f'<h2 id="briefs">Briefs</h2>{_table(columns, rows)}' if rows else ""


def _cuts(summary: Plain) -> str:
    rows = [
        (cut["week"], cut["kind"], cut["name"].removeprefix(cut["week"]).strip(), _one(cut["taken"], 2),
         _one(cut["bound"], 2), cut["unit"], _one(cut["yield_percent"]), cut["short"], cut["says"])
        for cut in summary["cuts"]
    ]  # fmt: skip
    columns = (
        ("week", ""), ("cut", ""), ("material", ""), ("taken", "n"), ("at least", "n"), ("", ""), ("yield", "%"),
        ("short", "n"), ("how sure", ""),
    )  # fmt: skip
    return f'<h2 id="cuts">Cuts</h2>{_table(columns, rows)}'


def _supply(summary: Plain) -> str:
    short = [one for one in summary["bill"]["supply"] if one["short"]]
    rows = [
        (one["code"], _one(one["gross"]), _one(one["on_hand"]), _one(one["net"]), one["unit"],
         one["order_by"] or "lead not known", "too late" if one["late"] else "in time", ", ".join(one["starves"]))
        for one in short
    ]  # fmt: skip
    columns = (
        ("item", ""), ("needed", "n"), ("there", "n"), ("short", "n"), ("", ""), ("order by", ""), ("", ""),
        ("starves", ""),
    )  # fmt: skip
    body = _table(columns, rows) if rows else "<p>Nothing is short.</p>"
    return f'<h2 id="supply">Shortages</h2>{body}'


def _bought(summary: Plain) -> str:
    rows = [
        (one["offer"], f"{one['bed']} {one['size']}", one["plant"],
         f"{one['landed_per_good']} ({one['landed_low']} to {one['landed_high']})", one["made"] or "not known",
         _difference(one), one["sample"], "final" if one["final"] else "; ".join(one["open_points"]))
        for one in summary["cost"]["bought"]
    ]  # fmt: skip
    currency = summary["version"]["currency"]
    columns = (
        ("offer", ""), ("bed", ""), ("plant", ""), ("landed, good one", currency), ("made", currency),
        ("landed - made", currency), ("sample of the lot", "n"), ("final, or what is open", ""),
    )  # fmt: skip
    move = show(summary["cost"]["exchange_move_percent"])
    note = (
        f'<p class="soft">In brackets: the exchange rate {move} % either way (house rule exchange_move). Duty and '
        "rates are the dated offer's.</p>"
    )
    return f'<h2 id="bought">Bought beds beside made ones</h2>{_table(columns, rows)}{note}' if rows else ""


def _difference(one: Plain) -> str:
    """Landed less made; where the made cost lies inside the landed band, the band decides, not the middle of it."""
    if one["made"] is None:
        return ""
    if Decimal(one["landed_low"]) <= Decimal(one["made"]) <= Decimal(one["landed_high"]):
        return "no difference can be told"
    return str(one["difference"])


def _refused(summary: Plain) -> str:
    rows = sorted(
        {
            (bed["name"] or bed["bed"], claim["says"], claim["why"])
            for bed in summary["beds"]
            for claim in bed["claims"]
            if not claim["shown"]
        }
    )
    if not rows:
        return ""
    table = _table((("bed", ""), ("claim", ""), ("why it is refused", "")), rows)
    return f"<h2>Claims refused</h2>{table}"


def _papers(papers: Sequence[str]) -> str:
    parts = ['<h2 id="papers">Papers</h2>']
    for prefix, says in SHEETS:
        found = [path for path in papers if path.startswith(prefix)]
        links = ", ".join(f'<a href="{escape(path)}">{escape(path.removeprefix(prefix))}</a>' for path in found)
        if links:
            parts.append(f"<p>{says}: {links}</p>")
    books = [path for path in papers if path.endswith((".xlsx", ".json"))]
    links = ", ".join(f'<a href="{escape(path)}">{escape(path)}</a>' for path in books)
    parts.append(f"<p>Rows behind the pages: {links}</p>")
    return "".join(parts)


def _words(limits: Sequence[str]) -> str:
    warned = "".join(f"<li><b>{escape(one.word)}.</b> {escape(one.says)}</li>" for one in cautions(CAUTIONS))
    left_out = "".join(f"<li>{escape(one)}</li>" for one in limits)
    return (
        f'<h2 id="limits">Cautions and limits</h2><ul class="cautions">{warned}</ul><ul>{left_out}</ul>'
        f"<p>{CERTIFIES_NOTHING} Local codes, accredited laboratories and licensed practice come first.</p>"
    )


def _facts(facts: Iterable[tuple[str, str]]) -> str:
    return "<dl>" + "".join(f"<dt>{escape(what)}</dt><dd>{escape(says)}</dd>" for what, says in facts) + "</dl>"


def _table(columns: Sequence[Column], rows: Iterable[Sequence[object]]) -> str:
    heads = "".join(f"<th{_figures(unit)}>{escape(name)}{_unit(unit)}</th>" for name, unit in columns)
    body = "".join(
        "<tr>"
        + "".join(f"<td{_figures(unit)}>{escape(str(cell))}</td>" for (_, unit), cell in zip(columns, row, strict=True))
        + "</tr>"
        for row in rows
    )
    return f'<div class="wide"><table><thead><tr>{heads}</tr></thead><tbody>{body}</tbody></table></div>'


def _figures(unit: str) -> str:
    return ' class="n"' if unit else ""


def _unit(unit: str) -> str:
    return f' <span class="u">{escape(unit)}</span>' if unit and unit != "n" else ""


def _one(value: float | None, places: int = 1) -> str:
    return "not known" if value is None else f"{value:.{places}f}"
