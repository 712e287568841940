"""Every caution of the floor has its words; a key that is not there is an error."""

from __future__ import annotations

from typing import get_args

import pytest

from bedwright.marks import fire
from bedwright.papers import cautions as table
from bedwright.papers.cautions import CARD_KEYS, CAUTIONS, LABEL_KEYS, VAN_KEYS, bed_keys, cautions
from bedwright.papers.letters import printable
from bedwright.works.making import CautionOf

FLOOR = {
    "wire", "oven", "hot melt", "needles", "knives", "nip", "bale", "rolled", "lift", "van", "film", "fire",
    "fire load", "infants", "returns", "detector", "bunk", "slats", "recovery", "no class", "lying",
}  # fmt: skip


def test_every_key_has_words_that_can_be_printed() -> None:
    assert set(CAUTIONS) == FLOOR
    for key, one in CAUTIONS.items():
        assert one.key == key
        assert len(one.says) > 40
        assert printable(one.says + one.word)[1] == ()


def test_every_caution_of_a_work_place_is_one_of_these() -> None:
    assert set(get_args(CautionOf)) - {"none"} <= set(CAUTIONS)
    assert "rolled" in get_args(CautionOf)


def test_figures_of_stored_force_are_said_to_be_examples() -> None:
    assert "1,000 pocket coils, for example" in CAUTIONS["rolled"].says
    assert "115 mm down, for example" in CAUTIONS["bale"].says


def test_what_certifies_nothing_is_said_in_one_place() -> None:
    assert table.CERTIFIES_NOTHING is fire.CERTIFIES_NOTHING


def test_lists_of_the_sheets_are_known() -> None:
    for keys in (CARD_KEYS, LABEL_KEYS, VAN_KEYS):
        assert len(cautions(keys)) == len(keys)
    with pytest.raises(KeyError, match="draughts"):
        cautions(("wire", "draughts"))


def test_bed_keys_follow_the_bed() -> None:
    plain = bed_keys(wrap="flat", bought_unit=False, open_coil=False, hazard=False, upper_bunk=False, two_people=False)
    every = bed_keys(wrap="rolled", bought_unit=True, open_coil=True, hazard=True, upper_bunk=True, two_people=True)
    assert {"rolled", "recovery", "bale", "wire", "bunk", "lift"} <= set(every) - set(plain)
    assert "no class" in plain and "no class" not in every
