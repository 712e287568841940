"""A plain bed in one line of words: springs smeared over the plan, linear layers, one tension. Nothing else.

    springs 0.25 N/mm square 100 mm, layer 20 kPa 50 mm, tension 300 N/m, 1500x2000

Pieces stand in any order, parted by commas or semicolons; layers from the top down, as many as there are. A plain bed
is no bed of a works: it is what the solver is tried on, because its answer is known (book `plain-bed`).

A comma between two digits belongs to the number ("0,25"), as `typed` reads it; put a blank after one that parts.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from bedwright import typed
from bedwright.errors import Fault, FaultsFound, NotUnderstood
from bedwright.words import WORDS

CARD = "plain bed"
EXAMPLE = "springs 0.25 N/mm square 100 mm, layer 20 kPa 50 mm, tension 300 N/m, 1500x2000"
LONGEST = 2000  # characters
MOST_LAYERS = 20

RATE = {"n/mm": 1.0, "kn/m": 1.0, "n/cm": 0.1, "n/m": 0.001}
"""Spring rates by unit, in N/mm."""
MODULUS = {"kpa": 1.0, "mpa": 1000.0, "n/mm2": 1000.0, "n/mm²": 1000.0, "pa": 0.001}
"""Moduli by unit, in kPa."""
TENSION = {"n/m": 1.0, "n/cm": 100.0, "n/mm": 1000.0, "kn/m": 1000.0}
"""Tensions by unit, in N/m: force over a cut one metre long."""

# What is accepted. Pitch and thickness as on the cards; sides as on size cards; the others are bounds of sense, far
# beyond what is built, and no measurements.
LIMITS: dict[str, tuple[float, float, str]] = {
    "rate": (0.0001, 100.0, "N/mm"),
    "pitch": (WORDS["pitch_across"].low, WORDS["pitch_across"].high, "mm"),
    "modulus": (0.01, 1_000_000.0, "kPa"),
    "thickness": (WORDS["thickness"].low, WORDS["thickness"].high, "mm"),
    "nu": (0.0, 0.49, ""),
    "tension": (0.0, 100_000.0, "N/m"),
    "side": (400.0, 4000.0, "mm"),
}

WRITTEN = {"rate": "N/mm", "modulus": "kPa or MPa", "tension": "N/m", "nu": "digits, as 0.3"}
"""How a quantity is asked for."""

_NUMBER = r"[-+\u2212]?[0-9.,]+(?:e[+-]?[0-9]+)?|[-+]?(?:nan|inf|infinity)"
_QUANTITY = re.compile(rf"(?P<value>{_NUMBER}) ?(?P<unit>[a-z]+(?:/[a-z]+)?[2²]?)?", re.I)
_SPRINGS = re.compile(
    r"springs? (?P<rate>\S+(?: ?[a-z]+/[a-z]+)?) (?:square (?P<square>.+)|(?P<across>.+?) ?[x×*] ?(?P<along>.+))", re.I
)
_LAYER = re.compile(
    r"layers? (?P<modulus>\S+?(?: ?(?:[km]?pa|n/mm[2²]))?) (?P<thickness>.+?)(?: nu ?=? ?(?P<nu>\S+))?", re.I
)
_TENSION = re.compile(r"tension (?P<tension>\S+(?: ?[a-z]+/[a-z]+)?)", re.I)
_SIZE = re.compile(r"(?:size )?(?P<size>.+)", re.I)


@dataclass(frozen=True, slots=True)
class PlainLayer:
    """A linear layer: modulus [kPa], thickness [mm], Poisson's ratio (None: a column that does not bend)."""

    modulus_kpa: float
    thickness: float
    poisson: float | None = None

    @property
    def foundation(self) -> float:
        """Stiffness of the layer as columns [N/mm3]."""
        return self.modulus_kpa / 1000 / self.thickness


@dataclass(frozen=True, slots=True)
class PlainBed:
    """A plain bed.

    stiffness: rate of one spring [N/mm]; pitch_across, pitch_along: room of one spring [mm]; layers: top first;
    tension: of the membrane on top [N/m]; width, length [mm].
    """

    stiffness: float
    pitch_across: float
    pitch_along: float
    layers: tuple[PlainLayer, ...]
    tension: float
    width: float
    length: float

    @property
    def foundation(self) -> float:
        """Springs and layers in series as columns [N/mm3]; 1e-6 N/mm3 is 1 kPa/m."""
        springs = self.stiffness / (self.pitch_across * self.pitch_along)
        return 1 / (1 / springs + sum(1 / layer.foundation for layer in self.layers))

    def words(self) -> str:
        """The words that `plain_bed` reads back into this very bed."""
        layers = [
            f"layer {layer.modulus_kpa!r} kPa {layer.thickness!r} mm"
            + (f" nu {layer.poisson!r}" if layer.poisson is not None else "")
            for layer in self.layers
        ]
        pitch = f"{self.pitch_across!r} mm x {self.pitch_along!r} mm"
        springs = f"springs {self.stiffness!r} N/mm {pitch}"
        size = f"{self.width!r} mm x {self.length!r} mm"
        return ", ".join([springs, *layers, f"tension {self.tension!r} N/m", size])


def plain_bed(text: str) -> PlainBed:
    """The plain bed that a line of words says. Raises FaultsFound with every fault, each by its piece."""
    if len(text) > LONGEST:
        raise FaultsFound([_fault("", f"{len(text)} characters are too long", f"write it as  {EXAMPLE}")])
    reader = _Reader()
    # a comma between two digits is the number's own
    for piece in re.split(r"[;\n]|,(?![0-9])|(?<![0-9]),", text):
        reader.take(" ".join(piece.split()))
    return reader.bed()


def _fault(field: str, says: str, remedy: str, value: str = "") -> Fault:
    return Fault(says=says, remedy=remedy, value=value[:80], card=CARD, field=field)


class _Reader:
    """What was read so far, and every fault on the way."""

    def __init__(self) -> None:
        self.faults: list[Fault] = []
        self.layers: list[PlainLayer] = []
        self.layer_count = 0
        self.springs: tuple[float, float, float] | None = None
        self.tension: float | None = None
        self.size: tuple[float, float] | None = None
        self.seen: set[str] = set()

    def take(self, piece: str) -> None:
        """Read one piece: which it is, is said by its first word; a piece that begins with a digit is the size."""
        if not piece:
            return
        word = piece.split(" ")[0].lower()
        if word in {"layer", "layers"}:
            self._layer(piece)
        elif word in {"spring", "springs"}:
            self._once("springs", piece, self._springs)
        elif word == "tension":
            self._once("tension", piece, self._tension)
        elif word == "size" or piece[0] in "0123456789.,":
            self._once("size", piece, self._size)
        else:
            self.faults.append(
                _fault(
                    "", "is no piece of a plain bed", f"pieces are springs, layer, tension, size, as  {EXAMPLE}", piece
                )
            )

    def _once(self, field: str, piece: str, read: Callable[[str], None]) -> None:
        if field in self.seen:
            self.faults.append(_fault(field, "is said twice", "say it once", piece))
            return
        self.seen.add(field)
        read(piece)

    def _springs(self, piece: str) -> None:
        match = _SPRINGS.fullmatch(piece)
        if match is None:
            how = 'write "springs 0.25 N/mm square 100 mm" or "springs 0.25 N/mm 100 x 80 mm"'
            self.faults.append(_fault("springs", "cannot be read", how, piece))
            return
        rate = self._quantity("springs", "rate", match["rate"], RATE)
        if match["square"] is not None:
            across = along = self._length("springs", "pitch", match["square"])
        else:
            unit = re.search(r"[a-zA-Z\"]+$", match["along"])
            bare = unit.group() if unit and match["across"][-1:].isdigit() else ""
            across = self._length("springs", "pitch", f"{match['across']} {bare}".strip())
            along = self._length("springs", "pitch", match["along"])
        if rate is not None and across is not None and along is not None:
            self.springs = (rate, across, along)

    def _layer(self, piece: str) -> None:
        self.layer_count += 1
        field = f"layer {self.layer_count}"
        if self.layer_count > MOST_LAYERS:
            if self.layer_count == MOST_LAYERS + 1:
                self.faults.append(_fault(field, f"more than {MOST_LAYERS} layers", "join alike layers into one"))
            return
        match = _LAYER.fullmatch(piece)
        if match is None:
            how = 'write modulus, thickness and, if it is to bend, nu: "layer 20 kPa 50 mm nu 0.3"'
            self.faults.append(_fault(field, "cannot be read", how, piece))
            return
        modulus = self._quantity(field, "modulus", match["modulus"], MODULUS)
        thickness = self._length(field, "thickness", match["thickness"])
        nu = None if match["nu"] is None else self._quantity(field, "nu", match["nu"], {"": 1.0})
        if modulus is not None and thickness is not None and (nu is not None or match["nu"] is None):
            self.layers.append(PlainLayer(modulus, thickness, nu))

    def _tension(self, piece: str) -> None:
        match = _TENSION.fullmatch(piece)
        if match is None:
            self.faults.append(_fault("tension", "cannot be read", 'write "tension 300 N/m"', piece))
            return
        self.tension = self._quantity("tension", "tension", match["tension"], TENSION)

    def _size(self, piece: str) -> None:
        match = _SIZE.fullmatch(piece)
        try:
            sides = typed.size_mm(match["size"] if match else piece)
        except NotUnderstood as error:
            self.faults.append(_fault("size", error.fault.says, error.fault.remedy, error.fault.value))
            return
        if all([self._within("size", "side", side, piece) for side in sides]):
            self.size = sides

    def _quantity(self, field: str, what: str, text: str, units: dict[str, float]) -> float | None:
        """A number with one of the units, in the first unit named; None with its fault kept."""
        match = _QUANTITY.fullmatch(text)
        unit = (match["unit"] or "").lower() if match else ""
        if match is None or unit not in units:
            says = "cannot be read as a number" if match is None else "has no unit known here"
            if match is not None and "" in units:
                says = "has a unit and is a plain number"
            self.faults.append(_fault(field, f"{what} {says}", f"write it in {WRITTEN[what]}", text))
            return None
        try:
            value = typed.number(match["value"]) * units[unit]
        except NotUnderstood as error:
            self.faults.append(_fault(field, f"{what} {error.fault.says}", error.fault.remedy, text))
            return None
        return value if self._within(field, what, value, text) else None

    def _length(self, field: str, what: str, text: str) -> float | None:
        """A length [mm], a bare number being millimetres; None with its fault kept."""
        try:
            value = typed.length_mm(text, bare="mm")
        except NotUnderstood as error:
            self.faults.append(_fault(field, f"{what} {error.fault.says}", error.fault.remedy, error.fault.value))
            return None
        return value if self._within(field, what, value, text) else None

    def _within(self, field: str, what: str, value: float, text: str) -> bool:
        low, high, unit = LIMITS[what]
        if low <= value <= high:
            return True
        bounds = f"{typed.show(low)} to {typed.show(high)} {unit}".strip()
        says = "is less than nothing" if value < 0 else "is nothing" if value == 0 else f"is outside {bounds}"
        self.faults.append(_fault(field, f"{what} {says}", f"give {bounds}", text))
        return False

    def bed(self) -> PlainBed:
        """The bed. Raises FaultsFound."""
        for field, how in (("springs", "springs 0.25 N/mm square 100 mm"), ("size", "1500x2000")):
            if field not in self.seen:
                self.faults.append(_fault(field, "is missing", f'add it, as "{how}"'))
        if self.faults or self.springs is None or self.size is None:
            raise FaultsFound(self.faults)
        rate, across, along = self.springs
        if across > self.size[0] or along > self.size[1]:
            says = f"pitch {across:g} x {along:g} mm is more than the bed of {self.size[0]:g} x {self.size[1]:g} mm"
            raise FaultsFound([_fault("springs", says, "give a smaller pitch or a larger bed")])
        return PlainBed(rate, across, along, tuple(self.layers), self.tension or 0.0, *self.size)
