"""A van load from above and from the side: each piece with its stop's number and hatch, doors at the right."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bedwright.papers.drawings.svg import GREY, INDIGO, INK, LINE, PAPER, Drawing, scale_of
from bedwright.papers.typeset import Raw

SCALES = (15, 20, 25, 30, 40, 50, 60, 75, 100)


@dataclass(frozen=True, slots=True)
class LoadedBox:
    """A piece where it stands [mm]: x from the bulkhead, y from the driver's right-hand wall, z up.

    stop: number of the stop, 1 the first delivery; collected: an old bed that rides back.
    """

    x: int
    y: int
    z: int
    dx: int
    dy: int
    dz: int
    stop: int
    collected: bool = False


def van_drawing(
    length: int, width: int, height: int, boxes: Sequence[LoadedBox], paper: float = 180.0, tallest: float = 105.0
) -> Raw:
    """Plan above, side view below [mm inside] on `paper` mm; every piece says its stop."""
    scale = max(scale_of(length, paper - 22, SCALES), scale_of(width + height, tallest - 17, SCALES))
    long, wide, tall = length / scale, width / scale, height / scale
    drawing = Drawing(paper, wide + tall + 17, f"Van load from above and from the side, 1 to {scale:g}")
    x0, y0 = 8.0, 5.0
    drawing.text(x0, y0 - 1.5, "from above", size=2.6, weight=500)
    drawing.text(x0 + long, y0 - 1.5, "doors", size=2.6, anchor="end", weight=600, fill=INDIGO)
    drawing.text(x0 - 2, y0 + wide / 2, "bulkhead", size=2.4, anchor="middle", turn=-90, fill=GREY)
    above = [(box, box.x, box.y, box.dx, box.dy, box.z + box.dz) for box in boxes]
    _view(drawing, above, x0, y0, scale)
    drawing.box(x0, y0, long, wide, line=0.5)
    y1 = y0 + wide + 7
    drawing.text(x0, y1 - 1.5, "from the driver's left", size=2.6, weight=500)
    side = [(box, box.x, height - box.z - box.dz, box.dx, box.dz, -box.y) for box in boxes]
    _view(drawing, side, x0, y1, scale)
    drawing.box(x0, y1, long, tall, line=0.5)
    for y, depth in ((y0, wide), (y1, tall)):
        drawing.line((x0 + long, y), (x0 + long, y + depth), stroke=INDIGO, width=1.1)
    drawing.text(x0, y1 + tall + 3.6, f"load room {length} × {width} × {height}", size=2.4, unit="mm inside")
    drawing.text(x0 + long, y1 + tall + 3.6, f"1 : {scale:g}", size=2.4, anchor="end", fill=GREY)
    return drawing.svg()


_Seen = tuple[LoadedBox, int, int, int, int, int]


def _view(drawing: Drawing, seen: Sequence[_Seen], x0: float, y0: float, scale: float) -> None:
    """Rectangles from the back to the front; what is hidden by a nearer piece is covered by it."""
    ordered = sorted(seen, key=lambda one: (one[5], one[1], one[2], one[3], one[4]))
    for box, x, y, dx, dy, _ in ordered:
        hatch = "old" if box.collected else f"stop {(box.stop - 1) % 6 + 1}"
        left, top, wide, tall = x0 + x / scale, y0 + y / scale, dx / scale, dy / scale
        drawing.box(left, top, wide, tall, fill=f"hatch {hatch}", line=LINE * 0.8)
    _numbers(drawing, ordered, x0, y0, scale)


def _numbers(drawing: Drawing, ordered: Sequence[_Seen], x0: float, y0: float, scale: float) -> None:
    """The stop's number once on each row of like pieces, where no nearer piece covers the middle of the row."""
    for first, last, indices in _like_rows(ordered):
        box, x, y, _, dy, _ = first
        right = last[1] + last[3]
        middle = (x + right) / 2, y + dy / 2
        nearer = ordered[max(indices) + 1 :]
        if any(_covers(one, middle) for index, one in enumerate(nearer, max(indices) + 1) if index not in indices):
            continue
        size = min(3.2, (right - x) / scale * 0.62, dy / scale * 0.62)
        if size >= 1.2:
            px, py = x0 + middle[0] / scale, y0 + middle[1] / scale
            drawing.circles([(px, py)], size * 0.72, fill=PAPER, stroke=INK, width=0.12)
            drawing.text(px, py + size * 0.36, f"{box.stop}", size=size, anchor="middle", weight=600)


def _covers(one: _Seen, point: tuple[float, float]) -> bool:
    _, x, y, dx, dy, _ = one
    return x < point[0] < x + dx and y < point[1] < y + dy


def _like_rows(ordered: Sequence[_Seen]) -> list[tuple[_Seen, _Seen, set[int]]]:
    """(first, last, indices) of pieces of one stop that touch each other lengthwise and are equally deep."""
    rows: dict[tuple[int, bool, int, int, int], list[int]] = {}
    for index, (box, _, y, _, dy, depth) in enumerate(ordered):
        rows.setdefault((box.stop, box.collected, y, dy, depth), []).append(index)
    found = []
    for indices in rows.values():
        indices.sort(key=lambda index: ordered[index][1])
        part = [indices[0]]
        for index in indices[1:]:
            before = ordered[part[-1]]
            if ordered[index][1] > before[1] + before[3]:
                found.append(part)
                part = []
            part.append(index)
        found.append(part)
    return [(ordered[part[0]], ordered[part[-1]], set(part)) for part in found]


def stop_mark(stop: int, *, collected: bool = False) -> Raw:
    """The hatch of a stop with its number, for the list beside the drawing."""
    drawing = Drawing(11, 7, f"Stop {stop}{', collected' if collected else ''}")
    hatch = "old" if collected else f"stop {(stop - 1) % 6 + 1}"
    drawing.box(0.3, 0.3, 10.4, 6.4, fill=f"hatch {hatch}", line=LINE)
    drawing.circles([(5.5, 3.5)], 2.4, fill=PAPER, width=0.15)
    drawing.text(5.5, 4.65, f"{stop}", size=3.2, anchor="middle", weight=600)
    return drawing.svg()
