"""The card: one record of a works, frozen and checked by itself.

A card class is the one source of form, workbook column, help and check. Every quantity is declared with
`measure(word)`, so that unit, meaning and limits come from words.py; every mention of another card with
`refer(kind, ...)`; nested rows are a child sheet keyed by (code, position).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, Any, ClassVar, Generic, Self, TypeVar

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, ValidationError

from bedwright.errors import CardRefused, Fault
from bedwright.identity import check_code, fold
from bedwright.words import WORDS

Code = Annotated[str, AfterValidator(check_code)]
Text = Annotated[str, Field(max_length=400)]
Name = Annotated[str, Field(max_length=60)]


def measure(word: str, default: Any = ..., *, low: float | None = None, high: float | None = None) -> Any:
    """A number with a unit: limits, unit and meaning come from words.py; low and high narrow them."""
    entry = WORDS[word]
    return Field(
        default,
        ge=entry.low if low is None else low,
        le=entry.high if high is None else high,
        description=entry.meaning,
        json_schema_extra={"word": word},
    )


def refer(*kinds: str, default: Any = ..., says: str = "") -> Any:
    """The code of another card of one of these kinds. None as default makes it optional."""
    return Field(default, description=says, json_schema_extra={"refers": list(kinds)})


def says(meaning: str, default: Any = ..., **limits: Any) -> Any:
    """A plain field (choice, text, date, money) with its meaning for help and forms."""
    return Field(default, description=meaning, **limits)


def rows(meaning: str) -> Any:
    """Nested rows: a child sheet of their own, keyed by the card's code and the row's position."""
    return Field((), description=meaning)


class Row(BaseModel):
    """A nested row of a card. Rows have no code: (code of the card, position) is their key."""

    model_config = ConfigDict(frozen=True, strict=True, extra="forbid", allow_inf_nan=False, str_strip_whitespace=True)

    SHEET: ClassVar[str]


class Card(BaseModel):
    """A record of a works: (kind, code) names it for ever; the content decides its revision."""

    model_config = ConfigDict(frozen=True, strict=True, extra="forbid", allow_inf_nan=False, str_strip_whitespace=True)

    KIND: ClassVar[str]
    SHEET: ClassVar[str]
    SAYS: ClassVar[str] = ""

    code: Code = says("the code that names this card for ever; up to 24 characters")
    name: Name = says("what people call it; up to 60 characters, so that papers can hold it", "")
    note: Text = says("anything else", "")

    @property
    def called(self) -> str:
        """How faults and papers name the card."""
        return f"{self.KIND} {self.code}"

    @classmethod
    def make(cls, **values: Any) -> Self:
        """A card from code, refusing with CardRefused (all faults, each naming card and field)."""
        try:
            return cls(**values)
        except ValidationError as error:
            code = values.get("code", "?")
            raise CardRefused(
                Fault(says=text, value=value, card=f"{cls.KIND} {code}", field=field)
                for field, value, text in plain_faults(error)
            ) from None


def plain_faults(error: ValidationError) -> list[tuple[str, str, str]]:
    """(field, value as text, sentence) of each fault pydantic found; value is "" where the input is a whole row."""
    found = []
    for one in error.errors(include_url=False):
        field = ".".join(str(part) for part in one["loc"]) or ""
        value = one.get("input")
        text = one["msg"].removeprefix("Value error, ")
        shown = "" if isinstance(value, (dict, BaseModel)) else str(value)
        found.append((field, shown, _plain(one["type"], text, one.get("ctx", {}))))
    return found


def _plain(kind: str, text: str, context: dict[str, Any]) -> str:
    if kind == "string_too_long":
        return f"is longer than {context['max_length']} characters"
    if kind == "missing":
        return "is needed and is empty"
    if kind == "greater_than_equal":
        return f"is below {context['ge']:g}, the least that is accepted"
    if kind == "less_than_equal":
        return f"is above {context['le']:g}, the most that is accepted"
    if kind == "literal_error":
        return f"is not one of {context['expected']}"
    if kind in ("float_type", "int_type", "float_parsing", "int_parsing", "decimal_type"):
        return "is not a number"
    if kind == "extra_forbidden":
        return "is not a field of this card"
    return text[:1].lower() + text[1:]


T = TypeVar("T", bound=Card)


@dataclass(frozen=True, slots=True)
class Cards(Generic[T]):
    """All cards of one kind: looked up by code (case-folded), iterated in the order of their codes."""

    kind: str
    _by_code: dict[str, T]

    @classmethod
    def of(cls, kind: str, cards: list[T]) -> Cards[T]:
        return cls(kind, {fold(card.code): card for card in sorted(cards, key=lambda card: fold(card.code))})

    def __getitem__(self, code: str) -> T:
        return self._by_code[fold(code)]

    def __contains__(self, code: str) -> bool:
        return fold(code) in self._by_code

    def __iter__(self) -> Iterator[T]:
        return iter(self._by_code.values())

    def __len__(self) -> int:
        return len(self._by_code)

    def get(self, code: str) -> T | None:
        return self._by_code.get(fold(code))
