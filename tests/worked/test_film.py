"""Film gauge, mass and bags; a rolled pack. Books: film-gauge, roll-pack; the bag is derived."""

import pytest

from bedwright.bill.film import bag_area, bag_mass, film_mass_per_area, pack_ratio
from bedwright.typed import film_gauge


def test_gauge_to_mass() -> None:
    assert film_gauge("500 gauge") == 125.0
    assert film_gauge("200 gauge") == 50.0
    assert film_mass_per_area(125) == pytest.approx(115.0, abs=1e-9)
    # one mil of LLDPE is printed as 23.4 g/m2, which is 0.92 g/cm3
    assert film_mass_per_area(film_gauge("1 mil")) == pytest.approx(23.4, abs=0.05)


def test_bag_of_a_king() -> None:
    # 150 x 200 x 28 cm, 125 micron, 10 cm of length over
    assert bag_area(1500, 2000, 280, 100) == pytest.approx(8.4728, abs=1e-4)
    assert bag_mass(1500, 2000, 280, 125, overlap=100) == pytest.approx(0.9744, abs=1e-4)


def test_a_rolled_bed() -> None:
    # 18 cm pocket bed 90 x 190 rolled to 32 x 32 x 100 cm; 12.7 kg bare, 14.2 kg packed
    assert pack_ratio((1900, 900, 180), (320, 320, 1000)) == pytest.approx(3.006, abs=1e-3)
    assert pytest.approx(1.5) == 14.2 - 12.7
