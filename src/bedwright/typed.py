"""Reads what people type ("150 cm", 4'6", "13 1/2 SWG", "30/130", "500 gauge") and shows what people read.

Strict on purpose: a text that could mean two things is refused with what would do, never guessed. A point is always
the decimal point. A comma is taken as one only where it cannot be a mark of thousands: "2,5" is 2.5 and "0,125" is
0.125, but "1,000" is refused. No infinity, no "1_000", no TRUE, no digits other than 0 to 9.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction

from bedwright.errors import NotUnderstood, OutsideRange

LONGEST = 60  # characters: nothing that people type as one quantity is longer
_NUMBER = re.compile(r"(?P<sign>[+\-\u2212]?)(?P<body>[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+)(?P<power>[eE][+-]?[0-9]{1,3})?")
_MIXED = re.compile(r"(?:(?P<whole>[0-9]+)(?:[ -]|(?=[½¼¾])))?(?P<part>[0-9]{1,3}/[0-9]{1,3}|[½¼¾])")
_PARTS = {"½": Fraction(1, 2), "¼": Fraction(1, 4), "¾": Fraction(3, 4)}
_STONE = re.compile(
    r"(?P<stone>[0-9.,½¼¾]+) ?(?:st\.?|stones?)(?: ?(?P<pounds>[0-9.,½¼¾][0-9.,/½¼¾ -]*?) ?(?:lbs?\.?|pounds?)?)?"
)
_KG_PER = {
    "kg": Fraction(1),
    **dict.fromkeys(("lb", "lb.", "lbs", "lbs.", "pound", "pounds"), Fraction("0.45359237")),
    **dict.fromkeys(("st", "st.", "stone", "stones"), 14 * Fraction("0.45359237")),
}
_FEET = re.compile(
    r"(?P<feet>[0-9.,]+) ?(?:'|′|’|ft\.?|feet|foot)"
    r"(?: ?(?P<inches>[0-9.,½¼¾][0-9.,/½¼¾ -]*?) ?(?:\"|″|”|''|in\.?|inch|inches)?)?"
)
_WITH_UNIT = re.compile(r"(?P<value>[-+\u2212]?[0-9.,/½¼¾][0-9.,/½¼¾ -]*(?:[eE][+-]?[0-9]+)?) ?(?P<unit>.*)")
_MM_PER = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    **dict.fromkeys(('"', "″", "”", "''", "in", "in.", "inch", "inches"), Fraction(254, 10)),
    **dict.fromkeys(("'", "′", "’", "ft", "ft.", "feet", "foot"), Fraction(3048, 10)),
}

# BS 3737:1964 (withdrawn), thousandths of a millimetre as printed; half gauges are not in it: midpoint by convention.
_SWG_UM = {5: 5385, 6: 4877, 7: 4470, 8: 4064, 9: 3658, 10: 3251, 11: 2946, 12: 2642, 13: 2337, 14: 2032, 15: 1829}
_SWG_UM |= {16: 1626, 17: 1422, 18: 1219, 19: 1016, 20: 914}
# American steel-wire gauge, ten-thousandths of an inch, as three gauge pages print it alike (book steel-wire-gauge).
_STEEL_WIRE = {5: 2070, 6: 1920, 7: 1770, 8: 1620, 9: 1483, 10: 1350, 11: 1205, 12: 1055, 13: 915, 14: 800, 15: 720}
_STEEL_WIRE |= {16: 625, 17: 540, 18: 475, 19: 410, 20: 348}
_STEEL_WIRE_INCH = {gauge: Fraction(size, 10000) for gauge, size in _STEEL_WIRE.items()}
_AWG_UM = {13: 1829}  # the one value seen
_SWG_NAMES = ("swg", "s.w.g.", "isw", "imperial standard wire gauge", "standard wire gauge")
_STEEL_WIRE_NAMES = ("us steel wire", "us steel wire gauge", "american steel wire", "american steel wire gauge", "uswg")
_AWG_NAMES = ("awg", "american wire gauge")
BARE_WIRE_BELOW = 5.0  # mm: thinner than this, a bare number cannot be one of the gauge numbers in use (5 and up)


@dataclass(frozen=True, slots=True)
class WireDiameter:
    """Wire diameter mm [mm], with the system it was typed in: "mm", "in", "SWG", "American steel wire" or "AWG"."""

    mm: float
    system: str
    book: str


@dataclass(frozen=True, slots=True)
class FoamGrade:
    """Foam grade as the trade writes it: density [kg/m3] / hardness [N], an indentation hardness at 40 %."""

    density: float
    hardness: float
    book: str = "from-memory"


def number(text: str) -> float:
    """The one plain number in a typed text, without a unit.

    Decimal point, or a decimal comma where it cannot mark thousands. Raises NotUnderstood.
    """
    return _finite(_exact(text, _tidy(text)), text)


def length_mm(text: str, *, bare: str | None = None) -> float:
    """A typed length [mm], zero or more: mm, cm, m, inches, feet, feet and inches.

    One inch is 25.4 mm exactly. bare: the unit meant by a number alone ("mm", "cm", "in"); without it a bare number
    is refused. Raises NotUnderstood.
    """
    return _finite(_length(text, bare), text)


def mass_kg(text: str) -> float:
    """A typed mass [kg], zero or more: kg, pounds, stones, stones and pounds ("12 st 8 lb").

    One pound is 0.45359237 kg exactly, a stone 14 of them. A bare number is refused. Raises NotUnderstood.
    """
    tidy, how = _tidy(text), 'write it as "80 kg", "176 lb" or "12 st 8 lb"'
    match = _STONE.fullmatch(tidy.lower())
    if match and match["pounds"]:
        stone, pounds = _mixed(text, match["stone"]), _mixed(text, match["pounds"].strip())
        if stone.denominator != 1 or pounds >= 14:
            raise NotUnderstood(text, "is not whole stones and less than 14 pounds", how)
        return _finite((14 * stone + pounds) * _KG_PER["lb"], text)
    match = _WITH_UNIT.fullmatch(tidy)
    if match is None or match["unit"].lower() not in _KG_PER:
        raise NotUnderstood(text, "is no mass with a unit known here", how)
    value = _mixed(text, match["value"].strip())
    if value < 0:
        raise NotUnderstood(text, "is less than nothing", "a mass is zero or more")
    return _finite(value * _KG_PER[match["unit"].lower()], text)


def wire_diameter(text: str) -> WireDiameter:
    """A typed wire diameter: "2.2 mm", "13 1/2 SWG", "0.0915 in", or a bare number under 5, read as mm.

    SWG after BS 3737:1964 (withdrawn), half gauges at the midpoint by convention; American steel-wire gauge 5 to 20
    (book `steel-wire-gauge`); of AWG only 13 is known here. A gauge number without its system is refused:
    the systems differ by a tenth in diameter, which is near half in stiffness. Raises NotUnderstood.
    """
    tidy = _tidy(text)
    match = _WITH_UNIT.fullmatch(tidy)
    if match is None:
        raise NotUnderstood(text, "cannot be read as a wire diameter", 'write it as "2.2 mm" or "13 1/2 SWG"')
    value, unit = _mixed(text, match["value"].strip()), " ".join(match["unit"].lower().replace("-", " ").split())
    if value <= 0:
        raise NotUnderstood(text, "is nothing or less", "a wire has a diameter")
    if not unit:
        if value < BARE_WIRE_BELOW:
            return WireDiameter(_finite(value, text), "mm", "derived")
        raise NotUnderstood(text, "may be a gauge or a diameter", 'add "mm", or name the gauge system, as "13.5 SWG"')
    if unit in _MM_PER:
        return WireDiameter(
            _finite(value * _MM_PER[unit], text), "mm" if unit in {"mm", "cm", "m"} else "in", "derived"
        )
    if unit in _SWG_NAMES:
        return WireDiameter(_finite(_swg(value, text), text), "SWG", "bs-3737")
    if unit in _STEEL_WIRE_NAMES:
        inches = _listed(value, _STEEL_WIRE_INCH, "American steel-wire gauge", text)
        return WireDiameter(_finite(inches * Fraction(254, 10), text), "American steel wire", "steel-wire-gauge")
    if unit in _AWG_NAMES:
        microns = _listed(value, {g: Fraction(um) for g, um in _AWG_UM.items()}, "AWG", text)
        return WireDiameter(_finite(microns / 1000, text), "AWG", "awg")
    raise NotUnderstood(text, "names no gauge system known here", 'measure the wire and type it in mm, as "2.2 mm"')


def foam_grade(text: str) -> FoamGrade:
    """ "30/130" as density 30 kg/m3 and hardness 130 N (a notation common in the trade, from memory).

    Accepted: density 8 to 250 kg/m3, hardness 10 to 1000 N. Raises NotUnderstood.
    """
    parts = _tidy(text).split("/")
    if len(parts) != 2:
        raise NotUnderstood(text, "is not a foam grade", 'write density / hardness, as "30/130" (kg/m3 / N)')
    density, hardness = (_finite(_exact(text, part.strip()), text) for part in parts)
    if not (8 <= density <= 250 and 10 <= hardness <= 1000):
        raise NotUnderstood(
            text, "is outside density 8 to 250 kg/m3 and hardness 10 to 1000 N", 'write density first, as "30/130"'
        )
    return FoamGrade(density, hardness)


def film_gauge(text: str) -> float:
    """Film thickness [micron]: "500 gauge" is 125 (UK: a quarter); "500 US gauge" is 127; also micron, um, mm, mil.

    A bare number is refused. Raises NotUnderstood. Book: film-gauge.
    """
    value, unit = _value_and_unit(text, 'write it as "500 gauge" or "125 micron"')
    per = {
        **dict.fromkeys(("gauge", "uk gauge", "gauge uk", "ga"), Fraction(1, 4)),
        **dict.fromkeys(("us gauge", "gauge us"), Fraction(254, 1000)),
        **dict.fromkeys(("micron", "microns", "um", "µm", "μm"), Fraction(1)),
        "mm": Fraction(1000),
        "mil": Fraction(254, 10),
    }
    if unit not in per:
        raise NotUnderstood(text, "has no film unit known here", 'write it as "500 gauge" or "125 micron"')
    return _finite(value * per[unit], text)


def areal_mass(text: str) -> float:
    """Mass of a cloth or wadding per area [g/m2]. Plain "oz" means ounces per square yard, the cloth trade's habit.

    6 oz is 203.4 g/m2. Ounces per square foot (wadding) must be spelled out: "1 oz/ft2" is 305.2 g/m2. Raises
    NotUnderstood. Book: derived (oz 28.349523125 g, yd 0.9144 m, both exact).
    """
    value, unit = _value_and_unit(text, 'write it as "300 g/m2", "6 oz" (per square yard) or "1 oz/ft2"')
    ounce, yard = Fraction("28.349523125"), Fraction("0.9144")
    per = {
        **dict.fromkeys(("g/m2", "g/m²", "gsm", "g/sqm", "g per m2"), Fraction(1)),
        **dict.fromkeys(("kg/m2", "kg/m²"), Fraction(1000)),
        **dict.fromkeys(("oz", "oz/yd2", "oz/yd²", "oz/sq yd", "oz per yd2"), ounce / yard**2),
        **dict.fromkeys(("oz/ft2", "oz/ft²", "oz/sq ft", "oz per ft2"), ounce / (yard / 3) ** 2),
    }
    if unit not in per:
        raise NotUnderstood(text, "has no unit of mass per area", 'write it as "300 g/m2", "6 oz" or "1 oz/ft2"')
    return _finite(value * per[unit], text)


def size_mm(text: str) -> tuple[float, float]:
    """A typed bed size, width first: (width, length) [mm]. "150x200", "1500 x 2000", "150 x 200 cm", "4'6 x 6'3".

    Without a unit the magnitude tells: both 30 to 400 are cm, both 500 to 4000 are mm; anything else is refused.
    Raises NotUnderstood.
    """
    how = 'write width x length with a unit, as "150 x 200 cm"'
    sides = [side.strip() for side in re.split(r"[x×X*]| by ", _tidy(text))]
    if len(sides) != 2 or not all(sides):
        raise NotUnderstood(text, "is not two sides", how)
    plain = [_NUMBER.fullmatch(side) is not None for side in sides]
    if plain == [True, False]:  # "150 x 200 cm": the unit at the end serves both
        last = _WITH_UNIT.fullmatch(sides[1])
        unit = last["unit"].lower() if last else ""
        width, length = _length(sides[0], unit if unit in _MM_PER else None), _length(sides[1], None)
    elif all(plain):
        values = [_exact(text, side) for side in sides]
        if all(30 <= v <= 400 for v in values):
            width, length = (v * 10 for v in values)
        elif all(500 <= v <= 4000 for v in values):
            width, length = values
        else:
            raise NotUnderstood(text, "is neither plainly cm nor plainly mm", how)
    else:
        width, length = (_length(side, None) for side in sides)
    if not (width > 0 and length > 0):
        raise NotUnderstood(text, "has a side of nothing", how)
    return _finite(width, text), _finite(length, text)


def show(value: float, digits: int = 6, *, interval: float = 0.0) -> str:
    """A number as people read it: at most digits (1 to 6) significant, no exponent, no trailing noughts.

    interval: its half width, in the same unit; the number is then never shown finer than the first figure of that.
    Raises OutsideRange for a number that is not finite: what is not known is said in words.
    """
    if not 1 <= digits <= 6:
        raise OutsideRange(f"{digits} figures asked for; a shown number has 1 to 6")
    if not (math.isfinite(value) and math.isfinite(interval) and interval >= 0):
        raise OutsideRange(f"{value} ± {interval} cannot be shown as a number; say in words what is not known")
    exact = Decimal(repr(float(value)))
    finest = exact.adjusted() - digits + 1
    if interval > 0:
        finest = max(finest, Decimal(repr(float(interval))).adjusted())
    rounded = exact.quantize(Decimal(1).scaleb(finest), rounding=ROUND_HALF_EVEN) if exact else exact
    text = f"{rounded:f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text


def show_with_unit(value: float, unit: str, digits: int = 6, *, interval: float = 0.0) -> str:
    """ "5.86 N/mm", and with an interval "5.9 ± 0.2 N/mm". Raises OutsideRange as show does."""
    text = show(value, digits, interval=interval)
    if interval > 0:
        text += f" ± {show(interval, 1)}"
    return f"{text} {unit}" if unit else text


def _tidy(text: str) -> str:
    if not isinstance(text, str):  # a workbook cell may hand over True or 5.0
        raise NotUnderstood(str(text), "is not a text", "hand over what was typed")
    tidy = " ".join(text.split())
    if not tidy:
        raise NotUnderstood(text, "nothing is typed here", "type a value")
    if len(tidy) > LONGEST:
        raise NotUnderstood(
            tidy[:LONGEST] + "…", f"is longer than {LONGEST} characters", "type one value with its unit"
        )
    return tidy


def _exact(whole: str, part: str) -> Fraction:
    """The number written in part, exactly; whole is the text to echo."""
    match = _NUMBER.fullmatch(part)
    if match is None:
        raise NotUnderstood(whole, "cannot be read as a number", 'write digits 0 to 9 and one decimal point, as "2.5"')
    before, comma, after = match["body"].partition(",")
    if comma and len(after) == 3 and 1 <= len(before) <= 3 and before.strip("0"):
        raise NotUnderstood(
            whole,
            "has a comma that may mark thousands or decimals",
            f'write "{before}{after}" for thousands, "{before}.{after}" for decimals',
        )
    exact = Fraction(match["body"].replace(",", ".") + (match["power"] or ""))
    return exact if match["sign"] in {"", "+"} else -exact


def _mixed(whole: str, part: str) -> Fraction:
    """A number or a whole with a fraction: "13 1/2", "13½", "13.5"."""
    match = _MIXED.fullmatch(part)
    if match is None:
        return _exact(whole, part)
    top, _, bottom = match["part"].partition("/")
    if bottom and (int(bottom) == 0 or int(top) >= int(bottom)):
        raise NotUnderstood(whole, "has a fraction that is not less than one", 'write it as "13 1/2"')
    fraction = Fraction(int(top), int(bottom)) if bottom else _PARTS[match["part"]]
    return int(match["whole"] or 0) + fraction


def _length(text: str, bare: str | None) -> Fraction:
    tidy = _tidy(text)
    match = _FEET.fullmatch(tidy)
    if match and match["inches"]:
        feet, inches = _exact(text, match["feet"]), _mixed(text, match["inches"].strip())
        if feet.denominator != 1 or inches >= 12:
            raise NotUnderstood(text, "is not whole feet and less than 12 inches", "write it as 4'6\" or in cm")
        return feet * Fraction(3048, 10) + inches * Fraction(254, 10)
    how = 'write it as "150 cm", "1500 mm", 4\'6" or "59 in"'
    match = _WITH_UNIT.fullmatch(tidy)
    if match is None:
        raise NotUnderstood(text, "cannot be read as a length", how)
    unit = match["unit"].lower() or bare
    if unit is None:
        raise NotUnderstood(text, "has no unit", how)
    if unit not in _MM_PER:
        raise NotUnderstood(text, "has no unit of length known here", how)
    value = _mixed(text, match["value"].strip()) * _MM_PER[unit]
    if value < 0:
        raise NotUnderstood(text, "is less than nothing", "a length is zero or more")
    return value


def _value_and_unit(text: str, how: str) -> tuple[Fraction, str]:
    match = _WITH_UNIT.fullmatch(_tidy(text))
    if match is None or not match["unit"]:
        raise NotUnderstood(text, "is not a number with its unit", how)
    value = _exact(text, match["value"].strip())
    if value <= 0:
        raise NotUnderstood(text, "is nothing or less", how)
    return value, match["unit"].lower()


def _swg(gauge: Fraction, text: str) -> Fraction:
    if gauge.denominator == 1:
        return _listed(gauge, {g: Fraction(um) for g, um in _SWG_UM.items()}, "SWG", text) / 1000
    lower, upper = _SWG_UM.get(math.floor(gauge)), _SWG_UM.get(math.ceil(gauge))
    if gauge.denominator != 2 or lower is None or upper is None:
        raise NotUnderstood(text, "is not a whole or half SWG from 5 to 20", 'type the diameter in mm, as "2.2 mm"')
    return Fraction(lower + upper, 2000)


def _listed(gauge: Fraction, table: dict[int, Fraction], system: str, text: str) -> Fraction:
    if gauge.denominator != 1 or int(gauge) not in table:
        known = ", ".join(str(g) for g in sorted(table))
        raise NotUnderstood(text, f"is not in the {system} values known here ({known})", "type the diameter in mm")
    return table[int(gauge)]


def _finite(exact: Fraction, text: str) -> float:
    try:
        value = float(exact)
    except OverflowError:
        value = math.inf
    if math.isinf(value):
        raise NotUnderstood(text, "is too large", "type a smaller number")
    return value
