"""What people type, and what must be refused rather than guessed."""

import pytest

from bedwright.errors import BedwrightError, NotUnderstood, OutsideRange
from bedwright.typed import (
    areal_mass,
    film_gauge,
    foam_grade,
    length_mm,
    mass_kg,
    number,
    show,
    show_with_unit,
    size_mm,
    wire_diameter,
)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("2.5", 2.5),
        (" 2,5 ", 2.5),
        ("0,125", 0.125),
        ("1234,567", 1234.567),
        ("1.000", 1.0),
        (".5", 0.5),
        ("-3", -3.0),
        ("−3", -3.0),
        ("+3", 3.0),
        ("1e3", 1000.0),
        ("\u00a012 ", 12.0),
    ],
)
def test_a_number_is_read(text: str, value: float) -> None:
    assert number(text) == value


@pytest.mark.parametrize(
    "text",
    [
        "",
        "  ",
        "nan",
        "inf",
        "-inf",
        "Infinity",
        "1_000",
        "TRUE",
        "True",
        "1,000",
        "12,345",
        "1,234,567",
        "1.2.3",
        "1 000",
        "٣",
        "２",
        "2²",
        "½",
        "1e999",
        "1e",
        "0x10",
        "5.",
        "--3",
        "3 mm",
        "3\x00",
        "=1+1",
        "9" * 61,
    ],
)
def test_a_number_is_refused(text: str) -> None:
    with pytest.raises(NotUnderstood):
        number(text)


def test_a_refusal_echoes_and_says_what_would_do() -> None:
    with pytest.raises(NotUnderstood) as refused:
        number("1,000")
    assert isinstance(refused.value, BedwrightError)
    assert isinstance(refused.value, ValueError)
    assert refused.value.fault.value == "1,000"
    assert str(refused.value) == (
        "has a comma that may mark thousands or decimals (found '1,000'); "
        'write "1000" for thousands, "1.000" for decimals'
    )


def test_a_truth_value_is_no_number() -> None:
    with pytest.raises(NotUnderstood, match="True"):
        number(True)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("150 cm", 1500.0),
        ("150cm", 1500.0),
        ("2.2 mm", 2.2),
        ("2,2 mm", 2.2),
        ("1.5 m", 1500.0),
        ("4'6\"", 1371.6),
        ("4'6", 1371.6),
        ("4' 6\"", 1371.6),
        ("4′6″", 1371.6),
        ("4 ft 6 in", 1371.6),
        ("4ft6", 1371.6),
        ("4 ft 6 1/2 in", 1384.3),
        ("5 ft", 1524.0),
        ("4.5 ft", 1371.6),
        ("59 in", 1498.6),
        ("59''", 1498.6),
        ("13 1/2 in", 342.9),
        ("13½ in", 342.9),
        ("1/2 in", 12.7),
        ("0 mm", 0.0),
    ],
)
def test_a_length_is_read(text: str, mm: float) -> None:
    assert length_mm(text) == mm


@pytest.mark.parametrize(
    "text",
    ["150", "150 km", "4'13", "4.5'6", "-3 mm", "4'6 cm", "mm", "1/0 in", "3/2 in", "131/2 in", "5 ft -3 in", "4' 6' "],
)
def test_a_length_is_refused(text: str) -> None:
    with pytest.raises(NotUnderstood):
        length_mm(text)


def test_a_bare_length_takes_the_unit_of_its_box() -> None:
    assert length_mm("150", bare="cm") == 1500.0
    assert length_mm("59 in", bare="cm") == 1498.6


@pytest.mark.parametrize(
    ("text", "mm", "system"),
    [
        ("2.2 mm", 2.2, "mm"),
        ("2.2", 2.2, "mm"),
        ("0.22 cm", 2.2, "mm"),
        ("13 SWG", 2.337, "SWG"),
        ("13.5 swg", 2.1845, "SWG"),
        ("13 1/2 SWG", 2.1845, "SWG"),
        ("13½ SWG", 2.1845, "SWG"),
        ("13 AWG", 1.829, "AWG"),
        ("13 American steel-wire", 2.3241, "American steel wire"),
        ("16 US steel wire", 1.5875, "American steel wire"),
        ("19 uswg", 1.0414, "American steel wire"),
        ("0.1 in", 2.54, "in"),
    ],
)
def test_a_wire_is_read(text: str, mm: float, system: str) -> None:
    wire = wire_diameter(text)
    assert (wire.mm, wire.system) == (mm, system)


@pytest.mark.parametrize(
    "text", ["13", "13.5", "5", "13 gauge", "13 ga", "14 AWG", "12.5 US steel wire", "21 SWG", "13.3 SWG", "0 mm", "-2"]
)
def test_a_wire_is_refused(text: str) -> None:
    with pytest.raises(NotUnderstood):
        wire_diameter(text)


def test_a_bare_gauge_says_what_would_do() -> None:
    with pytest.raises(NotUnderstood, match=r'may be a gauge or a diameter \(found \'13\'\); add "mm", or name'):
        wire_diameter("13")


def test_foam_film_and_cloth() -> None:
    foam = foam_grade("30/130")
    assert (foam.density, foam.hardness) == (30.0, 130.0)
    assert film_gauge("500 gauge") == 125.0
    assert film_gauge("500 US gauge") == 127.0
    assert film_gauge("125 µm") == film_gauge("125 micron") == film_gauge("0.125 mm") == 125.0
    assert areal_mass("300 gsm") == 300.0
    assert areal_mass("6 oz") == pytest.approx(203.434, abs=1e-3)  # 6 x 28.349523125 / 0.9144^2
    assert areal_mass("1 oz/ft2") == pytest.approx(305.152, abs=1e-3)


@pytest.mark.parametrize("text", ["30", "30/", "130/", "30/130/5", "RX 30/130", "0/130", "30/5000"])
def test_a_foam_is_refused(text: str) -> None:
    with pytest.raises(NotUnderstood):
        foam_grade(text)


@pytest.mark.parametrize("text", ["500", "500 g", "-5 micron", "0 gauge"])
def test_a_film_is_refused(text: str) -> None:
    with pytest.raises(NotUnderstood):
        film_gauge(text)


@pytest.mark.parametrize(
    ("text", "sides"),
    [
        ("150x200", (1500.0, 2000.0)),
        ("1500 × 2000", (1500.0, 2000.0)),
        ("150 x 200 cm", (1500.0, 2000.0)),
        ("150cm by 200cm", (1500.0, 2000.0)),
        ("1500x2000mm", (1500.0, 2000.0)),
        ("60 x 80 in", (1524.0, 2032.0)),
        ("4'6 x 6'3", (1371.6, 1905.0)),
    ],
)
def test_a_size_is_read(text: str, sides: tuple[float, float]) -> None:
    assert size_mm(text) == sides


@pytest.mark.parametrize("text", ["150", "150x", "150x200x25", "150x2000", "450x450", "5x6", "0 x 200 cm", "a x b"])
def test_a_size_is_refused(text: str) -> None:
    with pytest.raises(NotUnderstood):
        size_mm(text)


@pytest.mark.parametrize(
    ("value", "digits", "interval", "text"),
    [
        (0.1 + 0.2, 6, 0, "0.3"),
        (1234567.0, 6, 0, "1234570"),
        (5.86, 6, 0, "5.86"),
        (5.86, 6, 0.2, "5.9"),
        (5.86, 6, 2, "6"),
        (3.0, 6, 40, "0"),
        (87.0, 6, 40, "90"),
        (-0.0, 6, 0, "0"),
        (1e-7, 6, 0, "0.0000001"),
        (9.999999, 6, 0, "10"),
        (2.5, 1, 0, "2"),
        (1500.0, 2, 0, "1500"),
    ],
)
def test_shown(value: float, digits: int, interval: float, text: str) -> None:
    assert show(value, digits, interval=interval) == text


def test_shown_with_unit() -> None:
    assert show_with_unit(5.86, "N/mm") == "5.86 N/mm"
    assert show_with_unit(5.86, "N/mm", interval=0.2) == "5.9 ± 0.2 N/mm"


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_what_is_not_finite_is_not_shown(value: float) -> None:
    with pytest.raises(OutsideRange, match="not known"):
        show(value)


def test_no_more_than_six_figures() -> None:
    with pytest.raises(OutsideRange, match="1 to 6"):
        show(1.0, 7)


@pytest.mark.parametrize(
    ("text", "kg"),
    [
        ("80 kg", 80.0),
        ("80,5kg", 80.5),
        ("1 lb", 0.45359237),
        ("176 lbs", 79.83225712),
        ("12 st", 76.20351816),
        ("12½ stone", 79.37866475),
        ("12 st 8 lb", 79.83225712),
        ("12 st 8", 79.83225712),
        ("0 kg", 0.0),
    ],
)
def test_a_mass_is_read(text: str, kg: float) -> None:
    """The pound is 0.45359237 kg by definition, the stone 14 of them."""
    assert mass_kg(text) == pytest.approx(kg, rel=1e-12)


@pytest.mark.parametrize("text", ["80", "80 mm", "-80 kg", "12 st 14 lb", "12.5 st 3 lb", "1,000 kg", "kg", "1e999 kg"])
def test_a_mass_is_not_guessed(text: str) -> None:
    with pytest.raises(NotUnderstood):
        mass_kg(text)
