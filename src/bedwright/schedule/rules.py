"""How the plain rule chooses, and what one walk of it gives."""

from __future__ import annotations

from dataclasses import dataclass

from bedwright.schedule.plan import Charge, Finish, Objective, Slip


@dataclass(frozen=True, slots=True)
class Rule:
    """How the plain rule chooses.

    by                  cut-off: the van that leaves first, then the least slack; slack: the least slack alone
    setup_window        [s] work whose van leaves within so long of the most urgent's may go first to save a set-up
    fill_percent        an oven starts when so much of its room is taken ...
    oven_wait_seconds   ... or when its first unit has waited so long [s], or no later start would fit today
    overtime            whether people's overtime may be used
    shake_seconds       urgency is moved by a random part of so much [s], from the seed; 0: not
    """

    name: str
    by: str = "cut-off"
    setup_window: int = 0
    fill_percent: int = 70
    oven_wait_seconds: int = 3600
    overtime: bool = False
    shake_seconds: int = 0


@dataclass(frozen=True, slots=True)
class Pass:
    """What one walk through time gave, before any bound."""

    rule: Rule
    slips: tuple[Slip, ...]
    charges: tuple[Charge, ...]
    finishes: tuple[Finish, ...]
    unplaced: tuple[tuple[str, str], ...]
    objective: Objective
