"""Shifts in wall time become plan seconds; both clock changes of Europe/London 2026 are crossed.

Dates of the changes: last Sundays of March and October (29 March, 25 October 2026), at 01:00 UTC.
"""

from __future__ import annotations

from datetime import date

import pytest

from bedwright.errors import FaultsFound
from bedwright.schedule.calendar import Shift, WallClock, absence, working_time
from bedwright.schedule.spans import Timeline, common, measure, merged, without

HOUR = 3600
SPRING, AUTUMN = date(2026, 3, 29), date(2026, 10, 25)
NIGHT = Shift("night", (5,), 22 * 60, 6 * 60)  # begins on Saturday, ends on the Sunday of the change


def london(as_of: date) -> WallClock:
    return WallClock("Europe/London", as_of)


def test_a_day_has_23_24_or_25_hours() -> None:
    for day, hours in ((date(2026, 3, 28), 24), (SPRING, 23), (AUTUMN, 25), (date(2026, 10, 26), 24)):
        clock = london(day)
        assert clock.second(date.fromordinal(day.toordinal() + 1)) == hours * HOUR


def test_the_night_shift_is_shorter_in_spring_and_longer_in_autumn() -> None:
    for saturday, hours in ((date(2026, 3, 28), 7), (date(2026, 10, 24), 9), (date(2026, 5, 2), 8)):
        assert measure(working_time(london(saturday), [NIGHT], 1)) == hours * HOUR


def test_a_shift_after_the_change_begins_at_its_wall_time() -> None:
    early = Shift("early", tuple(range(7)), 6 * 60, 14 * 60)
    for saturday, start in ((date(2026, 3, 28), 24 + 5), (date(2026, 10, 24), 24 + 7)):
        clock = london(saturday)
        assert working_time(clock, [early], 2)[1] == (start * HOUR, (start + 8) * HOUR)
        assert f"{clock.wall(start * HOUR):%a %H:%M}" == "Sun 06:00"


def test_a_wall_time_that_is_missing_means_the_change_and_one_that_comes_twice_its_first_coming() -> None:
    spring = london(SPRING)
    assert spring.second(SPRING, 90) == spring.second(SPRING, 60) == spring.second(SPRING, 120) == HOUR
    autumn = london(AUTUMN)
    assert autumn.second(AUTUMN, 90) == 90 * 60
    assert autumn.second(AUTUMN, 120) == 3 * HOUR
    assert autumn.wall(90 * 60).fold == 0 and autumn.wall(150 * 60).fold == 1


def test_a_break_inside_the_missing_hour_vanishes() -> None:
    shift = Shift("night", (5,), 22 * 60, 6 * 60, ((75, 105),))
    assert measure(working_time(london(date(2026, 3, 28)), [shift], 1)) == 7 * HOUR
    assert measure(working_time(london(date(2026, 5, 2)), [shift], 1)) == 7.5 * HOUR


def test_two_shifts_with_breaks_on_weekdays_and_a_closed_day() -> None:
    clock = london(date(2026, 10, 19))  # a Monday
    week = (0, 1, 2, 3, 4)
    early = Shift("early", week, 6 * 60, 14 * 60, ((9 * 60, 9 * 60 + 15), (12 * 60, 12 * 60 + 30)))
    late = Shift("late", week, 14 * 60, 22 * 60, ((18 * 60, 18 * 60 + 30),))
    whole = working_time(clock, [early, late], 7)
    assert measure(whole) == 5 * int((7.25 + 7.5) * HOUR)
    assert whole[0] == (6 * HOUR, 9 * HOUR)
    assert whole[2] == (12 * HOUR + 1800, 18 * HOUR)  # early hands over to late without a gap
    closed = working_time(clock, [early, late], 7, closed=[date(2026, 10, 21)])
    assert measure(whole) - measure(closed) == int(14.75 * HOUR)
    over_the_change = working_time(clock, [early], 8)
    assert over_the_change[-3][0] == 7 * 24 * HOUR + 7 * HOUR  # Monday 26th, an hour later in plain seconds


def test_a_night_shift_of_the_evening_before_reaches_into_the_first_day() -> None:
    night = Shift("night", tuple(range(7)), 22 * 60, 6 * 60)
    assert working_time(london(date(2026, 5, 4)), [night], 1) == ((0, 6 * HOUR), (22 * HOUR, 30 * HOUR))


def test_absence_covers_whole_days_over_the_change() -> None:
    assert absence(london(date(2026, 10, 24)), date(2026, 10, 25), date(2026, 10, 25)) == (24 * HOUR, 49 * HOUR)


def test_what_is_typed_wrongly_is_refused_all_at_once() -> None:
    with pytest.raises(FaultsFound) as caught:
        Shift("x", (7,), -5, 1500, ((1501, 1502),))
    text = str(caught.value)
    assert len(caught.value.faults) == 4
    assert "-5" in text and "1500" in text and "0 (Monday)" in text and "break" in text
    with pytest.raises(FaultsFound, match=r"Europe/Lundon.*Europe/London"):
        WallClock("Europe/Lundon", SPRING)


def test_words_are_the_same_in_every_locale() -> None:
    assert london(AUTUMN).words(90 * 60) == "Sun 25 Oct 01:30"


def test_spans_join_cross_and_cut() -> None:
    assert merged([(5, 9), (0, 3), (3, 4), (8, 8)]) == ((0, 4), (5, 9))
    assert common([(0, 4), (5, 9)], [(2, 6)]) == ((2, 4), (5, 6))
    assert without([(0, 10)], [(2, 3), (3, 4), (9, 20)]) == ((0, 2), (4, 9))


def test_work_is_laid_over_breaks_but_not_over_nights_unless_told() -> None:
    line = Timeline.of([(0, 100), (110, 200), (1000, 1100)], pause=10)
    assert line.longest_block == 190
    assert line.lay(50, 50, False) == ((50, 100),)
    assert line.lay(50, 100, False) == ((50, 100), (110, 160))
    assert line.lay(50, 141, False) is None
    assert line.lay(50, 141, True) == ((50, 100), (110, 200), (1000, 1001))
    assert line.lay(105, 1, True) is None
    assert line.lay(50, 1000, True) is None
    assert line.advance(95, 10) == 115 and line.advance(300, 1) == 1001 and line.advance(0, 291) is None
