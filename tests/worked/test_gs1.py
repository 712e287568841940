"""GS1 numbers. Book: gs1 (General Specifications 7.9.1; published examples named in each test)."""

import pytest

from bedwright.errors import NotUnderstood, OutsideRange
from bedwright.identity import check_gtin, check_sscc, digital_link, gs1_check_digit, make_sscc


@pytest.mark.parametrize(
    ("digits", "check"),
    [
        ("629104150021", 3),  # GTIN-13, GS1's own example
        ("2345678", 5),  # GTIN-8
        ("0952123454321", 3),  # GTIN-14
        ("0950600013435", 2),  # GTIN-14
        ("10614141123456789", 7),  # SSCC
        ("15703538141037517", 7),  # SSCC
    ],
)
def test_published_check_digits(digits: str, check: int) -> None:
    assert gs1_check_digit(digits) == check


def test_published_digital_link() -> None:
    link = digital_link("09521234543213", batch="ABC123", serial="12345")
    assert link == "https://id.gs1.org/01/09521234543213/10/ABC123/21/12345"


def test_short_gtin_is_filled_and_signs_are_encoded() -> None:
    link = digital_link("6291041500213", serial="A/1", attributes={"17": "271231", "11": "261125"})
    assert link == "https://id.gs1.org/01/06291041500213/21/A%2F1?11=261125&17=271231"


def test_published_sscc_is_built() -> None:
    assert make_sscc(1, "0614141", 123456789) == "106141411234567897"
    assert check_sscc("106141411234567897") == "106141411234567897"


def test_a_wrong_digit_is_named() -> None:
    with pytest.raises(NotUnderstood, match="check digit 4, which should be 3"):
        check_gtin("6291041500214")


@pytest.mark.parametrize("text", ["", "629104150021", "62910415 00213", "６291041500213", "629104150021x"])
def test_not_a_gtin(text: str) -> None:
    with pytest.raises(NotUnderstood):
        check_gtin(text)


@pytest.mark.parametrize("batch", ["a" * 21, "é", "a b"])
def test_a_batch_that_does_not_fit(batch: str) -> None:
    with pytest.raises(NotUnderstood, match=r"field \(10\)"):
        digital_link("6291041500213", batch=batch)


def test_a_running_number_that_does_not_fit() -> None:
    with pytest.raises(OutsideRange, match="must fit 9 digits"):
        make_sscc(1, "0614141", 10**9)
