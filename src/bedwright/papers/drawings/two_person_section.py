"""The bed cut across at the hips: its face untouched and lain on, both bodies, how far each rolls, a link's gap."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bedwright.errors import OutsideRange
from bedwright.mechanics.lain import Lain, Lying, Slice
from bedwright.papers.drawings import careful
from bedwright.papers.drawings.body_on_bed import BELOW, FINE, FLESH, WORDS, View, dimension, faces, titled, toned
from bedwright.papers.drawings.pressure_map import posture_words
from bedwright.papers.drawings.svg import GREY, INK, PAPER, THIN, Drawing, scale_of, spread, text_width
from bedwright.papers.drawings.words import cut, finite
from bedwright.papers.typeset import Raw
from bedwright.typed import show

Array = NDArray[np.float64]
SCALES = (4, 5, 6, 7.5, 8, 9, 10, 11, 12.5, 15, 17.5, 20, 25, 30, 40, 50, 75, 100, 150)
STEP = 3.2
LINES = 3  # lines of words over each person, at most two for who it is


def two_person_section(
    lying: Lying,
    width: float = 180.0,
    gap: tuple[float, float] | None = None,
    joint: float | None = None,
    *,
    caution: bool = True,
) -> Raw:
    """The cut on `width` of paper [mm]; one person alone may lie in it too.

    gap: between the two halves of a linked bed, its left and right side, or joint: where two beds meet without one [mm
    from the left]. Raises OutsideRange for heights that are not finite, where nobody lies in the cut, and for a gap
    that is none.
    """
    slice_ = _across(lying)
    _checked(lying, slice_, gap or (None if joint is None else (joint, joint)))
    scale = scale_of(float(slice_.place[-1] - slice_.place[0]), width - 1.0, SCALES)
    body = slice_.body[np.isfinite(slice_.body)]
    high = max(float(np.max(slice_.untouched)), float(np.max(slice_.face)), *(body + FLESH)) + 8.0
    low = float(min(np.min(slice_.face), np.min(slice_.untouched))) - BELOW
    head = 5.2 + LINES * STEP + 1.5
    main = (high - low) / scale
    foot = 9.6
    tall = head + main + foot + (careful.room(width) if caution else 0.0)
    drawing = Drawing(width, tall, f"{lying.bed} cut across at {show(slice_.at, 4)} mm from the head")
    where = f"{show(round(slice_.at), 4)} mm from the head's edge, 1 : {scale:g}; dashed: the face untouched"
    titled(drawing, "cut across at the hips", where)
    view = View(0.5 - float(slice_.place[0]) / scale, head + main, scale, low)
    faces(drawing, view, slice_, low)
    if gap is not None:
        _gap(drawing, view, slice_, gap, low)
    if joint is not None:
        _joint(drawing, view, slice_, joint, low)
    toned(drawing, view, slice_)
    _persons(drawing, lying, view, slice_, width)
    _deepest(drawing, lying, view, slice_, head + main)
    if caution:
        careful.write(drawing)
    return drawing.svg()


def _across(lying: Lying) -> Slice:
    found = [one for one in lying.slices if one.way == "across"]
    if not found:
        raise OutsideRange("no cut runs across the bed")
    return found[0]


def _checked(lying: Lying, slice_: Slice, gap: tuple[float, float] | None) -> None:
    finite(face=float(np.sum(slice_.face)), untouched=float(np.sum(slice_.untouched)), at=slice_.at,
           **{f"roll of {one.called}": one.roll for one in lying.persons})  # fmt: skip
    if not np.any(np.isfinite(slice_.body)):
        raise OutsideRange("nobody lies in the cut across the bed")
    if gap is not None:
        finite(gap_left=gap[0], gap_right=gap[1])
        if not 0 <= gap[0] <= gap[1] <= lying.width:
            raise OutsideRange(f"a gap from {gap[0]:g} to {gap[1]:g} mm lies not on a bed of {lying.width:g} mm")


def _persons(drawing: Drawing, lying: Lying, view: View, slice_: Slice, width: float) -> None:
    """Who lies there, over the body, with how far it rolls."""
    middles = [_middle(one, slice_) for one in lying.persons]
    order = sorted(range(len(middles)), key=lambda index: middles[index])
    room = width / max(len(order), 1) - 3.0
    told = [_told(lying.persons[index], room) for index in order]
    wide = [max(text_width(words, WORDS) * 1.08 for words, _ in one) + 2.0 for one in told]
    wished = [view.at(middles[index], 0)[0] for index in order]
    for lines, x in zip(told, spread(wished, wide, 0.0, width), strict=True):
        for row, (words, strong) in enumerate(lines):
            drawing.text(x, 5.0 + STEP * (row + 1), words, size=WORDS, anchor="middle", weight=600 if strong else 400)


def _middle(one: Lain, slice_: Slice) -> float:
    """Where a person's middle lies across the bed [mm]: that of its outline, else of the cut."""
    if one.outline:
        x = np.concatenate([x for x, _ in one.outline])
        return float((np.min(x) + np.max(x)) / 2)
    return float(np.mean(slice_.place[np.isfinite(slice_.body)]))


def _told(one: Lain, room: float) -> list[tuple[str, bool]]:
    lines = cut(f"{one.called}, {posture_words(one.posture)}", room / 1.08, WORDS, LINES - 1)
    return [*((line, True) for line in lines), (roll_words(one.roll), False)]


def roll_words(roll: float) -> str:
    """ "rolls 2.4° to the right": how far and which way; less than a tenth is said to be none."""
    if abs(roll) < 0.05:
        return "does not roll"
    return f"rolls {abs(roll):.1f}° to the {'right' if roll > 0 else 'left'}"


def _gap(drawing: Drawing, view: View, slice_: Slice, gap: tuple[float, float], low: float) -> None:
    """A gap between two halves: paper through the bed with its width."""
    top = max(float(np.max(slice_.face)), float(np.max(slice_.untouched)))
    (left, up), (right, down) = view.at(gap[0], top), view.at(gap[1], low)
    wide = max(right - left, 0.3)
    drawing.box(left, up - 0.3, wide, down - up + 0.6, fill=PAPER, stroke=PAPER, line=THIN)
    for x in (left, left + wide):
        drawing.line((x, view.at(0, float(np.interp(gap[0], slice_.place, slice_.face)))[1]), (x, down), width=0.3)
    words = f"gap {show(gap[1] - gap[0], 3, interval=1.0)}"
    drawing.text((left + right) / 2, down + 2.6, words, size=FINE, anchor="middle", unit="mm", halo=True)


def _joint(drawing: Drawing, view: View, slice_: Slice, joint: float, low: float) -> None:
    """Where two beds meet: an upright line from the higher face down, and its word."""
    near = np.abs(slice_.place - joint) <= 0.02 * float(np.ptp(slice_.place))
    top = float(np.max(slice_.face[near])) if near.any() else float(np.max(slice_.face))
    x, down = view.at(joint, low)
    drawing.line((x, view.at(joint, top)[1]), (x, down), stroke=INK, width=0.3)
    drawing.text(x, down + 2.6, "zip", size=FINE, anchor="middle", fill=GREY, halo=True)


def _deepest(drawing: Drawing, lying: Lying, view: View, slice_: Slice, bottom: float) -> None:
    """Under each person the deepest place of the face: how far below the untouched face."""
    sunk = np.where(np.isfinite(slice_.body), slice_.untouched - slice_.face, -1.0)
    middles = np.array([_middle(one, slice_) for one in lying.persons])
    owner = np.argmin(np.abs(slice_.place[:, None] - middles[None, :]), axis=1)
    marks: list[tuple[float, float, float]] = []
    for index in sorted(range(len(middles)), key=lambda one: float(middles[one])):
        mine = np.where(owner == index, sunk, -1.0)
        at = int(np.argmax(mine))
        if mine[at] >= 0.5:
            marks.append((float(slice_.place[at]), float(slice_.untouched[at]), float(mine[at])))
    wide = [text_width(f"{show(down, 3, interval=1.0)} mm", WORDS) * 1.08 + 5.0 for _, _, down in marks]
    places = spread([view.at(x, 0)[0] for x, _, _ in marks], wide, 0.0, drawing.width)
    for (x, top, down), place in zip(marks, places, strict=True):
        deep = show(down, 3, interval=1.0)
        start, end = view.at(x, top), view.at(x, top - down)
        dimension(drawing, start, end)
        drawing.line(end, (end[0], bottom), (place, bottom + 2.4), stroke=GREY, width=THIN)
        drawing.text(place, bottom + 5.2, deep, size=WORDS, anchor="middle", weight=600, unit="mm")
    drawing.text(0.5, bottom + 8.2, "deepest place of the face below the untouched face", size=FINE, fill=GREY)
