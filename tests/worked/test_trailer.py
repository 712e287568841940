"""Pallets, loading metres and containers. Books: trailer-sizes, iso-668 (from memory: arithmetic only)."""

import pytest

from bedwright.loading.vehicle_floor import (
    EURO_PALLET,
    TRAILER_FLOOR,
    UK_PALLET,
    container_volume,
    loading_metres,
    pallets_on_floor,
)


def test_semi_trailer() -> None:
    euro = pallets_on_floor(TRAILER_FLOOR, EURO_PALLET)
    assert (euro.count, euro.used_length) == (33, 13_200)
    assert pallets_on_floor(TRAILER_FLOOR, UK_PALLET).count == 26
    assert euro.bound == 34
    # 17 rows of two fill 13.6 m to the millimetre: nobody loads so, the published 33 leaves room
    assert pallets_on_floor(TRAILER_FLOOR, EURO_PALLET, room=0).count == 34


def test_loading_metres() -> None:
    assert loading_metres(EURO_PALLET, 1) == pytest.approx(0.4)
    assert loading_metres(UK_PALLET, 1) == pytest.approx(0.5)


@pytest.mark.parametrize(("kind", "volume"), [("20", 32.12), ("40", 65.70), ("40 high", 74.22)])
def test_least_container_volume(kind: str, volume: float) -> None:
    assert container_volume(kind) == pytest.approx(volume, abs=0.01)
