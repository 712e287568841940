"""Which beds are set side by side, at which size, for whom: out of an address or a form, faults under their boxes."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any
from urllib.parse import urlencode

from bedsite.longwork.kinds import Lain, SideBySideOf
from bedsite.longwork.standing import Standing
from bedsite.parts.rows import FormRow
from bedwright.errors import FaultsFound
from bedwright.weighing.asked import suited

MOST_BEDS, MOST_PERSONS, LONGEST = 4, 2, 300
PLACES = ("the first", "against it", "a third", "a fourth")
SUCH = 'sex, stature, mass and how, as "man 1755 mm 80 kg side"; adults only; empty for nobody'


@dataclass(slots=True)
class Asked:
    """The question as typed."""

    beds: list[str]
    size: str
    persons: list[str]
    faults: dict[str, list[str]] = field(default_factory=dict)

    @property
    def query(self) -> str:
        said: dict[str, Any] = {"bed": [one for one in self.beds if one], "size": self.size}
        return urlencode(said | {"person": [one for one in self.persons if one]}, doseq=True)

    @property
    def begun(self) -> bool:
        """Whether beds are still to be chosen: one is named, or none."""
        return sum(map(bool, self.beds)) < 2

    def refuse(self, box: str, *says: str) -> None:
        self.faults.setdefault(box, []).extend(says)

    def inputs(self, held: Standing) -> SideBySideOf | None:
        """The question; None with its faults."""
        codes: list[str] = []
        for at, code in enumerate(self.beds):
            if code and code not in held.works.beds:
                self.refuse(f"bed{at}", f"{code[:24]!r} is no bed of this works; choose one")
            elif code and held.works.beds[code].code in codes:
                self.refuse(f"bed{at}", f"{code} is named twice; a bed differs from itself in nothing")
            elif code:
                codes.append(held.works.beds[code].code)
        if len(codes) < 2 and not self.faults:
            self.refuse("bed1", "one bed alone stands beside nothing; choose a second")
        if self.size not in held.works.sizes:
            self.refuse("size", f"{self.size[:24]!r} is no size of this works; choose one")
        persons = [self._person(at, text) for at, text in enumerate(self.persons) if text]
        if self.faults:
            return None
        return SideBySideOf(
            works=held.content, revision=held.revision, beds=tuple(codes), size=held.works.sizes[self.size].code,
            persons=tuple(one for one in persons if one is not None),
        )  # fmt: skip

    def _person(self, at: int, text: str) -> Lain | None:
        try:
            found = suited(text)
        except FaultsFound as error:
            self.refuse(f"person{at}", *(str(fault) for fault in error.faults))
            return None
        return Lain(person=found.person.called, posture=found.posture)

    def rows(self, held: Standing) -> list[FormRow]:
        """Boxes of the question."""
        beds = (("", "none"), *((bed.code, f"{bed.code} {bed.name}") for bed in held.works.beds))
        found = [
            FormRow("bed", PLACES[at], code, "choice", choices=beds, prefix=f"{at}-", faults=self._of(f"bed{at}"))
            for at, code in enumerate(self.beds)
        ]
        sizes = tuple((size.code, size.code) for size in held.works.sizes)
        found.append(FormRow("size", "size", self.size, "choice", choices=sizes, faults=self._of("size")))
        found += [
            FormRow("person", "who lies on each" if not at else "and who else", text, meaning=SUCH if not at else "",
                    prefix=f"{at}-", longest=LONGEST, faults=self._of(f"person{at}"))
            for at, text in enumerate(self.persons)
        ]  # fmt: skip
        return found

    def _of(self, box: str) -> tuple[str, ...]:
        return tuple(self.faults.get(box, ()))


def asked(said: Any, held: Standing) -> Asked:
    """The question of an address or a form (a QueryDict)."""

    def listed(name: str, most: int) -> list[str]:
        found = [text.replace("\0", "").strip()[:LONGEST] for text in said.getlist(name)[:most]]
        return found + [""] * (most - len(found))

    beds = listed("bed", MOST_BEDS)
    size = said.get("size", "").replace("\0", "")[:24]
    if not size:
        size = held.usual(beds[0]) if beds[0] in held.works.beds else next((one.code for one in held.works.sizes), "")
    return Asked(beds, size, listed("person", MOST_PERSONS))
