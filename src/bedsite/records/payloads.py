"""What each type of event says. Strict, frozen; a new field needs a new schema number and an upcaster."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Any, ClassVar, Literal

from pydantic import BaseModel, ConfigDict, Field

Id = Annotated[str, Field(min_length=1, max_length=24)]
Line = Annotated[str, Field(max_length=400)]


class Payload(BaseModel):
    """The body of an event; TYPE names it for ever, SCHEMA numbers its form."""

    model_config = ConfigDict(frozen=True, strict=True, extra="forbid", allow_inf_nan=False, str_strip_whitespace=True)

    TYPE: ClassVar[str]
    SCHEMA: ClassVar[int] = 1


class ReleasedStep(Payload):
    """One operation of the making route as it stood at release."""

    position: int = Field(ge=1)
    operation: Line
    place: Line = Field(description="code of the work place")
    after: tuple[int, ...] = ()
    stream: Line = ""
    minutes: float = Field(0, ge=0)


class ReleasedBundle(Payload):
    """The parts of one stream for one run, which travel together until they meet."""

    id: Id
    stream: Line


class ReleasedRun(Payload):
    """Beds made together, each with its serial, and the bundles of their parts."""

    id: Id
    beds: int = Field(ge=1)
    serials: tuple[Id, ...]
    bundles: tuple[ReleasedBundle, ...]


class Release(Payload):
    """A works order comes into being, with everything that hangs on it; its ids last."""

    TYPE = "release"

    works_order: Id
    order: Id
    line: int = Field(ge=1)
    customer: Id
    bed: Id
    size: Id
    beds: int = Field(ge=1)
    due: date = Field(description="day of the van")
    van_round: Line = ""
    rank: int = Field(0, description="place in the order of making")
    revision: int = Field(ge=1, description="revision of the works that it was reckoned from")
    runs: tuple[ReleasedRun, ...]
    steps: tuple[ReleasedStep, ...]


class Booking(Payload):
    """Something done at a station: on one bed, by its serial."""

    TYPE = "booking"

    act: Literal["start", "done", "trouble", "back"]
    """back: taken up by mistake, put back as it was."""
    serial: Id
    place: Line
    position: int | None = Field(None, ge=1, description="step of the route; empty: the next one at this place")
    says: Line = ""


class Check(Payload):
    """A check in the making, or the passing of a finished bed: what was found, and what is to become of it."""

    TYPE = "check"

    subject: Id
    check: Line
    figure: float | None = None
    unit: Line = ""
    outcome: Literal["right", "hold", "rework", "scrap", "use as is"]
    says: Line = ""


class Test(Payload):
    """A test of a sample or bed: who measured what. Figures by name, each in its unit."""

    TYPE = "test"

    subject: Id
    test: Line
    laboratory: Line = ""
    figures: dict[str, float] = {}
    file: str = Field("", max_length=64, description="sha256 of the report as kept")
    says: Line = ""


class Loading(Payload):
    """A wrapped bed and its van."""

    TYPE = "loading"

    act: Literal["on the van", "off again", "delivered", "came back"]
    serial: Id
    day: date
    van_round: Line = ""
    says: Line = ""


class Claim(Payload):
    """A customer's complaint about a bed."""

    TYPE = "claim"

    serial: str = Field("", max_length=24)
    order: str = Field("", max_length=24)
    says: Line


class Printed(Payload):
    """A paper was printed and kept."""

    TYPE = "printed"

    snapshot: str = Field(max_length=32)
    paper: Line
    name: Line


class Correction(Payload):
    """An earlier event was wrong: withdrawn, or to be read as `instead` (the other's whole payload)."""

    TYPE = "correction"

    why: Annotated[str, Field(min_length=1, max_length=400)]
    instead: dict[str, Any] | None = None


TYPES: dict[str, type[Payload]] = {
    payload.TYPE: payload for payload in (Release, Booking, Check, Test, Loading, Claim, Printed, Correction)
}
