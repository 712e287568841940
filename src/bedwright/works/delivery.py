"""Cards of delivery: vehicles, van rounds with days and cut-offs."""

from __future__ import annotations

from datetime import time
from typing import Literal, Self

from pydantic import model_validator

from bedwright.works.card import Card, Row, Text, measure, refer, rows, says
from bedwright.works.making import WEEKDAYS


class Vehicle(Card):
    """A load room by its inside sizes, and the payload by its plate."""

    KIND = "vehicle"
    SHEET = "vehicles"
    SAYS = "vehicles"

    inside_length: float = measure("inside_length")
    inside_width: float = measure("inside_width")
    inside_height: float = measure("inside_height")
    payload: float = measure("payload")
    tail_lift: bool = says("has a tail lift", False)


class RoundStop(Row):
    """A stop of the round, in the order of delivery."""

    SHEET = "van_round_stops"

    position: int = measure("position")
    customer: str = refer("customer", says="who is delivered")
    access: Literal["ground floor", "stairs", "lift"] = says("way from the van to the place", "ground floor")


class VanRound(Card):
    """A round on fixed days, with the moment by which its beds must be wrapped."""

    KIND = "van round"
    SHEET = "van_rounds"
    SAYS = "van rounds with days and cut-offs"

    vehicle: str = refer("vehicle", says="vehicle that runs it")
    days: Text = says("days on which it leaves, as tue fri")
    leaves: time = says("time of leaving, wall time")
    cut_off_days: int = measure("cut_off_days", 0)
    cut_off: time = says("time by which beds must be wrapped, that many days before")
    stops: tuple[RoundStop, ...] = rows("stops in the order of delivery")

    @model_validator(mode="after")
    def _holds(self) -> Self:
        unknown = [day for day in self.days.lower().split() if day not in WEEKDAYS]
        if unknown or not self.days.split():
            raise ValueError(f"days {self.days!r} does not read as days; write them as tue fri")
        if self.cut_off_days == 0 and self.cut_off > self.leaves:
            raise ValueError(f"cut_off {self.cut_off} is after the van leaves at {self.leaves}")
        return self

    @property
    def weekdays(self) -> tuple[int, ...]:
        """Days of the week on which it leaves, Monday 0."""
        return tuple(sorted(WEEKDAYS.index(day) for day in set(self.days.lower().split())))
