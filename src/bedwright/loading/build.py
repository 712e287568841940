"""Building a load piece by piece: strips from the bulkhead, stacks on them, and room for collections.

The floor is kept as a front line: for every width position, how far from the bulkhead it is filled. As stops are
loaded last first and nothing is put behind the line, nothing of a later stop can stand in the way of an earlier one.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from bedwright.loading.plan import Placed
from bedwright.loading.problem import ON_EDGE, Bundle, LoadProblem

Box = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Rule:
    """One way of going about it: ways preferred ("as listed", "reversed", "any"), lie ("across", "along", "either"),
    sort ("volume", "length", "thickness"), free_strip: width kept free of goods that leave after the first
    collection."""

    ways: str
    lie: str
    sort: str
    free_strip: int


@dataclass(slots=True)
class Building:
    problem: LoadProblem
    rule: Rule
    front: list[tuple[int, int, int]]  # y0, y1, x: filled up to x between y0 and y1
    placed: list[Placed] = field(default_factory=list)
    stacks: list[list[int]] = field(default_factory=list)
    mass: int = 0
    work: int = 0

    def choices(self, bundle: Bundle) -> Iterator[tuple[str, list[Box]]]:
        """Ways with the boxes the rule allows, preferred first; where the rule leaves none, all."""
        ways = tuple(reversed(bundle.ways)) if self.rule.ways == "reversed" else bundle.ways
        for way in ways:
            boxes = list(bundle.boxes(way))
            if self.rule.lie == "across":
                boxes = boxes[:1] if boxes[0][1] <= self.problem.vehicle.width else boxes
            elif self.rule.lie == "along":
                boxes = boxes[-1:] if boxes[-1][0] <= self.problem.vehicle.length else boxes
            yield way, boxes

    def add(self, bundle: Bundle, copy: int, limit: int) -> bool:
        """Put one piece on a stack, else on the floor with y + dy <= limit; False where neither has room."""
        if self.mass + bundle.mass > self.problem.vehicle.payload:
            return False
        spot = self._on_stack(bundle, limit) or self._on_floor(bundle, limit)
        if spot is None:
            return False
        way, (x, y, z), (dx, dy, dz), stack = spot
        piece = Placed(bundle.key, copy, bundle.stop, x, y, z, dx, dy, dz, way)
        self.placed.append(piece)
        self.mass += bundle.mass
        if stack is None:
            self._advance(y, y + dy, x + dx)
            if way != ON_EDGE:
                self.stacks.append([len(self.placed) - 1])
        else:
            self.stacks[stack].append(len(self.placed) - 1)
        return True

    def _on_stack(self, bundle: Bundle, limit: int) -> tuple[str, Box, Box, int | None] | None:
        sizes = {b.key: b for b in (*self.problem.goods, *self.problem.collections)}
        for number, stack in enumerate(self.stacks):
            top = self.placed[stack[-1]]
            if top.way not in bundle.ways or top.y + top.dy > limit:
                continue
            if not bears([sizes[self.placed[i].bundle] for i in stack], bundle):
                continue
            for box in bundle.boxes(top.way):
                self.work += 1
                corner = (top.x, top.y, top.z + top.dz)
                within = box[0] <= top.dx and box[1] <= top.dy
                if within and corner[2] + box[2] <= self.problem.vehicle.height and _open(corner, box, self.placed):
                    return top.way, corner, box, number
        return None

    def _on_floor(self, bundle: Bundle, limit: int) -> tuple[str, Box, Box, int | None] | None:
        vehicle = self.problem.vehicle
        best: tuple[tuple[int, int, int, int], str, Box, Box] | None = None
        for order, (way, boxes) in enumerate(self.choices(bundle)):
            for box in boxes:
                dx, dy, dz = box
                if dz > vehicle.height:
                    continue
                for y in self._lines(dy, limit):
                    self.work += 1
                    x = max(end for y0, y1, end in self.front if y0 < y + dy and y1 > y)
                    if x + dx > vehicle.length:
                        continue
                    key = (0 if self.rule.ways == "any" else order, x + dx, x, y)
                    if best is None or key < best[0]:
                        best = (key, way, (x, y, 0), box)
        return (*best[1:], None) if best else None

    def _lines(self, dy: int, limit: int) -> list[int]:
        """Width positions worth trying: beside each step of the front line, and against the limit."""
        starts = {y0 for y0, _, _ in self.front} | {y1 - dy for _, y1, _ in self.front} | {limit - dy}
        return sorted(y for y in starts if 0 <= y <= limit - dy)

    def _advance(self, y0: int, y1: int, x: int) -> None:
        line: list[tuple[int, int, int]] = []
        for a, b, end in self.front:
            if b <= y0 or a >= y1:
                line.append((a, b, end))
                continue
            if a < y0:
                line.append((a, y0, end))
            if b > y1:
                line.append((y1, b, end))
        line.append((y0, y1, x))
        merged: list[tuple[int, int, int]] = []
        for a, b, end in sorted(line):
            if merged and merged[-1][2] == end:
                merged[-1] = (merged[-1][0], b, end)
            else:
                merged.append((a, b, end))
        self.front = merged


def bears(stack: Sequence[Bundle], new: Bundle) -> bool:
    """May `new` go on this stack (bottom first)? Every piece below counts what lies on it, by number and by mass."""
    above, mass = 1, new.mass
    for below in reversed(stack):
        allowed = (below.stack or 1) - 1
        if above > allowed or mass > allowed * below.mass:
            return False
        above, mass = above + 1, mass + below.mass
    return True


def _open(corner: Box, box: Box, placed: Sequence[Placed]) -> bool:
    """Is the way from the doors to this place free?"""
    x, y, z = corner
    return not any(
        p.x + p.dx > x and p.y < y + box[1] and p.y + p.dy > y and p.z < z + box[2] and p.z + p.dz > z for p in placed
    )


@dataclass(slots=True)
class Collecting:
    """Finding room for collections, stop after stop, among goods still on board."""

    problem: LoadProblem
    placed: list[Placed] = field(default_factory=list)
    taken_off: dict[str, list[tuple[str, int]]] = field(default_factory=dict)
    work: int = 0

    def add(self, bundle: Bundle, copy: int, staying: Sequence[Placed]) -> bool:
        """Put one collected piece where nothing new is near: a free strip first, then the door end (to be moved)."""
        best: tuple[tuple[int, int, int, int], Placed] | None = None
        for way in bundle.ways:
            for box in bundle.boxes(way):
                for x, y, z in self._corners(bundle, way, box, staying):
                    self.work += 1
                    piece = Placed(bundle.key, copy, bundle.stop, x, y, z, *box, way)
                    nuisance = self._nuisance(piece, staying)
                    key = (nuisance, x + box[0], y, z)
                    if nuisance < 0 or (best is not None and best[0] <= key):
                        continue
                    best = (key, piece)
        if best is None or (best[0][0] and not self.problem.rehandle):
            return False
        piece = best[1]
        for stop in {g.stop for g in staying if _in_the_way(piece, g, self.problem.gap)}:
            self.taken_off.setdefault(stop, []).append((piece.bundle, piece.copy))
        self.placed.append(piece)
        return True

    def _corners(self, bundle: Bundle, way: str, box: Box, staying: Sequence[Placed]) -> Iterator[Box]:
        vehicle, gap = self.problem.vehicle, self.problem.gap
        xs = {0, *(p.x + p.dx for p in self.placed), *(g.x + g.dx + gap for g in staying)}
        ys = {0, vehicle.width - box[1]}
        ys |= {p.y + p.dy for p in self.placed} | {p.y - box[1] for p in self.placed}
        ys |= {g.y + g.dy + gap for g in staying} | {g.y - gap - box[1] for g in staying}
        if box[2] <= vehicle.height:
            for x in sorted(x for x in xs if x + box[0] <= vehicle.length):
                for y in sorted(y for y in ys if 0 <= y <= vehicle.width - box[1]):
                    yield x, y, 0
        sizes = {b.key: b for b in self.problem.collections}
        for top in self.placed if way != ON_EDGE else ():
            under = [p for p in self.placed if (p.x, p.y) == (top.x, top.y) and p.z <= top.z]
            on_top = any(p.z >= top.z + top.dz and p.x == top.x and p.y == top.y for p in self.placed)
            if top.way != way or on_top or box[0] > top.dx or box[1] > top.dy:
                continue
            stack = [sizes[p.bundle] for p in sorted(under, key=lambda p: p.z)]
            if top.z + top.dz + box[2] <= vehicle.height and bears(stack, bundle):
                yield top.x, top.y, top.z + top.dz

    def _nuisance(self, piece: Placed, staying: Sequence[Placed]) -> int:
        """-1: may not be; 0: in nobody's way; else at how many stops it must be taken off."""
        if not _open((piece.x, piece.y, piece.z), (piece.dx, piece.dy, piece.dz), (*self.placed, *staying)):
            return -1
        gap = self.problem.gap
        for g in staying:
            near_x = g.x - gap < piece.x + piece.dx and piece.x < g.x + g.dx + gap
            near_y = g.y - gap < piece.y + piece.dy and piece.y < g.y + g.dy + gap
            if near_x and near_y:
                return -1
        return len({g.stop for g in staying if _in_the_way(piece, g, gap)})


def _in_the_way(piece: Placed, good: Placed, gap: int) -> bool:
    """Does a collected piece stand between a new one and the doors, or too near its way out?"""
    beside = piece.y + piece.dy <= good.y - gap or good.y + good.dy + gap <= piece.y
    return not beside and piece.x + piece.dx > good.x
