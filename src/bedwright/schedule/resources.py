"""What a plan may use: people with their skills and hours, work places with their machines, ovens with their racks."""

from __future__ import annotations

from dataclasses import dataclass

from bedwright.schedule.spans import Interval


@dataclass(frozen=True, slots=True)
class Person:
    """One pair of hands.

    code        the person's key (never a name: names live outside the plan)
    skills      (skill, level): level in percent of full speed; 50 is a starter at half speed
    working     ordinary working stretches [s], breaks taken out, absence not yet
    absence     stretches [s] in which the person is away
    overtime    stretches [s] beyond the ordinary ones that the person would agree to work
    """

    code: str
    skills: tuple[tuple[str, int], ...]
    working: tuple[Interval, ...]
    absence: tuple[Interval, ...] = ()
    overtime: tuple[Interval, ...] = ()

    def level(self, skill: str | None) -> int:
        """Percent of full speed at a skill; 0 where it is not known; 100 for work that needs no skill (None)."""
        if skill is None:
            return 100
        return dict(self.skills).get(skill, 0)


@dataclass(frozen=True, slots=True)
class WorkPlace:
    """A kind of machine or bench, `count` of them alike.

    needs_person    work there occupies a person, also where an operation names no skill
    setup_seconds   (family kind, seconds): charged when the next operation's value of that family differs from the
                    last one on the same machine. Several changes at once add up
    standing        (family kind, value) set up at second 0 on every machine; a family not named here is not known, so
                    the first operation pays for it
    working         stretches [s] in which the place is open; empty means always
    """

    code: str
    kind: str
    count: int = 1
    needs_person: bool = True
    setup_seconds: tuple[tuple[str, int], ...] = ()
    standing: tuple[tuple[str, str], ...] = ()
    working: tuple[Interval, ...] = ()


@dataclass(frozen=True, slots=True)
class Oven:
    """Where assembled open-coil units are heat-set, in charges that go in and come out together.

    capacity        rack units that one charge holds; a size takes more or fewer of them
    charge_seconds  time at heat [s], counted FROM UNIT TEMPERATURE, not from the shutting of the door
    warm_up_seconds from the shutting of the door until the units have their temperature [s], door recovery included
    cooling_seconds after the charge, before anything soft may touch the unit [s]: the unit waits, the oven does not
    working         stretches [s] in which a charge may be put in and taken out; breaks are run through; empty: always
    Source: common practice, no source, for 45 minutes; the rest is the maker's own measurement.
    """

    code: str
    capacity: int
    warm_up_seconds: int
    charge_seconds: int = 45 * 60
    cooling_seconds: int = 0
    count: int = 1
    working: tuple[Interval, ...] = ()

    def length(self) -> int:
        """Seconds from the shutting of the door to its opening."""
        return self.warm_up_seconds + self.charge_seconds
