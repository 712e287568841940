"""The answer to a van load: every box in place, in loading order, stop by stop, with bound and what stays behind."""

from __future__ import annotations

from dataclasses import dataclass

from bedwright.loading.problem import LoadProblem
from bedwright.words import counted


@dataclass(frozen=True, slots=True)
class Placed:
    """One piece: corner x (from the bulkhead), y (from the left wall), z (up), size as it stands [mm], and its way."""

    bundle: str
    copy: int
    stop: str
    x: int
    y: int
    z: int
    dx: int
    dy: int
    dz: int
    way: str


@dataclass(frozen=True, slots=True)
class Left:
    """Pieces that stay behind (goods) or cannot be taken (collections), and why."""

    bundle: str
    stop: str
    count: int
    reason: str


@dataclass(frozen=True, slots=True)
class StopState:
    """The vehicle on leaving a place; stop "" is the works.

    mass on board [g]; free_length [mm] at the doors over the whole width; opened [mm3] by what was delivered here;
    centre of mass (x from the bulkhead, y from the left wall) [mm], None when empty; taken_off: collections (bundle,
    copy) that had to be taken off and put back here.
    """

    stop: str
    mass: int
    free_length: int
    opened: int
    centre: tuple[int, int] | None
    taken_off: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class LoadPlan:
    """A load. goods and collections in the order of loading; used_length and bound_length [mm] of floor at departure:
    no load of the goods that are on board takes less than the bound."""

    problem: LoadProblem
    goods: tuple[Placed, ...]
    collections: tuple[Placed, ...]
    left: tuple[Left, ...]
    states: tuple[StopState, ...]
    used_length: int
    bound_length: int
    stopped: str
    tried: int
    work: int

    @property
    def fits(self) -> bool:
        return not self.left

    @property
    def gap(self) -> float:
        """Share of the floor length used that is not proven to be needed, 0 to 1."""
        return (self.used_length - self.bound_length) / self.used_length if self.used_length else 0.0

    @property
    def filled_percent(self) -> float:
        """Volume of the goods over the inside volume at departure."""
        vehicle = self.problem.vehicle
        goods = sum(p.dx * p.dy * p.dz for p in self.goods)
        return 100.0 * goods / (vehicle.length * vehicle.width * vehicle.height)

    def words(self) -> str:
        metres = f"{self.used_length / 1000:.2f} m of floor used, at least {self.bound_length / 1000:.2f} m needed"
        if self.fits:
            return f"everything fits; {metres}; {self.stopped}"
        count = sum(row.count for row in self.left)
        verb = "does" if count == 1 else "do"
        return f"{counted(count, 'piece')} {verb} not fit; {metres}; {self.stopped}"
