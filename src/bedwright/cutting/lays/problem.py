"""The question of a lay: which panels, on which plies, from which shade lots. Integers in tenths of a millimetre."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bedwright.cutting.plan import millimetres
from bedwright.errors import Fault, FaultsFound


@dataclass(frozen=True, slots=True)
class Panel:
    """A quilted panel at cut size (trim and oversize already in it).

    along, across: head to foot along the roll as typed; may_turn: pattern and nap allow a quarter turn; shade: panels
    with the same word (a bed, a zip-linked pair) come from one shade lot, empty where any lot will do.
    """

    key: str
    along: int
    across: int
    count: int
    may_turn: bool = False
    shade: str = ""
    what: str = ""


@dataclass(frozen=True, slots=True)
class Ply:
    """One cloth or wadding of the lay: roll width and the selvedge that is lost on each side."""

    key: str
    width: int
    selvedge: int = 0


@dataclass(frozen=True, slots=True)
class ShadeLot:
    """Quilted length that one shade lot of the ticking can give; None: enough."""

    key: str
    length: int | None = None


@dataclass(frozen=True, slots=True)
class LayProblem:
    """Panels of one ticking, one pattern, one recipe.

    gap_across, gap_along: lost between neighbours and after each row (knife, trim not in the panel); repeat: pattern
    repeat along the roll, every row starts on one (0: none); ends: lost once per lot used; one_way: nap or motif
    forbids turning whatever the panel says; take_up: how much longer the ticking fed is than the quilted length, in
    thousandths, None: not known (measure it). Raises FaultsFound, all gathered, naming panel and ply.
    """

    name: str
    panels: tuple[Panel, ...]
    plies: tuple[Ply, ...]
    lots: tuple[ShadeLot, ...] = (ShadeLot("any"),)
    gap_across: int = 0
    gap_along: int = 0
    repeat: int = 0
    ends: int = 0
    one_way: bool = False
    take_up: int | None = None

    def __post_init__(self) -> None:
        faults = tuple(_faults(self))
        if faults:
            raise FaultsFound(faults)

    @property
    def usable_width(self) -> int:
        """The least width that all plies share."""
        return min(ply.width - 2 * ply.selvedge for ply in self.plies)

    @property
    def narrowest(self) -> Ply:
        return min(self.plies, key=lambda ply: (ply.width - 2 * ply.selvedge, ply.key))

    def ways(self, panel: Panel) -> tuple[tuple[int, int, bool], ...]:
        """(along, across, turned) a panel may lie in and that fit the width."""
        ways = [(panel.along, panel.across, False)]
        if panel.may_turn and not self.one_way and panel.along != panel.across:
            ways.append((panel.across, panel.along, True))
        return tuple(way for way in ways if way[1] <= self.usable_width)

    def pitch(self, along: int) -> int:
        """Roll that a row of this length takes: with its gap, rounded up to the pattern repeat."""
        length = along + self.gap_along
        return -(-length // self.repeat) * self.repeat if self.repeat else length


def _faults(problem: LayProblem) -> Iterator[Fault]:
    place = f"lay {problem.name}"
    if not problem.plies:
        yield Fault("no ply", "give at least the ticking", card=place, field="plies")
        return
    if not problem.panels:
        yield Fault("no panels", "give at least one panel", card=place, field="panels")
    if not problem.lots:
        yield Fault("no shade lot", "leave the default or give one", card=place, field="lots")
    for name in ("gap_across", "gap_along", "repeat", "ends"):
        if getattr(problem, name) < 0:
            yield Fault("below zero", "use 0 or more", str(getattr(problem, name)), card=place, field=name)
    if problem.take_up is not None and not 0 <= problem.take_up <= 500:
        yield Fault("not a take-up", "use 0 to 500 thousandths", str(problem.take_up), card=place, field="take_up")
    named = (("panels", problem.panels), ("plies", problem.plies), ("lots", problem.lots))
    for field, things in named:
        keys = [thing.key for thing in things]
        for twin in sorted({k for k in keys if keys.count(k) > 1}):
            yield Fault("the same key twice", "give each its own key", twin, card=place, field=field)
    for lot in problem.lots:
        if lot.length is not None and lot.length < 0:
            yield Fault("below zero", "use 0 or more", str(lot.length), card=place, field=f"lot {lot.key}")
    if problem.usable_width <= 0:
        yield Fault("no usable width", "", problem.narrowest.key, card=place, field="plies")
        return
    for panel in problem.panels:
        yield from _panel_faults(problem, panel, f"{place} panel {panel.key}")


def _panel_faults(problem: LayProblem, panel: Panel, place: str) -> Iterator[Fault]:
    if panel.along <= 0 or panel.across <= 0:
        yield Fault("no size", "use sizes above 0", f"{panel.along} x {panel.across}", card=place, field="along")
        return
    if panel.count < 0:
        yield Fault("below zero", "use 0 or more", str(panel.count), card=place, field="count")
    if not problem.ways(panel):
        turn = "" if panel.may_turn and not problem.one_way else " and it may not turn"
        yield Fault(
            f"{millimetres(panel.across)} mm across fits no roll: ply {problem.narrowest.key} has "
            f"{millimetres(problem.usable_width)} mm usable{turn}",
            "use a wider ply, or allow the turn",
            card=place,
            field="across",
        )
