"""The words of a base: read as written, refused with a sentence."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedwright.errors import FaultsFound
from bedwright.mechanics.base import SOLID, Base, base


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("solid", SOLID),
        (" Solid  base ", SOLID),
        ("slats 65 mm gap 55 mm bend 12 N/mm", Base("slatted", 65, 55, 12)),
        ("SLATTED 6.5 cm gaps 55 bend 12N/mm", Base("slatted", 65, 55, 12)),
        ("slats 2 1/2 in gap 0 bend 12 N/mm", Base("slatted", 63.5, 0, 12)),
        ("sprung 40 kPa/m", Base("sprung", spring_stiffness=40)),
    ],
)
def test_bases(text: str, found: Base) -> None:
    assert base(text) == found
    assert base(found.words()) == found


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", ["base: is no base known here", '"slats 65 mm gap 55 mm bend 12 N/mm"']),
        ("ice", ["base: is no base known here (found 'ice')"]),
        ("slats 65 mm gap 55 mm", ["is no base known here"]),
        ("slats -65 mm gap 9 m bend 0 N/mm", ["slat_width: is less", "slat_gap: is outside", "slat_stiffness: is no"]),
        ("sprung -4 kPa/m", ["base, spring_stiffness: is less than nothing (found '-4')"]),
        ("sprung nan kPa/m", ["spring_stiffness: cannot be read as a number"]),
        ("slats " * 100, ["characters are too long"]),
    ],
)
def test_refusals(text: str, says: list[str]) -> None:
    with pytest.raises(FaultsFound) as caught:
        base(text)
    for part in says:
        assert part in str(caught.value)


WORDS = st.sampled_from(["slats", "gap", "bend", "sprung", "solid", "65", "mm", "-1", "N/mm", "kPa/m", "1e308", "nan"])


@settings(max_examples=200)
@given(st.lists(WORDS | st.text(max_size=4), max_size=10).map(" ".join))
def test_whatever_is_typed_is_read_or_refused(text: str) -> None:
    try:
        found = base(text)
    except FaultsFound as error:
        assert all(fault.card == "base" and fault.says for fault in error.faults)
    else:
        assert found.form in ("solid", "slatted", "sprung")
