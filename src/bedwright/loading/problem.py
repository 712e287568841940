"""The question of a van load: vehicle, stops in delivery order, bundles, collections. Millimetres and grams."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bedwright.errors import Fault, FaultsFound

FLAT, ON_EDGE, ROLLED = "flat", "on edge", "rolled"
WAYS = (FLAT, ON_EDGE, ROLLED)


@dataclass(frozen=True, slots=True)
class Vehicle:
    """Inside length, width, height [mm] and payload [g] from the plate; mass_from, mass_to: where the centre of mass
    may lie from the bulkhead [mm], None where not known."""

    key: str
    length: int
    width: int
    height: int
    payload: int
    tail_lift: bool = False
    mass_from: int | None = None
    mass_to: int | None = None


@dataclass(frozen=True, slots=True)
class Stop:
    """A delivery place; caution: what the two people should know before they lift (stairs, wind, kerb)."""

    key: str
    place: str = ""
    caution: str = ""


@dataclass(frozen=True, slots=True)
class Bundle:
    """Equal packed pieces for one stop (or, as a collection, from one).

    length, width, thickness [mm] as packed and lying flat; a roll: length of the roll, diameter twice. mass [g] of
    one; ways: how it may travel; stack: how many like it may lie one on another, None: not known, nothing goes on it;
    weighed: False where the mass is an estimate from the size.
    """

    key: str
    stop: str
    length: int
    width: int
    thickness: int
    mass: int
    count: int
    ways: tuple[str, ...] = (FLAT, ON_EDGE)
    stack: int | None = None
    what: str = ""
    weighed: bool = True

    def boxes(self, way: str) -> tuple[tuple[int, int, int], ...]:
        """(dx, dy, dz) it may take this way, lengthwise across the vehicle first; on edge: the long edge down."""
        long, short = max(self.length, self.width), min(self.length, self.width)
        if way == FLAT:
            size = (short, long, self.thickness)
        elif way == ON_EDGE:
            size = (self.thickness, long, short)
        else:
            size = (max(self.width, self.thickness), self.length, max(self.width, self.thickness))
        turned = (size[1], size[0], size[2])
        return (size,) if size == turned else (size, turned)


@dataclass(frozen=True, slots=True)
class LoadProblem:
    """One van round.

    stops in delivery order; goods leave at their stop, collections join at theirs; gap [mm] kept between new goods
    and collections; two_person [g]: at and above this mass the papers ask for two people; rehandle: collections may
    be taken off and put back where no free strip is left. Raises FaultsFound, all faults gathered.
    """

    name: str
    vehicle: Vehicle
    stops: tuple[Stop, ...]
    goods: tuple[Bundle, ...]
    collections: tuple[Bundle, ...] = ()
    gap: int = 100
    two_person: int = 25_000
    rehandle: bool = True

    def __post_init__(self) -> None:
        faults = tuple(_faults(self))
        if faults:
            raise FaultsFound(faults)

    def order(self, stop: str) -> int:
        """0 for the first delivery."""
        return next(i for i, s in enumerate(self.stops) if s.key == stop)


def _faults(problem: LoadProblem) -> Iterator[Fault]:
    place = f"load {problem.name}"
    vehicle = problem.vehicle
    for name in ("length", "width", "height", "payload"):
        if getattr(vehicle, name) <= 0:
            yield Fault(
                "not above zero",
                "use the inside size and the plate",
                str(getattr(vehicle, name)),
                card=f"{place} vehicle {vehicle.key}",
                field=name,
            )
    if not problem.stops:
        yield Fault("no stops", "give at least one", card=place, field="stops")
    for name in ("gap", "two_person"):
        if getattr(problem, name) < 0:
            yield Fault("below zero", "use 0 or more", str(getattr(problem, name)), card=place, field=name)
    stops = [s.key for s in problem.stops]
    bundles = [b.key for b in (*problem.goods, *problem.collections)]
    for field, keys in (("stops", stops), ("bundles", bundles)):
        for twin in sorted({k for k in keys if keys.count(k) > 1}):
            yield Fault("the same key twice", "give each its own key", twin, card=place, field=field)
    for bundle in (*problem.goods, *problem.collections):
        yield from _bundle_faults(bundle, stops, f"{place} bundle {bundle.key}")


def _bundle_faults(bundle: Bundle, stops: list[str], place: str) -> Iterator[Fault]:
    for name in ("length", "width", "thickness", "mass"):
        if getattr(bundle, name) <= 0:
            yield Fault(
                "not above zero", "use the packed size and mass", str(getattr(bundle, name)), card=place, field=name
            )
    if bundle.count < 0:
        yield Fault("below zero", "use 0 or more", str(bundle.count), card=place, field="count")
    if bundle.stop not in stops:
        yield Fault("no such stop on this round", "use one of its stops", bundle.stop, card=place, field="stop")
    if not bundle.ways or any(way not in WAYS for way in bundle.ways) or len(set(bundle.ways)) < len(bundle.ways):
        yield Fault(
            "not ways to travel",
            "use flat, on edge, rolled, each once",
            ", ".join(bundle.ways),
            card=place,
            field="ways",
        )
    if bundle.stack is not None and bundle.stack < 1:
        yield Fault("not a stack", "use 1 or more, or leave it empty", str(bundle.stack), card=place, field="stack")
