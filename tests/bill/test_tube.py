"""A bag cut off a tube takes the tube's own width, whatever the bed (derived)."""

from __future__ import annotations

import pytest

from bedwright.bill.make import make_bill
from bedwright.design.buildup import bed_at_size
from bedwright.works.materials import Film
from bedwright.works.works import Works


def test_film_of_a_tube_is_two_lay_flat_widths_by_the_bags_length(small_works: Works) -> None:
    bed = next(bed for bed in small_works.beds if bed.wrap != "rolled")
    film = small_works.films[bed.film]
    fields = {name: getattr(film, name) for name in Film.model_fields}
    tube = Film.make(**{**fields, "tube_width": 2600.0})
    works = Works.of(small_works.about, [tube if card is film else card for card in small_works.all_cards()])
    size = next(iter(works.sizes))
    at = bed_at_size(works, works.beds[bed.code], size)
    row = next(row for row in make_bill(works, at).rows if row.kind == "film")
    long = size.length + at.height + 100
    assert row.quantity == pytest.approx(2 * 2600 * long / 1e6)
    assert row.taken_mass == pytest.approx(2 * 2600 * long / 1e6 * tube.gauge_um * tube.film_density / 1000)
