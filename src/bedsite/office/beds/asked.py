"""What a bed's page was asked, out of its address or a form: size, pad test, persons; every fault under its box."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal
from urllib.parse import urlencode

from bedsite.longwork.kinds import Lain, LyingOf, PadTestOf
from bedsite.longwork.standing import Standing
from bedsite.parts.rows import FormRow
from bedwright import typed
from bedwright.errors import FaultsFound, NotUnderstood
from bedwright.mechanics.base import base
from bedwright.mechanics.person import person
from bedwright.works.beds import Bed, Size

PAD = ("pad_face", "pad_base", "pad_spot", "pad_edge")
LIE = ("person", "posture", "second", "second_posture", "lie_face", "lie_base")
LONGEST = 300
BASES = 'solid, "slats 65 mm gap 55 mm bend 12 N/mm" or "sprung 40 kPa/m"'
POSTURES = (("supine", "on the back"), ("side", "on the side"))
Face = Literal["A", "B"]
Posture = Literal["supine", "side"]


@dataclass(slots=True)
class Asked:
    """The question of a page: values as typed, faults by the box that caused them."""

    bed: Bed
    size: Size
    value: dict[str, str]
    faults: dict[str, list[str]] = field(default_factory=dict)

    @property
    def query(self) -> str:
        """The question as an address holds it, what is empty left out."""
        return urlencode({"size": self.size.code} | {name: text for name, text in self.value.items() if text})

    def refuse(self, box: str, *says: str) -> None:
        self.faults.setdefault(box, []).extend(says)

    def faulty(self, boxes: tuple[str, ...]) -> bool:
        return any(box in self.faults for box in boxes)

    def _base(self, box: str) -> str:
        try:
            return base(self.value[box] or "solid").words()
        except FaultsFound as error:
            self.refuse(box, *(f"{fault.says}; {fault.remedy}" for fault in error.faults))
        return "solid"

    def _face(self, box: str) -> Face:
        up = self.value[box].upper() or "A"
        if up not in ("A", "B"):
            self.refuse(box, f"{up[:20]!r} is no face; choose A or B")
        elif up == "B" and self.bed.faces == 1:
            self.refuse(box, f"bed {self.bed.code} has one face; leave it A")
        return "B" if up == "B" else "A"

    def _posture(self, box: str) -> Posture:
        said = self.value[box] or "supine"
        if said not in dict(POSTURES):
            self.refuse(box, f"{said[:20]!r} is no way to lie; choose one")
        return "side" if said == "side" else "supine"

    def _spot(self) -> tuple[float, float] | None:
        text = self.value["pad_spot"]
        if not text:
            return None
        how = "write across and along from the head's left corner, as 750, 1000"
        parts = text.split(",")
        if len(parts) != 2:
            self.refuse("pad_spot", f"{text[:40]!r} is not two lengths; {how}")
            return None
        try:
            x, y = (typed.length_mm(part, bare="mm") for part in parts)
        except NotUnderstood as error:
            self.refuse("pad_spot", str(error))
            return None
        if not (0 <= x <= self.size.width and 0 <= y <= self.size.length):
            self.refuse("pad_spot", f"{text[:40]!r} is off the bed of {self.size.width:g} x {self.size.length:g} mm")
        return x, y

    def _person(self, box: str, posture: str) -> Lain | None:
        lies = self._posture(posture)
        try:
            person(self.value[box])
        except FaultsFound as error:
            self.refuse(box, *(str(fault) for fault in error.faults))
            return None
        return Lain(person=" ".join(self.value[box].split()), posture=lies)

    def pad_test(self, standing: Standing) -> PadTestOf | None:
        """The pad test that is asked; None with its faults."""
        edge = self.value["pad_edge"] == "1"
        face, on, spot = self._face("pad_face"), self._base("pad_base"), self._spot()
        if self.faulty(PAD):
            return None
        return PadTestOf(
            works=standing.content, revision=standing.revision, bed=self.bed.code, size=self.size.code, face=face,
            base=on, spot=spot, edge=edge,
        )  # fmt: skip

    def lying(self, standing: Standing) -> LyingOf | None:
        """Who lies as asked; None where nobody does, or with the faults."""
        if not self.value["person"]:
            if self.value["second"]:
                self.refuse("person", "a second person is said and no first; say who lies here")
            return None
        found = [self._person("person", "posture")]
        if self.value["second"]:
            found.append(self._person("second", "second_posture"))
        face, on = self._face("lie_face"), self._base("lie_base")
        persons = tuple(one for one in found if one is not None)
        if self.faulty(LIE):
            return None
        return LyingOf(
            works=standing.content, revision=standing.revision, bed=self.bed.code, size=self.size.code, face=face,
            base=on, persons=persons,
        )  # fmt: skip

    def pad_rows(self) -> list[FormRow]:
        """Boxes of the pad test."""
        return [
            *self._face_row("pad_face"),
            self._row("pad_base", "base", f"what it lies on: {BASES}; a test to EN 1957 lies on a solid one", "solid"),
            self._row("pad_spot", "spot", "middle of the pad, across and along from the head's left corner; empty for "
                      "the middle", unit="mm"),
            self._choice("pad_edge", "edge", (("", "the spot alone"), ("1", "0, 50, 100, 200 mm from the border, and "
                                                                        "sat on"))),
        ]  # fmt: skip

    def lie_rows(self) -> list[FormRow]:
        """Boxes of who lies."""
        such = "sex, stature and mass with their units, as man 1755 mm 80 kg; adults only"
        return [
            self._row("person", "who lies", such),
            self._choice("posture", "how", POSTURES),
            self._row("second", "beside", "a second person, or empty"),
            self._choice("second_posture", "how beside", POSTURES),
            *self._face_row("lie_face"),
            self._row("lie_base", "base under both", f"what the bed lies on: {BASES}", "solid"),
        ]

    def _face_row(self, box: str) -> list[FormRow]:
        faces = (("A", "A"), ("B", "B"))
        return [self._choice(box, "face up", faces)] if self.bed.faces == 2 else []

    def _row(self, box: str, label: str, meaning: str, usual: str = "", unit: str = "") -> FormRow:
        return FormRow(
            box, label, self.value[box] or usual, unit=unit, meaning=meaning, longest=LONGEST,
            faults=tuple(self.faults.get(box, ())),
        )  # fmt: skip

    def _choice(self, box: str, label: str, choices: tuple[tuple[str, str], ...]) -> FormRow:
        return FormRow(box, label, self.value[box], "choice", choices=choices, faults=tuple(self.faults.get(box, ())))


def asked(bed: Bed, size: Size, *said: Mapping[str, str]) -> Asked:
    """The question of an address, and of a form over it where one was sent."""
    value = {}
    for box in (*PAD, *LIE):
        text = ""
        for one in said:
            text = str(one[box]) if box in one else text
        value[box] = text.replace("\0", "").strip()[:LONGEST]
    return Asked(bed, size, value)
