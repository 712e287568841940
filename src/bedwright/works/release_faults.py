"""Where the order book and what was released no longer agree: told, never acted on by itself."""

from __future__ import annotations

from collections.abc import Iterator

from bedwright.errors import Fault
from bedwright.identity import same_code
from bedwright.works.released import LineReleased
from bedwright.works.trading import Order, OrderLine
from bedwright.works.vans import TO_MAKE
from bedwright.works.works import Works


def release_faults(works: Works) -> tuple[Fault, ...]:
    """Notes, none of them grave: fewer beds asked for than were released, another bed, a card that is gone."""
    lines: dict[tuple[str, int], list[LineReleased]] = {}
    for one in works.released:
        order = works.orders.get(one.order)
        lines.setdefault((order.code if order is not None else one.order, one.line), []).append(one)
    return tuple(fault for (order, line), issued in lines.items() for fault in _line_faults(works, order, line, issued))


def _line_faults(works: Works, code: str, position: int, issued: list[LineReleased]) -> Iterator[Fault]:
    names = ", ".join(one.works_order for one in issued)
    beds = sum(one.beds for one in issued)
    many = "1 bed was" if beds == 1 else f"{beds} beds were"
    order = works.orders.get(code)
    if order is None or order.state not in TO_MAKE:
        state = "is no longer in use" if order is None else f"is {order.state}"
        yield _fault(
            code, position, "", f"{many} released as {names}, and the order {state}",
            "decide what becomes of these beds; they are neither planned nor loaded",
        )  # fmt: skip
        return
    line = next((one for one in order.lines if one.position == position), None)
    asked = line.quantity if line is not None else 0
    if asked < beds:
        yield _fault(
            code, position, str(asked), f"asks for {asked} and {many} released as {names}; what was released stays",
            "decide what becomes of the beds too many",
        )  # fmt: skip
    for one in issued:
        yield from _other(works, order, line, one)


def _other(works: Works, order: Order, line: OrderLine | None, one: LineReleased) -> Iterator[Fault]:
    for kind, code, known in (("bed", one.bed, works.beds), ("size", one.size, works.sizes)):
        if code not in known:
            yield _fault(
                order.code, one.line, code,
                f"{one.works_order} was released as {kind} {code}, whose card is out of use; it cannot be planned",
                f"bring the card of {kind} {code} back until the beds are delivered",
            )  # fmt: skip
    if line is not None and not (same_code(line.bed, one.bed) and same_code(line.size, one.size)):
        yield _fault(
            order.code, one.line, f"{line.bed} {line.size}",
            f"asks for {line.bed} {line.size} now and {one.works_order} was released as {one.bed} {one.size}",
            "put what is asked for on a new line, and this one back as it was",
        )  # fmt: skip


def _fault(order: str, line: int, value: str, says: str, remedy: str) -> Fault:
    return Fault(
        says, remedy, value, sheet=OrderLine.SHEET, column="quantity", card=f"order {order}, lines {line}",
        field="quantity", grave=False,
    )  # fmt: skip
