"""What is to be made: works orders with a van to meet, and the net of operations that makes them."""

from __future__ import annotations

from dataclasses import dataclass

STREAMS = ("unit", "panels", "border", "meet")


@dataclass(frozen=True, slots=True)
class WorksOrder:
    """Beds made together.

    due         the cut-off of their van [s]: every bed of it must be finished by then
    van_round   the van round they go with
    beds        how many
    priority    among equal cut-offs, the larger goes first
    words       the bed in words, for papers
    pair        a key shared by works orders that must meet the same van (zip-linked halves); empty: none
    """

    id: str
    due: int
    van_round: str = ""
    beds: int = 1
    priority: int = 0
    words: str = ""
    pair: str = ""


@dataclass(frozen=True, slots=True)
class Operation:
    """One piece of work at one place, for all beds of its works order. What comes from stock has no operation.

    stream        unit | panels | border, the three that meet at build, or meet for what follows
    place         code of a work place or an oven
    skill         needed by everybody who does it; None: whoever is free, or nobody at a place that needs nobody
    run_seconds   at full speed, by all hands together; 0 in an oven, which has its own time
    setup_keys    (family kind, value): wire, coil height, ticking, needle spacing, tape colour
    after         ids of operations that must be finished, and waited for, before this one runs
    wait_seconds  elapsed time after it [s] before what follows may start (cooling, glue cure, panels relaxing)
    hands         people needed at once, 1 or 2
    rack_units    room in the oven for all units of it together; 0 elsewhere
    earliest      second [s] before which it cannot run: its material's date
    words         the work in words, for papers
    """

    id: str
    works_order: str
    stream: str
    place: str
    skill: str | None = None
    run_seconds: int = 0
    setup_keys: tuple[tuple[str, str], ...] = ()
    after: tuple[str, ...] = ()
    wait_seconds: int = 0
    hands: int = 1
    rack_units: int = 0
    earliest: int = 0
    words: str = ""
