"""What a workbook says about itself: format, works, zone, and the day that counts as today."""

from __future__ import annotations

from datetime import date
from typing import Annotated
from zoneinfo import ZoneInfo

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

FORMAT = 2
"""Number of the workbook's stored format. A higher one is refused; a lower one is read through its upcasters."""


def _zone_is_known(name: str) -> str:
    try:
        ZoneInfo(name)
    except (KeyError, ValueError, OSError) as error:
        raise ValueError(f"{name!r} is not a time zone; write one as Europe/London") from error
    return name


class About(BaseModel):
    """The sheet `about`: one row of facts. `as_of` is today for every command; the clock is never read."""

    model_config = ConfigDict(frozen=True, strict=True, extra="forbid", str_strip_whitespace=True)

    format: int = Field(ge=1, description="number of the stored format")
    version: str = Field(max_length=40, description="program version that wrote it")
    works_id: str = Field(min_length=1, max_length=64, description="id of the works, made once")
    name: str = Field(max_length=200, description="name of the works")
    address: str = Field("", max_length=400, description="postal address, for labels")
    contact: str = Field("", max_length=200, description="electronic address, for labels")
    revision: int = Field(ge=0, description="revision of the works that this view was taken from")
    time_zone: Annotated[str, AfterValidator(_zone_is_known)] = Field(description="zone of all wall times")
    as_of: date = Field(description="the day that counts as today")
    currency: str = Field(min_length=3, max_length=3, description="currency of all amounts without one")
    words: str = Field("", max_length=400, description="anything else, as: all of it invented")
