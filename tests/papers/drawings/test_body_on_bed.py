"""A person from the side: sinks where the parts lie, the spine with its line, angle and departure, nothing cut off."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import numpy as np
import pytest

from bedwright.errors import OutsideRange
from bedwright.mechanics.lain import CAUTION
from bedwright.papers.drawings.body_on_bed import REACH, TIMES, Marks, body_on_bed, lowest_line, runs
from bedwright.papers.drawings.svg import INDIGO, INK


def paths(svg: str, *needs: str) -> list[list[tuple[float, float]]]:
    """Open lines of a drawing whose mark holds all of `needs`, as points."""
    marks = [mark for mark in re.findall(r"<path [^>]+>", svg) if all(need in mark for need in needs)]
    lines = [re.search(r' d="M([^"Za-z]+(?:L[^"Za-z]+)*)"', mark) for mark in marks]
    return [[tuple(map(float, at.split())) for at in line[1].split("L")] for line in lines if line]  # type: ignore[misc]


@pytest.fixture
def places(made) -> Marks:  # type: ignore[no-untyped-def]
    return Marks({name: at + 130.0 for name, at in made.PLACES.items()})


@pytest.mark.parametrize("posture", ["supine", "side"])
@pytest.mark.parametrize("width", [84.0, 112.0, 180.0])
class TestDrawn:
    def test_words_and_figures(self, made, seen, places, posture, width) -> None:  # type: ignore[no-untyped-def]
        lying = made.lying_made(("man 1755 mm 80 kg", posture, 80, 750))
        one = lying.persons[0]
        for known in (places, None):
            drawing = seen(body_on_bed(lying, 0, width, known))
            says = drawing.says.replace(" | ", " ")
            for name, sink in one.sink.items():
                assert name in says
                assert f"| {sink:.0f} mm" in drawing.says
            assert f"spine {one.spine.angle:.1f}°, head higher; largest departure {one.spine.departure:.0f} mm" in says
            assert ("small of the back 18 mm over the line from blades" in says) == (posture == "supine")
            assert ("largest gap there 7 mm" in says) == (posture == "supine")
            assert CAUTION in says
            assert "least squares" in says
            assert drawing.outside() == []
            assert drawing.over_each_other() == []

    def test_the_face_and_the_body_lie_where_they_are(self, made, posture, width) -> None:  # type: ignore[no-untyped-def]
        lying = made.lying_made(("man 1755 mm 80 kg", posture, 80, 750))
        svg = body_on_bed(lying, 0, width)
        slice_ = lying.slices[0]
        (face,) = [
            line for line in paths(svg, f'stroke="{INK}"', 'stroke-width="0.4"') if len(line) == len(slice_.place)
        ]
        mm = (face[-1][0] - face[0][0]) / float(np.ptp(slice_.place))
        sunk = np.array([y for _, y in face]) - face[0][1]
        assert sunk / mm == pytest.approx(slice_.untouched - slice_.face, abs=0.011 / mm)
        body = max(paths(svg, f'stroke="{INDIGO}"', 'stroke-width="0.45"', 'fill="none"'), key=len)
        depth = (np.array([y for _, y in body]) - face[0][1]) / mm
        known = slice_.body[np.isfinite(slice_.body)]
        assert depth == pytest.approx(250.0 - known, abs=0.011 / mm)


class TestSpine:
    def test_line_of_least_squares_and_points(self, made) -> None:  # type: ignore[no-untyped-def]
        lying = made.lying_made()
        spine = lying.persons[0].spine
        svg = body_on_bed(lying, 0, 180.0)
        (line,) = paths(svg, 'stroke-width="0.25"', 'stroke-dasharray="1.6 0.8"')
        (at0, y0), (at1, y1) = line[0], line[-1]
        mm = abs(at1 - at0) / float(np.ptp(spine.along))
        assert math.degrees(math.atan((y0 - y1) / TIMES / (at1 - at0))) == pytest.approx(-spine.angle, abs=0.05)
        points = [line for line in paths(svg, f'stroke="{INDIGO}"', 'stroke-width="0.45"') if len(line) == 12]
        (drawn,) = [line for line in points if line[0][0] == pytest.approx(at0, abs=0.011)]
        heights = np.array([-y for _, y in drawn]) / mm / TIMES
        assert heights - heights[0] == pytest.approx(spine.height - spine.height[0], abs=0.03)
        residual = np.polyval(np.polyfit(spine.along, spine.height, 1), spine.along) - spine.height
        drawn_off = (np.interp([x for x, _ in drawn], [at1, at0], [y1, y0]) - [y for _, y in drawn]) / mm / -TIMES
        assert drawn_off == pytest.approx(residual, abs=0.1)

    def test_the_standing_spine_is_laid_along_the_line(self, made, seen) -> None:  # type: ignore[no-untyped-def]
        lying = made.lying_made()
        spine = lying.persons[0].spine
        own = 20.0 * np.cos(spine.along / 100.0)
        slope, level = np.polyfit(spine.along, spine.height - own, 1)
        one = replace(lying.persons[0], spine=replace(spine, angle=-math.degrees(math.atan(slope))))
        svg = body_on_bed(replace(lying, persons=(one,)), 0, 180.0, Marks({}, tuple(own)))
        (line,) = paths(svg, 'stroke-width="0.25"', 'stroke-dasharray="1.6 0.8"')
        mm = abs(line[-1][0] - line[0][0]) / float(np.ptp(spine.along))
        heights = np.array([-y for _, y in line]) / mm / TIMES
        expected = own + slope * spine.along + level
        assert heights - heights[0] == pytest.approx(expected - expected[0], abs=0.05)
        assert "the standing spine's own shape" in seen(svg).says.replace(" | ", " ")
        with pytest.raises(OutsideRange, match="at each of the spine's points"):
            body_on_bed(lying, 0, 180.0, Marks({}, (1.0, 2.0)))

    def test_which_end_is_higher_is_said(self, made, seen) -> None:  # type: ignore[no-untyped-def]
        lying = made.lying_made()
        for angle, words in ((0.01, "0.0°, level"), (-4.26, "4.3°, head lower"), (4.26, "4.3°, head higher")):
            one = replace(lying.persons[0], spine=replace(lying.persons[0].spine, angle=angle))
            assert words in seen(body_on_bed(replace(lying, persons=(one,)))).says

    def test_a_back_that_touches_is_said(self, made, seen) -> None:  # type: ignore[no-untyped-def]
        lying = made.lying_made()
        one = replace(lying.persons[0], clearance=0.2)
        assert "it touches the bed" in seen(body_on_bed(replace(lying, persons=(one,)))).says


class TestSinks:
    def test_a_mark_goes_down_by_the_sink_at_its_place(self, made, places) -> None:  # type: ignore[no-untyped-def]
        lying = made.lying_made()
        one = lying.persons[0]
        svg = body_on_bed(lying, 0, 180.0, places)
        face = next(line for line in paths(svg, f'stroke="{INK}"', 'stroke-width="0.4"') if len(line) > 50)
        mm = (face[-1][0] - face[0][0]) / float(np.ptp(lying.slices[0].place))
        upright = [
            line
            for line in paths(svg, f'stroke="{INK}"', 'stroke-width="0.3"')
            if len(line) == 2 and line[0][0] == line[1][0]
        ]
        found = {round((x - face[0][0]) / mm + 10): (y1 - y0) / mm for (x, y0), (_, y1) in upright}
        assert len(found) == len(one.sink)
        for name, sink in one.sink.items():
            near = min(found, key=lambda at, name=name: abs(at - places.places[name]))  # type: ignore[misc]
            assert near == pytest.approx(places.places[name], abs=1.5)
            assert found[near] == pytest.approx(sink, abs=0.3)

    def test_parts_that_lie_close_keep_their_words_apart(self, made, seen) -> None:  # type: ignore[no-untyped-def]
        lying = made.lying_made()
        drawing = seen(body_on_bed(lying, 0, 112.0, Marks(dict.fromkeys(made.PLACES, 900.0))))
        assert drawing.over_each_other() == []
        assert drawing.outside() == []


def test_what_cannot_be_drawn_is_refused(made) -> None:  # type: ignore[no-untyped-def]
    lying = made.lying_made()
    one = lying.persons[0]
    with pytest.raises(OutsideRange, match="no cut runs along person 1 of 1"):
        body_on_bed(replace(lying, slices=lying.slices[1:]))
    with pytest.raises(OutsideRange, match="sink of the hip nan"):
        body_on_bed(replace(lying, persons=(replace(one, sink={**one.sink, "hip": math.nan}),)))
    with pytest.raises(OutsideRange, match="two points or more"):
        body_on_bed(replace(lying, persons=(replace(one, spine=replace(one.spine, along=one.spine.along[:1])),)))


def test_the_second_person_is_drawn_from_the_second_cut(made, seen) -> None:  # type: ignore[no-untyped-def]
    lying = made.lying_made(("man 1755 mm 80 kg", "supine", 80, 420), ("woman 1630 mm 62 kg", "side", 62, 1080))
    says = seen(body_on_bed(lying, 1)).says
    assert "woman 1630 mm 62 kg, on the side" in says
    assert "1755" not in says


class TestLowestLine:
    def beside(self, made, at: float):  # type: ignore[no-untyped-def]
        """A person whose middle is not touched from 1200 mm on: legs press 80 mm into the bed `at` mm beside it."""
        lying = made.lying_made()
        pressure, down = np.zeros_like(lying.pressure), np.zeros_like(lying.pressure)
        leg = int(np.argmin(np.abs(lying.x - 750 - at)))
        rows = lying.y > 1200
        pressure[rows, leg], down[rows, leg] = 3.0, 80.0
        cut = lying.slices[0]
        bare = replace(cut, face=cut.untouched.copy(), body=np.where(cut.place > 1200, np.nan, cut.untouched + 40))
        legs = (np.array([600.0, 900.0, 900.0, 600.0]), np.array([130.0, 130.0, 1900.0, 1900.0]))
        one = replace(lying.persons[0], outline=(legs,))
        return replace(lying, pressure=pressure, face_down=down, persons=(one,), slices=(bare, lying.slices[-1]))

    def test_legs_beside_the_middle_are_in_it(self, made) -> None:  # type: ignore[no-untyped-def]
        lying = self.beside(made, 100.0)
        found = lowest_line(lying, 0, lying.slices[0])
        legs = (found.place > 1220) & (found.place < 1880)
        assert found.face[legs] == pytest.approx(250.0 - 80.0)
        assert found.body[legs] == pytest.approx(found.face[legs])
        trunk = (found.place > 200) & (found.place < 1150)
        assert found.face[trunk] == pytest.approx(250.0)
        assert found.body[trunk] == pytest.approx(290.0)
        assert not np.isfinite(found.body[found.place > 1920]).any()

    def test_what_lies_farther_out_is_not(self, made) -> None:  # type: ignore[no-untyped-def]
        lying = self.beside(made, REACH + 30.0)
        found = lowest_line(lying, 0, lying.slices[0])
        assert found.face == pytest.approx(250.0)
        assert not np.isfinite(found.body[found.place > 1220]).any()

    def test_without_a_face_over_the_plan_the_cut_stays(self, made) -> None:  # type: ignore[no-untyped-def]
        lying = made.lying_made()
        assert lowest_line(lying, 0, lying.slices[0]) is lying.slices[0]


def test_runs_are_the_stretches_without_a_gap() -> None:
    values = np.array([np.nan, 1.0, 2.0, np.nan, np.nan, 3.0])
    assert [(run.start, run.stop) for run in runs(values)] == [(1, 3), (5, 6)]
    assert runs(np.array([np.nan])) == []
    assert [(run.start, run.stop) for run in runs(np.array([1.0]))] == [(0, 1)]
