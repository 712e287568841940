"""Spring wire: grades, strength by diameter, tolerance, elastic constants and mass.

EN 10270-1 (cold drawn, the European grades), ASTM A227, A228 and A229 (constants as in Shigley, ch. 10). The two
families give different elastic constants: G 81.5 GPa for EN 10270-1 and 79.3 for A227 of mattress sizes is 2.8 % of the
rate, so every result states which was used.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from bedwright.errors import Fault, FaultsFound, OutsideRange
from bedwright.mechanics.wire_table import a227_sizes, sizes

EN_GRADES = ("SL", "SM", "DM", "SH", "DH")
ASTM_GRADES = ("A227", "A228", "A229")
GRADES = EN_GRADES + ASTM_GRADES
DENSITY = 7.85e-6  # kg/mm3, EN 10270-1
EN_YOUNG, EN_SHEAR = 206_000.0, 81_500.0  # MPa, EN 10270-1

# Least strength = a - b log10(d) [MPa], d in mm. SM as printed on a verification sheet of EN 13906-1; SL from memory;
# SH fitted here to the table. Each stays within 5 MPa of its table over 0.8 to 10 mm (tests/worked/test_en_10270_1.py).
_LAW = {"SL": (1720.0, 660.0), "SM": (1980.0, 740.0), "SH": (2230.0, 820.0)}
_LAW |= {"DM": _LAW["SM"], "DH": _LAW["SH"]}

# Strength = A / d^m, d in mm. Only pairs that agree with their own values in inch units are kept. That of A227 serves
# beyond its table only, from which it differs by up to 1.5 %.
_ASTM_STRENGTH = {"A227": (1783.0, 0.190), "A228": (2211.0, 0.145), "A229": (1855.0, 0.187)}
_ASTM_SIZES = {"A227": (0.7, 12.7), "A228": (0.10, 6.5), "A229": (0.5, 12.7)}

# (largest diameter of the class [mm], E [MPa], G [MPa]), Shigley Table 10-5; classes are by 0.032, 0.063, 0.125 inch.
_ASTM_ELASTIC = {
    "A227": ((0.8128, 198_600, 80_700), (1.6002, 197_900, 80_000), (3.175, 197_200, 79_300), (99, 196_500, 78_600)),
    "A228": ((0.8128, 203_400, 82_700), (1.6002, 200_000, 81_700), (3.175, 196_500, 81_000), (99, 193_000, 80_000)),
}
_A229_ELASTIC = (196_500.0, 77_200.0)  # Shigley prob. 10-6 (G); E from memory


@dataclass(frozen=True, slots=True)
class Strength:
    """Tensile strength [MPa], least and greatest (None: the book gives a least value only), and how it was found."""

    least: float
    greatest: float | None
    how: str
    book: str


@dataclass(frozen=True, slots=True)
class Elastic:
    """Young's modulus and shear modulus [MPa], density [kg/mm3], and the book's key."""

    youngs_modulus: float
    shear_modulus: float
    density: float
    book: str


def known_grade(grade: str) -> str:
    """The grade as written in its standard; upper and lower case and stray spaces do not matter.

    EN 10270-1 and ASTM A227/A228/A229. Raises OutsideRange naming the grades that would do.
    """
    tidy = grade.strip().upper()
    if tidy not in GRADES:
        raise OutsideRange(f"Wire grade {grade!r} is not known here; use one of {', '.join(GRADES)}.")
    return tidy


def strength(grade: str, wire_diameter: float) -> Strength:
    """Tensile strength of drawn wire at a diameter [mm].

    EN 10270-1 for a listed size, its log law between sizes; A227 class I for a listed size, straight in logarithms
    between sizes; other ASTM A / d^m. Raises OutsideRange beyond the book's sizes.
    """
    grade = known_grade(grade)
    if grade in ASTM_GRADES:
        low, high = _ASTM_SIZES[grade]
        _inside(grade, wire_diameter, low, high)
        if grade == "A227" and a227_sizes()[0][0] <= wire_diameter <= a227_sizes()[-1][0]:
            return _class_one(wire_diameter)
        a, m = _ASTM_STRENGTH[grade]
        return Strength(a / wire_diameter**m, None, f"{a:g} / d^{m:g}", f"astm-{grade.lower()}")
    listed = [size for size in sizes() if grade in size.strengths]
    _inside(grade, wire_diameter, listed[0].diameter, listed[-1].diameter)
    for size in listed:
        if math.isclose(size.diameter, wire_diameter, abs_tol=1e-6):
            least, greatest = size.strengths[grade]
            return Strength(float(least), float(greatest), "listed size", "en-10270-1")
    a, b = _LAW[grade]
    below = max((size for size in listed if size.diameter < wire_diameter), key=lambda size: size.diameter)
    above = min((size for size in listed if size.diameter > wire_diameter), key=lambda size: size.diameter)
    least_here = a - b * math.log10(wire_diameter)
    share = math.log(wire_diameter / below.diameter) / math.log(above.diameter / below.diameter)
    high_here = below.strengths[grade][1] * (1 - share) + above.strengths[grade][1] * share
    return Strength(least_here, high_here, f"size not listed: {a:g} - {b:g} log10(d)", "en-10270-1")


def _class_one(wire_diameter: float) -> Strength:
    """A227 class I within its table; strengths fall as a power of the size from one listed size to the next."""
    table = a227_sizes()
    above = next(i for i in range(1, len(table)) if wire_diameter <= table[i][0])
    (thin, *strong), (thick, *weak) = table[above - 1], table[above]
    share = math.log(wire_diameter / thin) / math.log(thick / thin)
    least, greatest = (s * (w / s) ** share for s, w in zip(strong, weak, strict=True))
    listed = min(share, 1 - share) < 1e-6
    how = "listed size, class I" if listed else "between listed sizes of class I, straight in logarithms"
    return Strength(least, greatest, how, "astm-a227")


def tolerance(wire_diameter: float, grade: str = "SM") -> float:
    """Tolerance on the wire diameter, each way [mm]; between listed sizes the wider of the two neighbours.

    EN 10270-1 (sizes 0.50 to 10 mm); A227: 0.001 in up to 0.075 in, 0.002 in above. For A228 and A229 no tolerance was
    read, and that of EN 10270-1 stands in. Raises OutsideRange beyond.
    """
    if known_grade(grade) == "A227":
        _inside("A227", wire_diameter, 0.7, 9.525)
        return 0.0254 if wire_diameter <= 1.905 else 0.0508
    listed = sizes()
    _inside("EN 10270-1", wire_diameter, listed[0].diameter, listed[-1].diameter)
    return next(size for size in listed if size.diameter >= wire_diameter - 1e-6).tolerance


def elastic(grade: str, wire_diameter: float) -> Elastic:
    """Young's modulus, shear modulus and density of a grade; ASTM moduli depend on the diameter [mm].

    EN 10270-1; Shigley Table 10-5 for A227 and A228. Raises OutsideRange.
    """
    grade = known_grade(grade)
    if grade in EN_GRADES:
        return Elastic(EN_YOUNG, EN_SHEAR, DENSITY, "en-10270-1")
    low, high = _ASTM_SIZES[grade]
    _inside(grade, wire_diameter, low, high)
    if grade == "A229":
        return Elastic(*_A229_ELASTIC, DENSITY, "shigley-11")
    young, shear = next((e, g) for top, e, g in _ASTM_ELASTIC[grade] if wire_diameter <= top + 1e-9)
    return Elastic(float(young), float(shear), DENSITY, "shigley-11")


def mass_per_metre(wire_diameter: float, density: float = DENSITY) -> float:
    """Mass of round wire [g/m] at a diameter [mm]; density [kg/mm3].

    Derived: 7.85 kg/dm3 of EN 10270-1 gives 6.1654 d^2 g/m. Raises OutsideRange below nothing.
    """
    if not (math.isfinite(wire_diameter) and wire_diameter > 0):
        raise OutsideRange(f"Wire of {wire_diameter:g} mm has no mass; give a diameter above 0.")
    return density * math.pi * wire_diameter**2 / 4 * 1e6


def check_wire(grade: str, wire_diameter: float) -> tuple[str, Strength]:
    """The known grade and its strength, with every fault of the pair gathered. Raises FaultsFound."""
    faults = []
    known = ""
    try:
        known = known_grade(grade)
    except OutsideRange as error:
        faults.append(Fault(says=str(error), field="grade"))
    if known:
        try:
            return known, strength(known, wire_diameter)
        except OutsideRange as error:
            faults.append(Fault(says=str(error), field="wire_diameter"))
    raise FaultsFound(faults)


def _inside(what: str, wire_diameter: float, low: float, high: float) -> None:
    if not (math.isfinite(wire_diameter) and low - 1e-6 <= wire_diameter <= high + 1e-6):
        raise OutsideRange(
            f"Wire of {wire_diameter:g} mm is outside the sizes of {what} known here; use {low:g} to {high:g} mm."
        )
