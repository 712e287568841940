"""A drawing read back: well-formed, sized in mm, all marks inside its box, its texts with where they stand."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import combinations
from math import cos, radians, sin

import pytest

from bedwright.papers.drawings.svg import text_width

SVG = "{http://www.w3.org/2000/svg}"
Box = tuple[float, float, float, float]
TOKENS = re.compile(r"[A-Za-z]|-?\d*\.?\d+")


@dataclass(frozen=True)
class Words:
    """One text: what it says, its size and fill, and the box of paper it takes [mm] (left, top, right, bottom)."""

    says: str
    size: float
    fill: str
    box: Box


@dataclass(frozen=True)
class Seen:
    """A drawing read back."""

    svg: str
    width: float
    height: float
    texts: tuple[Words, ...]
    marks: tuple[Box, ...]

    @property
    def says(self) -> str:
        """Every text in one line, blanks as they stand."""
        return " | ".join(text.says for text in self.texts)

    def outside(self, by: float = 0.06) -> list[object]:
        """What reaches out of the box of the drawing."""
        boxes: list[tuple[object, Box]] = [(text.says, text.box) for text in self.texts]
        boxes += [(mark, mark) for mark in self.marks]
        return [
            what
            for what, (left, top, right, bottom) in boxes
            if left < -by or top < -by or right > self.width + by or bottom > self.height + by
        ]

    def over_each_other(self, by: float = 0.15) -> list[tuple[str, str]]:
        """Pairs of texts that lie on one another."""
        return [
            (one.says, other.says)
            for one, other in combinations(self.texts, 2)
            if all(
                min(one.box[at + 2], other.box[at + 2]) - max(one.box[at], other.box[at]) > by for at in (0, 1)
            )
        ]  # fmt: skip


def path_points(d: str) -> Iterator[tuple[float, float]]:
    """Points that bound a path: ends, control points, and the sides of arcs that are half circles."""
    parts = TOKENS.findall(d)
    at, x, y, command = 0, 0.0, 0.0, ""
    while at < len(parts):
        if parts[at].isalpha():
            command, at = parts[at], at + 1
            if command in "Zz":
                continue
        count = {"m": 2, "l": 2, "h": 1, "v": 1, "a": 7, "q": 4, "t": 2, "c": 6}[command.lower()]
        values = [float(one) for one in parts[at : at + count]]
        at += count
        if command == "a":
            yield from ((x, y - values[0]), (x + values[5], y + values[0]))
        base = (x, y) if command.islower() else (0.0, 0.0)
        if command in "Hh":
            x = base[0] + values[0]
        elif command in "Vv":
            y = base[1] + values[0]
        else:
            for place in range(0, len(values) - 2, 2) if command in "qQcC" else ():
                yield base[0] + values[place], base[1] + values[place + 1]
            x, y = base[0] + values[-2], base[1] + values[-1]
        yield x, y


def read_marks(root: ET.Element, clips: dict[str, Box]) -> Iterator[Box]:
    """Boxes of all marks; inside a group that is cut off, what is left of them."""
    for mark in root:
        if mark.tag == f"{SVG}g":
            cut = clips[mark.get("clip-path", "")[5:-1]]
            for one in read_marks(mark, clips):
                left, top, right, bottom = (max(one[0], cut[0]), max(one[1], cut[1]), *map(min, one[2:], cut[2:]))
                if left < right and top < bottom:
                    yield left, top, right, bottom
        elif mark.tag == f"{SVG}path":
            xs, ys = zip(*path_points(mark.get("d", "")), strict=True)
            yield min(xs), min(ys), max(xs), max(ys)
        elif mark.tag == f"{SVG}rect":
            x, y, w, h = (float(mark.get(name, "0")) for name in ("x", "y", "width", "height"))
            assert w >= 0, "a width is never negative"
            assert h >= 0, "a height is never negative"
            yield x, y, x + w, y + h


def read_text(mark: ET.Element) -> Words:
    size = float(mark.get("font-size", 0))
    says, wide = mark.text or "", text_width(mark.text or "", size)
    for part in mark:
        wide += float(part.get("dx", 0)) + text_width(part.text or "", float(part.get("font-size", size)))
        says += " " + (part.text or "")
    x, y = float(mark.get("x", 0)), float(mark.get("y", 0))
    left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[mark.get("text-anchor", "start")]
    corners = [(cx, cy) for cx in (left, left + wide) for cy in (y - 0.72 * size, y + 0.06 * size)]
    turn = re.match(r"rotate\(([-\d.]+) ([-\d.]+) ([-\d.]+)\)", mark.get("transform", ""))
    if turn:
        angle, ox, oy = (float(one) for one in turn.groups())
        c, s = cos(radians(angle)), sin(radians(angle))
        corners = [(ox + (a - ox) * c - (b - oy) * s, oy + (a - ox) * s + (b - oy) * c) for a, b in corners]
    xs, ys = zip(*corners, strict=True)
    return Words(says, size, mark.get("fill", ""), (min(xs), min(ys), max(xs), max(ys)))


@pytest.fixture(scope="session")
def seen() -> Callable[[str], Seen]:
    """Reads an SVG and checks what holds for every drawing."""

    def reading(svg: str) -> Seen:
        root = ET.fromstring(svg)
        width, height = root.get("width", ""), root.get("height", "")
        assert width.endswith("mm")
        assert root.get("viewBox") == f"0 0 {width[:-2]} {height[:-2]}"
        assert root.find(f"{SVG}title") is not None
        assert "<script" not in svg
        for mark in root.iter():
            assert not [value for value in mark.attrib.values() if re.search(r"\b(nan|inf)\b", value)]
        clips = {one.get("id", ""): next(read_marks(one, {})) for one in root.iter(f"{SVG}clipPath")}
        found = [read_text(text) for text in root.iter(f"{SVG}text") if text.get("stroke") is None]
        return Seen(svg, float(width[:-2]), float(height[:-2]), tuple(found), tuple(read_marks(root, clips)))

    return reading
