"""Cards of making: routes, work places, people and their skills, shifts, closed days."""

from __future__ import annotations

from datetime import date, time
from typing import Literal, Self

from pydantic import model_validator

from bedwright.works.card import Card, Row, Text, measure, refer, rows, says

Stream = Literal["unit", "panels", "border", "meet"]
Skill = Literal["coiling", "unit", "quilting", "cutting", "sewing", "build", "tape edge", "hand tufting", "packing"]
Driver = Literal[
    "bed", "coil", "unit m2", "lacing m", "face", "panel m2", "panel edge m", "border m", "fitting", "tape m", "tuft",
    "side-stitch m",
]  # fmt: skip
SetUp = Literal["wire", "coil height", "ticking", "needle spacing", "tape colour"]
OnlyIf = Literal[
    "made unit", "bought unit", "open-coil", "pocket", "edge rod before the oven", "edge rod after the oven",
    "edge rod not heated", "edge strip", "foam rail", "whole unit heat", "quilted border", "fittings",
    "machine side-stitch", "hand side-stitch", "flange", "overlock", "tufts", "two faces", "one face",
    "multi-needle panel", "deep panel", "mini-spring layer", "rolled", "not rolled", "edge guard", "zip",
]  # fmt: skip
CheckKind = Literal[
    "coiling", "lacing", "edge", "oven", "pocketing", "unit gluing", "quilting", "border", "build", "tape edge",
    "hand tufting", "passing", "packing",
]  # fmt: skip
CautionOf = Literal["none", "wire", "oven", "hot melt", "needles", "knives", "nip", "bale", "rolled", "lift"]
WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


class RouteStep(Row):
    """One operation. Minutes for one bed: base + minutes_per x what the step counts."""

    SHEET = "route_steps"

    position: int = measure("position")
    operation: Text = says("what is done, in the words of the floor")
    stream: Stream = says("unit, panels, border, or meet: from build on")
    work_place: str = refer("work place", says="where it is done")
    skill: Skill | None = says("skill it needs; empty where the machine needs no person", None)
    hands: int = measure("hands", 1)
    base_minutes: float = measure("base_minutes")
    minutes_per: float = measure("minutes_per", 0.0)
    per: Driver = says("what the step counts", "bed")
    wait_minutes: float = measure("wait_minutes", 0.0)
    set_up: SetUp | None = says("family whose change costs a set-up here", None)
    only_if: OnlyIf | None = says("the step exists only on beds that have this", None)
    check: CheckKind | None = says("check card that is gone through after the step", None)
    caution: CautionOf | None = says("caution of this very step; empty: that of its work place", None)
    piece_paid: bool = says("paid by the piece, by a price of its own", False)
    subcontracted: bool = says("done outside; takes the wait and no one's time here", False)


class Route(Card):
    """The making route: a net of three streams (unit, panels, border) that meet at build.

    Steps follow each other by position inside their stream; the first step of `meet` waits for the whole set.
    """

    KIND = "route"
    SHEET = "routes"
    SAYS = "making routes"

    steps: tuple[RouteStep, ...] = rows("operations, in the order of their stream")

    @model_validator(mode="after")
    def _streams_meet(self) -> Self:
        streams = {step.stream for step in self.steps}
        absent = [stream for stream in ("unit", "panels", "border", "meet") if stream not in streams]
        if absent:
            raise ValueError(f"no step in stream {', '.join(absent)}; unit, panels and border meet at build")
        positions = [step.position for step in self.steps]
        twice = sorted({place for place in positions if positions.count(place) > 1})
        if twice:
            raise ValueError(f"two steps stand at position {twice[0]}")
        return self

    def ordered(self) -> tuple[RouteStep, ...]:
        """Steps by position."""
        return tuple(sorted(self.steps, key=lambda step: step.position))


class SetUpTime(Row):
    """Minutes that a work place loses when a family changes."""

    SHEET = "work_place_setups"

    position: int = measure("position")
    family: SetUp = says("what changes")
    setup_minutes: float = measure("setup_minutes")


class WorkPlace(Card):
    """A machine or bench, or several alike. An oven has racks, charges and cooling."""

    KIND = "work place"
    SHEET = "work_places"
    SAYS = "machines and work places"

    form: Literal["machine", "bench", "oven"] = says("machine, bench or oven", "bench")
    places: int = measure("places", 1)
    rack_units: int | None = measure("rack_units", None)
    charge_minutes: float | None = measure("charge_minutes", None)
    warm_up_minutes: float | None = measure("warm_up_minutes", None)
    caution: CautionOf = says("usual caution printed where this place is named", "none")
    setups: tuple[SetUpTime, ...] = rows("set-up minutes by family")

    @model_validator(mode="after")
    def _oven_is_complete(self) -> Self:
        if self.form == "oven" and None in (self.rack_units, self.charge_minutes, self.warm_up_minutes):
            raise ValueError("an oven needs rack_units, charge_minutes and warm_up_minutes")
        return self


class PersonSkill(Row):
    """A skill of a person and their speed at it."""

    SHEET = "crew_skills"

    position: int = measure("position")
    skill: Skill = says("what they can do")
    skill_level: float = measure("skill_level", 100.0)


class PersonAbsence(Row):
    """Days on which a person is away, first and last included."""

    SHEET = "crew_absence"

    position: int = measure("position")
    first_day: date = says("first day away")
    last_day: date = says("last day away")

    @model_validator(mode="after")
    def _days_in_order(self) -> Self:
        if self.last_day < self.first_day:
            raise ValueError(f"last_day {self.last_day} is before first_day {self.first_day}")
        return self


class Person(Card):
    """One of the crew, by a works number. No name is kept here."""

    KIND = "person"
    SHEET = "crew"
    SAYS = "crew, by works number; names are not kept here"

    shift: str = refer("shift", says="shift worked")
    skills: tuple[PersonSkill, ...] = rows("skills and speed")
    absence: tuple[PersonAbsence, ...] = rows("days away")


class ShiftBreak(Row):
    """A break in a shift, wall time."""

    SHEET = "shift_breaks"

    position: int = measure("position")
    start: time = says("start of the break, wall time")
    end: time = says("end of the break, wall time")


class Shift(Card):
    """Hours of work in wall time of the works' zone."""

    KIND = "shift"
    SHEET = "shifts"
    SAYS = "shifts in wall time"

    start: time = says("start, wall time")
    end: time = says("end, wall time; before the start means the next day")
    days: Text = says("days of the week on which it starts, as mon tue wed thu fri")
    breaks: tuple[ShiftBreak, ...] = rows("breaks")

    @model_validator(mode="after")
    def _days_are_days(self) -> Self:
        unknown = [day for day in self.days.lower().split() if day not in WEEKDAYS]
        if unknown or not self.days.split():
            raise ValueError(f"days {self.days!r} does not read as days; write them as mon tue wed thu fri")
        return self

    @property
    def weekdays(self) -> tuple[int, ...]:
        """Days of the week, Monday 0."""
        return tuple(sorted(WEEKDAYS.index(day) for day in set(self.days.lower().split())))


class ClosedDay(Card):
    """A day on which nobody works and no van leaves."""

    KIND = "closed day"
    SHEET = "closed_days"
    SAYS = "days on which the works is closed"

    day: date = says("the day")
