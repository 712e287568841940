"""Canonical JSON, codes and works-order ids."""

from datetime import UTC, date, datetime, timedelta, timezone
from decimal import Decimal

import pytest

from bedwright.errors import NotUnderstood, OutsideRange
from bedwright.identity import canonical, check_code, content_id, fold, same_code, works_order_id


def test_one_form_for_plain_data() -> None:
    data = {"b": [1, 2.0, Decimal("1.50")], "a": {"é": None, "t": True}, "d": date(2026, 11, 25)}
    assert canonical(data) == '{"a":{"t":true,"é":null},"b":[1,2.0,"1.5"],"d":"2026-11-25"}'.encode()


def test_the_id_is_the_sha256_that_anyone_can_make() -> None:
    # sha256 of the two bytes {} as any tool gives it
    assert content_id({}) == "44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a"


@pytest.mark.parametrize(
    ("a", "b"),
    [
        ({"x": 1, "y": 2}, {"y": 2, "x": 1}),
        (0.1 + 0.2, 0.3),
        (-0.0, 0.0),
        ((1, 2), [1, 2]),
        (Decimal("1.50"), Decimal("1.5")),
        (Decimal("1E+3"), Decimal("1000")),
        (Decimal("-0.00"), Decimal("0")),
        (datetime(2026, 7, 1, 12, tzinfo=UTC), datetime(2026, 7, 1, 13, tzinfo=timezone(timedelta(hours=1)))),
    ],
)
def test_the_same_thing_has_the_same_bytes(a: object, b: object) -> None:
    assert canonical(a) == canonical(b)


@pytest.mark.parametrize(("a", "b"), [(1.00000001, 1.0), (1, "1"), (1, True), (1, 1.0), ([], {}), (None, "")])
def test_different_things_differ(a: object, b: object) -> None:
    assert content_id(a) != content_id(b)


@pytest.mark.parametrize("bad", [float("nan"), float("inf"), Decimal("NaN"), Decimal("Infinity")])
def test_no_number_that_is_none(bad: object) -> None:
    with pytest.raises(OutsideRange, match=r"^a\[0\]: "):
        canonical({"a": [bad]})


@pytest.mark.parametrize("bad", [{1: 2}, {1, 2}, b"x", object(), datetime(2026, 1, 1)])
def test_no_other_kinds(bad: object) -> None:
    with pytest.raises(TypeError, match=r"^a: "):
        canonical({"a": bad})


def test_half_a_character_is_refused() -> None:
    with pytest.raises(OutsideRange, match="half a character"):
        canonical("\ud800")


def test_codes_are_compared_folded() -> None:
    assert same_code("Heron", "HERON")
    assert same_code("e\u0301te", "ÉTE")
    assert not same_code("Heron", "Teal")
    assert fold("STRASSE") == fold("straße")


@pytest.mark.parametrize("text", ["", "  ", "a" * 25, "a\nb", "a\u200bb", " a", "a ", "a\u2028b"])
def test_a_code_is_refused(text: str) -> None:
    with pytest.raises(NotUnderstood):
        check_code(text)


def test_a_code_is_kept_composed() -> None:
    assert check_code("e\u0301te 2/B") == "éte 2/B"


def test_works_order_ids_are_stable() -> None:
    first = works_order_id("SO-1042", 3, "150x200")
    assert first == works_order_id("so-1042", 3, "150X200")
    assert first not in {works_order_id("SO-1042", 4, "150x200"), works_order_id("SO-1042", 3, "135x190")}
    assert len(first) == 10
    assert first.isascii()
    # a tripwire, not a check: ids printed on drafts must not change from one version to the next
    assert first == "WFDZ616CMX"


def test_works_order_ids_do_not_meet() -> None:
    ids = {works_order_id(f"SO-{order}", line, "150x200") for order in range(500) for line in range(1, 5)}
    assert len(ids) == 2000


def test_lines_count_from_one() -> None:
    with pytest.raises(OutsideRange, match="line 0"):
        works_order_id("SO-1", 0, "150x200")
