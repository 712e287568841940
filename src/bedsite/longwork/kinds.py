"""The kinds of long work: each a name, the inputs it asks for, the version of its model, and where its function stands.

A function is named, not imported: the server knows every kind without loading the rooms that reckon it, which only the
worker does.
"""

from __future__ import annotations

import importlib
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Any, ClassVar, Literal, Protocol

from pydantic import BaseModel, ConfigDict, Field

from bedwright import __version__
from bedwright.errors import NotReadable


class Left(Exception):
    """Work is to be put down where it stands. No BedwrightError, so that no room takes it for a fault of its own."""


class Cancelled(Left):
    """A person cancelled it."""


class Stopped(Left):
    """The worker has to go, or the job is another worker's by now; whoever takes it up begins anew."""


class Told(Protocol):
    """How work says how far it is; raises Left when it is to be put down."""

    who: str
    """Key of the person who asked."""

    def __call__(self, done: int, total: int, message: str = "") -> None: ...


class Inputs(BaseModel):
    """What a question asks. All of it makes the question, but for what HANDLES names: only where to find the rest."""

    model_config = ConfigDict(frozen=True, strict=True, extra="forbid", allow_inf_nan=False)

    HANDLES: ClassVar[frozenset[str]] = frozenset()

    def asked(self) -> dict[str, Any]:
        """The part of the inputs that the answer depends on."""
        return self.model_dump(exclude=set(self.HANDLES))


class OfAWorks(Inputs):
    """A question to a works as it stood."""

    HANDLES: ClassVar[frozenset[str]] = frozenset({"revision", "released"})

    works: str = Field(min_length=64, max_length=64, description="content id of its cards and releases")
    revision: int = Field(ge=1, description="where to read it")
    released: int = Field(0, ge=0, description="how many releases count, in the order of the ledger")


class OfTheWorks(OfAWorks):
    """A question to the whole works as it stood; a day counts as today."""

    as_of: date = Field(description="the day that counts as today")


class PapersOfTheWorks(OfTheWorks):
    """Papers carry the revision they were printed from, so here it is a part of the question."""

    HANDLES: ClassVar[frozenset[str]] = frozenset({"released"})


class OfABed(OfAWorks):
    """A question to one bed at a size, a face up, on a base. No release counts: they change no bed."""

    bed: str = Field(min_length=1, max_length=24)
    size: str = Field(min_length=1, max_length=24)
    face: Literal["A", "B"] = "A"
    base: str = Field("solid", max_length=200, description="words of mechanics.base")


class PadTestOf(OfABed):
    """A pad test at a spot, None for the middle; edge: near the border too, and sat on."""

    spot: tuple[float, float] | None = Field(None, description="across, along from the head's left corner [mm]")
    edge: bool = False


class Lain(Inputs):
    """Somebody who lies, in words of mechanics.person."""

    person: str = Field(min_length=1, max_length=300)
    posture: Literal["supine", "side"] = "supine"


class LyingOf(OfABed):
    """One or two persons lying on it."""

    persons: tuple[Lain, ...] = Field(min_length=1, max_length=2)


class SideBySideOf(OfAWorks):
    """Two to four beds at a size, and who lies on each, alone."""

    beds: tuple[str, ...] = Field(min_length=2, max_length=4)
    size: str = Field(min_length=1, max_length=24)
    persons: tuple[Lain, ...] = Field((), max_length=3)


class WeighUpOf(OfAWorks):
    """A weigh-up of builds that answer a brief; work: builds to press, never a time."""

    brief: str = Field(min_length=1, max_length=24)
    work: int = Field(ge=1, le=5_000)
    seed: int = Field(1, ge=0, le=2**31)


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of long work. does: module:function, called with (inputs, told); gives plain JSON data."""

    name: str
    says: str
    inputs: type[Inputs]
    model_version: str
    does: str

    def function(self) -> Callable[[Any, Told], Any]:
        """The function itself; loads the rooms it needs."""
        module, _, name = self.does.partition(":")
        found: Callable[[Any, Told], Any] = getattr(importlib.import_module(module), name)
        return found


KINDS: dict[str, Kind] = {}


def register(kind: Kind) -> Kind:
    """Make a kind known. A name is given once."""
    if kind.name in KINDS:
        raise ValueError(f"long work {kind.name!r} is known already")
    KINDS[kind.name] = kind
    return kind


def kind_of(name: str) -> Kind:
    """The kind of a name. Raises NotReadable for one that this program does not know."""
    if name not in KINDS:
        raise NotReadable(f"{name!r} is no long work of this program; there are {', '.join(sorted(KINDS))}")
    return KINDS[name]


RECKON = register(
    Kind(
        "reckon",
        "reckoning of the whole order book",
        OfTheWorks,
        f"{__version__}.1",  # raise the last number when a room reckons otherwise within one version
        "bedsite.longwork.reckon:reckon",
    )
)
PAPERS = register(
    Kind(
        "papers",
        "every paper of the order book",
        PapersOfTheWorks,
        f"{__version__}.1",
        "bedsite.longwork.papers:papers",
    )
)
PAD_TEST = register(
    Kind("pad-test", "pad test of a bed", PadTestOf, f"{__version__}.1", "bedsite.longwork.pressed:pad_test_of")
)
LYING = register(
    Kind("lying", "persons lying on a bed", LyingOf, f"{__version__}.1", "bedsite.longwork.lying_down:lying_of")
)
SIDE_BY_SIDE = register(
    Kind(
        "side-by-side",
        "beds side by side",
        SideBySideOf,
        f"{__version__}.1",
        "bedsite.longwork.beside:side_by_side_of",
    )
)
WEIGH_UP = register(
    Kind("weigh-up", "weigh-up of a brief", WeighUpOf, f"{__version__}.1", "bedsite.longwork.weighed:weigh_up_of")
)
