"""A form row: one box with its label, its unit, what it means, what is usual, and what is wrong with it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Literal

Box = Literal["line", "long", "number", "choice", "date", "time", "password", "file", "hidden", "listed"]
_WIDGETS: dict[str, Box] = {"password": "password", "file": "file", "select": "choice", "textarea": "long"}


@dataclass(frozen=True, slots=True)
class FormRow:
    """What `parts/form_row.html` draws. name is the field's name in the post, value what stands in its box."""

    name: str
    label: str
    value: str = ""
    box: Box = "line"
    unit: str = ""
    meaning: str = ""
    usual: str = ""
    book: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    """(value, words) of a choice; suggestions of a listed box stand in a datalist of the page."""
    listed: str = ""
    """Id of the datalist that a listed box takes its suggestions from."""
    needed: bool = False
    faults: tuple[str, ...] = ()
    longest: int = 0
    autocomplete: str = "off"
    first: bool = False
    """Whether the cursor begins here."""
    prefix: str = ""
    """Parts the ids of two forms on one page."""

    @property
    def id(self) -> str:
        return f"{self.prefix}box-{self.name}"

    @property
    def described(self) -> str:
        """Ids of what describes the box, for aria-describedby."""
        told = [f"{self.id}-help"] if self.help else []
        if self.faults:
            told.append(f"{self.id}-fault")
        if self.unit:
            told.append(f"{self.id}-unit")
        return " ".join(told)

    @property
    def help(self) -> bool:
        return bool(self.meaning or self.usual or self.book)

    @property
    def mode(self) -> str:
        """Which keys a tablet offers. Numbers stay plain text: "13.5 SWG" and "2.2 mm" are read too."""
        return "text"


def from_bound(field: Any) -> FormRow:
    """The row of a Django form's field."""
    widget = field.field.widget
    kind = str(getattr(widget, "input_type", "") or type(widget).__name__.casefold())
    attrs = widget.attrs
    value = field.value()
    hidden = kind in ("password", "file")
    return FormRow(
        name=field.html_name,
        label=str(field.label),
        value="" if value is None or hidden else str(value),
        box="hidden" if field.is_hidden else _WIDGETS.get(kind, "line"),
        meaning=str(field.help_text or ""),
        choices=tuple(_flat(getattr(field.field, "choices", ()))),
        needed=bool(field.field.required),
        faults=tuple(str(fault) for fault in field.errors),
        longest=int(getattr(field.field, "max_length", 0) or 0),
        autocomplete=str(attrs.get("autocomplete", "off")),
        first=bool(attrs.get("autofocus")),
    )


def _flat(choices: Iterable[Any]) -> Iterable[tuple[str, str]]:
    for value, words in choices:
        yield str(value), str(words)
