"""A drawing in millimetres of paper, written as SVG with two decimals; hatches readable in grey; text without gaps.

Coordinates: x to the right, y down, in mm of paper. Every drawing carries a title for those who hear it.
"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from html import escape

from bedwright.papers.letters import FAMILY, letters, printable, wrapped
from bedwright.papers.typeset import Raw

INK = "#1d1b26"
INDIGO = "#35318f"
GREY = "#5f5c6b"
PALE = "#b9b6c4"
PAPER = "#ffffff"
THIN, LINE, HEAVY = 0.13, 0.25, 0.6
SEAM = 0.15
"""Shapes nearer than twice this are drawn as one in an outline [mm]; the line lies so far outside them."""
SMALLEST = 1.8
"""Least size of letters on a drawing [mm], 5 point."""

Point = tuple[float, float]

# One tile of each hatch: size [mm] and what is drawn in it.
_HATCHES: dict[str, tuple[float, float, str]] = {
    "foam": (1.6, 1.6, '<circle cx=".4" cy=".4" r=".16"/><circle cx="1.2" cy="1.2" r=".16"/>'),
    "latex": (1.8, 1.8, '<circle cx=".9" cy=".9" r=".4" fill="none" stroke-width=".13"/>'),
    "felt": (1.0, 1.0, '<path d="M0 1 1 0M0 0 1 1" stroke-width=".12"/>'),
    "fibre": (2.4, 1.2, '<path d="M0 .6 Q.6 0 1.2 .6 T2.4 .6" fill="none" stroke-width=".13"/>'),
    "wool": (1.8, 1.4, '<path d="M.2 .9 A.35 .35 0 1 1 .9 .9 A.35 .35 0 1 0 1.6 .9" fill="none" stroke-width=".13"/>'),
    "cotton": (1.8, 1.2, '<path d="M.2 .3H.9M1.1 .9H1.7" stroke-width=".16"/>'),
    "insulator": (0.8, 0.8, '<path d="M.4 0V.8" stroke-width=".2"/>'),
    "coir": (1.4, 1.4, '<path d="M0 0 1.4 1.4M.3 1.2 1.1 .2M0 .7H.5" stroke-width=".14"/>'),
    "panel": (1.6, 1.6, '<path d="M0 1.6 1.6 0" stroke-width=".15"/>'),
    "border": (1.2, 1.2, '<path d="M0 0 1.2 1.2" stroke-width=".15"/>'),
    "tape": (0.7, 0.7, '<path d="M0 .7 .7 0" stroke-width=".28"/>'),
    "band": (1.1, 1.1, '<path d="M0 1.1 1.1 0" stroke-width=".1"/>'),
    "stop 1": (2.2, 2.2, '<path d="M0 2.2 2.2 0" stroke-width=".16"/>'),
    "stop 2": (2.2, 2.2, '<path d="M0 0 2.2 2.2" stroke-width=".16"/>'),
    "stop 3": (1.8, 1.8, '<path d="M.9 0V1.8" stroke-width=".16"/>'),
    "stop 4": (1.8, 1.8, '<path d="M0 .9H1.8" stroke-width=".16"/>'),
    "stop 5": (2.0, 2.0, '<circle cx="1" cy="1" r=".26"/>'),
    "stop 6": (2.2, 2.2, '<path d="M0 0 2.2 2.2M0 2.2 2.2 0" stroke-width=".13"/>'),
    "zone 1": (2.0, 2.0, '<path d="M0 2 2 0" stroke-width=".09"/>'),
    "zone 2": (2.0, 2.0, '<path d="M0 0 2 2" stroke-width=".09"/>'),
    "zone 3": (1.5, 1.5, '<path d="M0 .75H1.5" stroke-width=".09"/>'),
    "zone 4": (1.5, 1.5, '<path d="M.75 0V1.5" stroke-width=".09"/>'),
    "zone 5": (1.2, 1.2, '<circle cx=".6" cy=".6" r=".11"/>'),
    "old": (1.4, 1.4, '<path d="M0 0 1.4 1.4M0 1.4 1.4 0" stroke-width=".3"/>'),
}


def number(value: float) -> str:
    """A coordinate with at most two decimals, never "-0"."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


class Drawing:
    """Collects marks; `svg()` gives the text. Made, filled and finished inside one function, never shared."""

    def __init__(self, width: float, height: float, title: str) -> None:
        self.width, self.height = width, height
        self._title = title
        self._marks: list[str] = []
        self._hatches: set[str] = set()
        self._clips: dict[str, str] = {}
        self._masks: dict[str, str] = {}

    def line(self, *points: Point, stroke: str = INK, width: float = LINE, dash: str = "") -> None:
        """An open line through points."""
        self.path(_through(points), stroke=stroke, width=width, dash=dash)

    def shape(self, points: Sequence[Point], *, fill: str = "none", stroke: str = INK, width: float = LINE) -> None:
        """A closed shape; fill a colour, or "hatch NAME"."""
        self.path(_through(points) + "Z", fill=fill, stroke=stroke, width=width)

    def path(self, d: str, *, fill: str = "none", stroke: str = INK, width: float = LINE, dash: str = "") -> None:
        """Any path."""
        extra = f' stroke-dasharray="{dash}"' if dash else ""
        self._marks.append(
            f'<path d="{d}" fill="{self._fill(fill)}" stroke="{stroke}" stroke-width="{number(width)}"{extra} '
            'stroke-linejoin="round" stroke-linecap="round"/>'
        )

    def outline(self, shapes: Sequence[Sequence[Point]], *, stroke: str = INK, width: float = LINE) -> None:
        """The outline of closed shapes taken together: where they lie on one another no line is drawn, and what they
        lie on shows through."""
        d = "".join(_through(points) + "Z" for points in shapes)
        if not d:
            return
        whole = f'x="0" y="0" width="{number(self.width)}" height="{number(self.height)}"'
        name = f"m-{len(self._masks)}"
        known = next((key for key, text in self._masks.items() if f'd="{d}"' in text), None)
        if known is None:
            # as wide as SEAM, so that shapes that only just meet leave no line between them
            black = f'fill="#000" stroke="#000" stroke-width="{number(2 * SEAM)}" stroke-linejoin="round"'
            inside = f'<rect {whole} fill="#fff"/><path d="{d}" {black}/>'
            self._masks[name] = f'<mask id="{name}" maskUnits="userSpaceOnUse" {whole}>{inside}</mask>'
        # half of the stroke lies inside the shapes, where the mask takes it away
        self._marks.append(
            f'<path d="{d}" fill="none" stroke="{stroke}" stroke-width="{number(2 * (width + SEAM))}" '
            f'stroke-linejoin="round" mask="url(#{known or name})"/>'
        )

    def box(
        self, x: float, y: float, width: float, height: float, *, fill: str = "none", stroke: str = INK,
        line: float = LINE, radius: float = 0.0, dash: str = "",
    ) -> None:  # fmt: skip
        """A rectangle, corners rounded by radius."""
        extra = f' rx="{number(radius)}"' if radius else ""
        extra += f' stroke-dasharray="{dash}"' if dash else ""
        self._marks.append(
            f'<rect x="{number(x)}" y="{number(y)}" width="{number(width)}" height="{number(height)}"{extra} '
            f'fill="{self._fill(fill)}" stroke="{stroke}" stroke-width="{number(line)}"/>'
        )

    def circles(
        self, centres: Iterable[Point], radius: float, *, fill: str = "none", stroke: str = INK, width: float = LINE
    ) -> None:
        """Many equal circles as one path: a thousand coils are one mark."""
        r = number(radius)
        turn = number(2 * radius)
        back = number(-2 * radius)
        d = "".join(
            f"M{number(x - radius)} {number(y)}a{r} {r} 0 1 0 {turn} 0a{r} {r} 0 1 0 {back} 0" for x, y in centres
        )
        if d:
            self.path(d, fill=fill, stroke=stroke, width=width)

    def picture(self, x: float, y: float, width: float, height: float, png: bytes) -> None:
        """A PNG over a rectangle, stretched to it, held inside the drawing."""
        self._marks.append(
            f'<image x="{number(x)}" y="{number(y)}" width="{number(width)}" height="{number(height)}" '
            f'preserveAspectRatio="none" image-rendering="optimizeSpeed" '
            f'href="data:image/png;base64,{b64encode(png).decode("ascii")}"/>'
        )

    def text(
        self, x: float, y: float, words: str, *, size: float = 2.6, anchor: str = "start", weight: int = 400,
        fill: str = INK, turn: float = 0.0, unit: str = "", halo: bool = False,
    ) -> None:  # fmt: skip
        """One line of text on its base line; the unit smaller and lighter behind it; halo: paper under the letters."""
        extra = f' transform="rotate({number(turn)} {number(x)} {number(y)})"' if turn else ""
        body = escape(printable(words)[0], quote=True)
        if unit:
            body += (
                f'<tspan dx="{number(size * 0.25)}" font-size="{number(size * 0.8)}" font-weight="400" fill="{GREY}">'
                f"{escape(printable(unit)[0], quote=True)}</tspan>"
            )
        start = (
            f'<text x="{number(x)}" y="{number(y)}" font-family="{FAMILY}, sans-serif" font-size="{number(size)}" '
            f'font-weight="{weight}" text-anchor="{anchor}"{extra}'
        )
        if halo:
            self._marks.append(
                f'{start} fill="{PAPER}" stroke="{PAPER}" stroke-width="{number(size * 0.35)}" '
                f'stroke-linejoin="round">{body}</text>'
            )
        self._marks.append(f'{start} fill="{fill}">{body}</text>')

    def dimension(self, start: Point, end: Point, words: str, *, unit: str = "mm", size: float = 2.4) -> None:
        """A dimension line between two points, level or upright, with ticks and its figure over the middle."""
        (x0, y0), (x1, y1) = start, end
        upright = abs(x1 - x0) < abs(y1 - y0)
        tick = 0.9
        self.line(start, end, stroke=GREY, width=THIN)
        for x, y in (start, end):
            ends = ((x - tick, y + tick), (x + tick, y - tick))
            self.line(*ends, stroke=GREY, width=LINE)
        if upright:
            self.text(x0 - 0.9, (y0 + y1) / 2, words, size=size, anchor="middle", turn=-90, unit=unit, halo=True)
        else:
            self.text((x0 + x1) / 2, y0 - 0.9, words, size=size, anchor="middle", unit=unit, halo=True)

    def break_line(self, x: float, top: float, bottom: float, *, before: bool = True) -> None:
        """A waved line down the paper where a drawing is broken off; paper covers what reaches over it."""
        step = (bottom - top) / 7
        side = 1.1 if before else -1.1
        d = f"M{x:.2f} {top:.2f}" + f"q{side} {step / 4:.2f} 0 {step / 2:.2f}t0 {step / 2:.2f}" * 7
        self.path(d, stroke=PAPER, width=1.4)
        self.path(d, stroke=GREY, width=0.18)

    @contextmanager
    def within(self, x: float, y: float, width: float, height: float) -> Iterator[None]:
        """What is drawn inside this block is cut off at a rectangle."""
        corner, size = f"{number(x)} {number(y)}", f"{number(width)} {number(height)}"
        name = "c-" + f"{corner} {size}".replace(" ", "-").replace(".", "_")
        box = f'<rect x="{number(x)}" y="{number(y)}" width="{number(width)}" height="{number(height)}"/>'
        self._clips[name] = f'<clipPath id="{name}">{box}</clipPath>'
        self._marks.append(f'<g clip-path="url(#{name})">')
        yield
        self._marks.append("</g>")

    def svg(self) -> Raw:
        """The drawing as SVG text."""
        w, h = number(self.width), number(self.height)
        hatches = "".join(self._hatch(name) for name in sorted(self._hatches))
        hatches += "".join((*self._clips.values(), *self._masks.values()))
        title = escape(printable(self._title)[0], quote=True)
        return Raw(
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm" viewBox="0 0 {w} {h}" role="img">'
            f"<title>{title}</title>" + (f"<defs>{hatches}</defs>" if hatches else "") + "".join(self._marks) + "</svg>"
        )

    @property
    def title(self) -> str:
        """What the drawing shows, for those who hear it."""
        return self._title

    def _fill(self, fill: str) -> str:
        if not fill.startswith("hatch "):
            return fill
        name = fill.removeprefix("hatch ")
        self._hatches.add(name)
        return f"url(#{_mark_id(name)})"

    @staticmethod
    def _hatch(name: str) -> str:
        width, height, marks = _HATCHES[name]
        return (
            f'<pattern id="{_mark_id(name)}" width="{number(width)}" height="{number(height)}" '
            f'patternUnits="userSpaceOnUse" fill="{INK}" stroke="{INK}" stroke-width="0">'
            f'<rect width="{number(width)}" height="{number(height)}" fill="{PAPER}"/>{marks}</pattern>'
        )


def _mark_id(name: str) -> str:
    return "h-" + name.replace(" ", "-")


def _through(points: Sequence[Point]) -> str:
    return "M" + "L".join(f"{number(x)} {number(y)}" for x, y in points)


def spread(wished: Sequence[float], heights: Sequence[float], top: float, bottom: float) -> tuple[float, ...]:
    """Middles of labels, in the order given (falling down the page), moved as little as need be so that none overlaps.

    wished: where each would like its middle; heights: of each label; all in mm. Where there is not room enough for
    all, they run on below `bottom` rather than over each other.
    """
    places: list[list[float]] = []  # blocks of touching labels: wished top of the block's first, height, labels
    for index, (middle, height) in enumerate(zip(wished, heights, strict=True)):
        places.append([middle - height / 2, height, 1.0, float(index)])
        while len(places) > 1 and places[-2][0] + places[-2][1] > places[-1][0]:
            below, above = places.pop(), places.pop()
            count = above[2] + below[2]
            start = (above[0] * above[2] + (below[0] - above[1]) * below[2]) / count
            places.append([start, above[1] + below[1], count, above[3]])
        last = places[-1]
        last[0] = max(min(last[0], bottom - last[1]), top)
        while len(places) > 1 and places[-2][0] + places[-2][1] > places[-1][0] + 1e-9:
            below, above = places.pop(), places.pop()
            height_both = above[1] + below[1]
            start = max(min(below[0] - above[1], bottom - height_both), top)
            places.append([start, height_both, above[2] + below[2], above[3]])
    out = []
    for start, _, count, first in places:
        at = start
        for index in range(int(first), int(first + count)):
            out.append(at + heights[index] / 2)
            at += heights[index]
    return tuple(out)


def labels(
    drawing: Drawing, marks: Sequence[tuple[Point, str, str]], *, x: float, top: float, bottom: float, width: float,
    size: float = 2.5,
) -> None:  # fmt: skip
    """Labels at the right from x on, each with a leader to the point it speaks of; none lies on another.

    marks: (point, words, lighter words behind) ordered down the page.
    """
    if not marks:
        return
    while True:  # many labels are set smaller, down to what can still be read
        step = size * 1.22
        lines = [_label_lines(words, lighter, width, size) for _, words, lighter in marks]
        heights = [len(one) * step + size * 0.5 for one in lines]
        if sum(heights) <= bottom - top or size <= SMALLEST:
            break
        size -= 0.1
    middles = spread([point[1] for point, _, _ in marks], heights, top, bottom)
    for (point, _, _), middle, one in zip(marks, middles, lines, strict=True):
        drawing.line(point, (x - 4.5, middle), (x - 1, middle), stroke=GREY, width=THIN)
        drawing.circles([point], 0.35, fill=INK, width=0)
        y = middle - (len(one) - 1) * step / 2 + size * 0.35
        for words, light in one:
            drawing.text(x, y, words, size=size, weight=400 if light else 500, fill=GREY if light else INK)
            y += step


def _label_lines(words: str, lighter: str, width: float, size: float) -> list[tuple[str, bool]]:
    found = [(line, False) for line in wrapped(printable(words)[0], width, size)]
    if lighter:
        found += [(line, True) for line in wrapped(printable(lighter)[0], width, size)]
    return found


def scale_of(real: float, paper: float, steps: Sequence[float]) -> float:
    """The smallest of the usual scales 1 : n at which `real` [mm] goes into `paper` [mm]; the largest if none does."""
    return next((step for step in steps if real / step <= paper + 1e-9), max(steps))


def text_width(words: str, size: float) -> float:
    """Width of a line [mm]."""
    return letters().width(printable(words)[0], size)
