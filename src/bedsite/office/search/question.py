"""What is searched for: the words that must all be there, which group, which page; the address holds all of it."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import urlencode

from django.http import QueryDict

from bedwright.identity import fold

LONGEST = 100
LEAST = 2
MOST_WORDS = 6
LAST_PAGE = 200
PAGE = 50


@dataclass(frozen=True, slots=True)
class Question:
    """text: as typed; words: folded, each to be found; group: "" for the first of every group."""

    text: str
    words: tuple[str, ...] = ()
    group: str = ""
    page: int = 1
    fault: str = ""

    @property
    def asks(self) -> bool:
        return bool(self.words) and not self.fault

    @property
    def whole(self) -> str:
        """The words as one, for codes and ids with spaces in them."""
        return " ".join(self.words)

    @property
    def first(self) -> int:
        """Rows before this page."""
        return (self.page - 1) * PAGE

    def address(self, group: str, page: int = 1) -> str:
        """The same question put to a group."""
        told = {"q": self.text, "in": group} | ({"page": page} if page > 1 else {})
        return "?" + urlencode({key: value for key, value in told.items() if value})


def question(get: QueryDict, groups: tuple[str, ...]) -> Question:
    """The question of an address; what cannot be searched for is said in a sentence."""
    typed = " ".join(get.get("q", "").split())
    sound = "\0" not in typed and not any("\ud800" <= sign <= "\udfff" for sign in typed)
    if not sound:
        return Question("", fault="That holds signs that no text has; type it again.")
    if len(typed) > LONGEST:
        return Question(typed[:LONGEST], fault=f"That is {len(typed)} signs long; {LONGEST} are searched for at most.")
    if typed and len(typed) < LEAST:
        return Question(typed, fault=f"Type {LEAST} signs or more; one sign stands on nearly every card.")
    words = tuple(dict.fromkeys(fold(typed).split()))
    if len(words) > MOST_WORDS:
        return Question(typed, fault=f"That is {len(words)} words; {MOST_WORDS} are searched for at most.")
    group = get.get("in", "")
    page = get.get("page", "")
    number = int(page) if page.isascii() and page.isdigit() and len(page) < 6 else 1
    return Question(typed, words, group if group in groups else "", min(max(1, number), LAST_PAGE))
