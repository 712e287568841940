"""The words of a plain bed: read back as written, every fault named by its piece, nothing but sentences."""

from __future__ import annotations

from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedwright.errors import FaultsFound
from bedwright.mechanics.plain_bed import EXAMPLE, LIMITS, MOST_LAYERS, PlainBed, PlainLayer, plain_bed


def within(what: str) -> st.SearchStrategy[float]:
    low, high, _ = LIMITS[what]
    return st.floats(low, high)


LAYERS = st.builds(
    PlainLayer, modulus_kpa=within("modulus"), thickness=within("thickness"), poisson=st.none() | within("nu")
)
BEDS = st.builds(
    PlainBed,
    stiffness=within("rate"),
    pitch_across=within("pitch"),
    pitch_along=within("pitch"),
    layers=st.lists(LAYERS, max_size=5).map(tuple),
    tension=within("tension"),
    width=within("side"),
    length=within("side"),
)


def refused(text: str) -> str:
    with pytest.raises(FaultsFound) as caught:
        plain_bed(text)
    return str(caught.value)


def test_the_example() -> None:
    bed = PlainBed(0.25, 100, 100, (PlainLayer(20, 50),), 300, 1500, 2000)
    assert plain_bed(EXAMPLE) == bed
    assert bed.foundation * 1e6 == pytest.approx(23.5294, abs=1e-4)  # book plain-bed, P1


@settings(max_examples=200)
@given(BEDS)
def test_written_then_read(bed: PlainBed) -> None:
    assert plain_bed(bed.words()) == bed


@settings(max_examples=60)
@given(BEDS, st.randoms(use_true_random=False))
def test_pieces_stand_in_any_order(bed: PlainBed, chance: Random) -> None:
    pieces = bed.words().split(", ")
    layers = [piece for piece in pieces if piece.startswith("layer")]
    others = [piece for piece in pieces if not piece.startswith("layer")]
    chance.shuffle(others)
    assert plain_bed("; ".join([*others[:1], *layers, *others[1:]])) == bed


@pytest.mark.parametrize(
    "text",
    [
        "springs 0.25 N/mm square 100 mm, layer 20 kPa 50 mm nu 0.3, tension 300 N/m, 1500x2000",
        "150 x 200 cm; TENSION 0.3 N/mm\nlayer 0.02 MPa 5 cm nu=.3; spring 250 N/m square 10 cm",
        "size 1.5 m x 2 m,springs 0,25N/mm 100 x 100 mm,layer 20kPa 50mm NU 0,3, tension 3 N/cm",
        ", ,springs 0.25 kN/m 10 x 10 cm; layer 20000 Pa 50 nu 0.3;; tension 0.3 kN/m, 1500 mm x 200 cm,",
    ],
)
def test_other_ways_to_write_it(text: str) -> None:
    bed = plain_bed(text)
    assert bed.layers == (PlainLayer(pytest.approx(20), 50, 0.3),)  # type: ignore[arg-type]
    assert (bed.stiffness, bed.pitch_across, bed.pitch_along) == pytest.approx((0.25, 100, 100))
    assert (bed.tension, bed.width, bed.length) == pytest.approx((300, 1500, 2000))


def test_layers_and_tension_may_be_left_out() -> None:
    assert plain_bed("springs 0.08 N/mm 50 x 60 mm, 900x1900") == PlainBed(0.08, 50, 60, (), 0, 900, 1900)


REST = "springs 0.25 N/mm square 100 mm, 1500x2000"


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", ["plain bed, springs: is missing", "plain bed, size: is missing"]),
        (f"{REST}, layer -20 kPa 50 mm", ["plain bed, layer 1: modulus is less than nothing", "'-20 kPa'"]),
        (f"{REST}, layer 20 kPa 50 mm, layer 20 kPa -5 mm", ["plain bed, layer 2: thickness is less", "'-5 mm'"]),
        (f"{REST}, layer 20 kPa 0 mm", ["layer 1: thickness is nothing", "0.05 to 300 mm"]),
        (f"{REST}, layer 20 kPa 50 mm nu 0.5", ["layer 1: nu is outside 0 to 0.49"]),
        (f"{REST}, layer 20 kPa 50 mm nu 0.3 mm", ["layer 1: thickness"]),
        (f"{REST}, layer 20 kPa 50 mm nu 3mm", ["layer 1: nu has a unit"]),
        (f"{REST}, layer 20 50", ["layer 1: modulus has no unit", "write it in kPa or MPa"]),
        (f"{REST}, layer", ["layer 1: cannot be read"]),
        (f"{REST}, layer 20 kPa", ["layer 1: "]),
        ("springs 0 N/mm square 100 mm, 1500x2000", ["springs: rate is nothing"]),
        ("springs -1 N/mm square 100 mm, 1500x2000", ["springs: rate is less than nothing"]),
        ("springs 0.25 square 100 mm, 1500x2000", ["springs: rate has no unit known here"]),
        ("springs 0.25 N/mm, 1500x2000", ["springs: cannot be read", "square 100 mm"]),
        ("springs 0.25 N/mm square 5 m, 1500x2000", ["springs: pitch is outside 15 to 300 mm"]),
        (f"{REST}, springs 0.2 N/mm square 90 mm", ["springs: is said twice"]),
        (f"{REST}, 900x1900", ["size: is said twice"]),
        (f"{REST}, tension 1 N/m, tension 2 N/m", ["tension: is said twice"]),
        (f"{REST}, tension 300", ["tension: tension has no unit known here"]),
        (f"{REST}, tension -1 N/m", ["tension: tension is less than nothing"]),
        (f"{REST}, tension 1e9 N/m", ["tension: tension is outside 0 to 100000 N/m"]),
        (f"{REST}, tension", ["tension: cannot be read"]),
        ("springs 0.25 N/mm square 100 mm, 15x20", ["size: is neither plainly cm nor plainly mm"]),
        ("springs 0.25 N/mm square 100 mm, 1 m x 20 m", ["size: side is outside 400 to 4000 mm"]),
        (f"{REST}, foam 20 kPa", ["plain bed: is no piece of a plain bed", "'foam 20 kPa'"]),
        (f"{REST}, layer nan kPa 50 mm", ["modulus cannot be read as a number"]),
        (f"{REST}, layer 1e400 kPa 50 mm", ["modulus is too large"]),
        (f"{REST}, " + "layer 20 kPa 50 mm, " * (MOST_LAYERS + 3), ["layer 21: more than 20 layers"]),
        ("x" * 3000, ["3000 characters are too long"]),
    ],
)
def test_faults(text: str, says: list[str]) -> None:
    told = refused(text)
    for part in says:
        assert part in told


def test_every_fault_is_told_at_once() -> None:
    told = refused("layer -1 kPa 50 mm, layer 20 kPa 0 mm, springs 0 N/mm square 100 mm, tension 3, chain 4 m")
    for field in ("layer 1", "layer 2", "springs", "tension", "plain bed: is no piece", "size: is missing"):
        assert field in told
    assert len(told.splitlines()) == 6


PIECES = st.one_of(
    st.sampled_from(["springs", "layer", "tension", "size", "square", "nu", "x", "N/mm", "kPa", "mm", "N/m", ",", ";"]),
    st.sampled_from(["0.25", "100", "-5", "1e308", "1e-999", "nan", "inf", "1_000", "٣", "2,5", "1,000", "4'6\"", "×"]),
    st.text(max_size=6),
)


@settings(max_examples=400)
@given(st.lists(PIECES, max_size=25).map(" ".join) | st.text(max_size=80))
def test_whatever_is_typed_is_read_or_refused(text: str) -> None:
    try:
        bed = plain_bed(text)
    except FaultsFound as error:
        assert error.faults and all(fault.card == "plain bed" and fault.says for fault in error.faults)
    else:
        assert plain_bed(bed.words()) == bed
