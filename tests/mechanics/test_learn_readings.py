"""A maker's own pad tests as they are typed: what is read, and what is refused with all its rows."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedwright.errors import FaultsFound, NotReadable
from bedwright.mechanics.learn_csv import LARGEST, MOST_ROWS, cells_in, cells_of
from bedwright.mechanics.learn_readings import MOST_TESTS, PadReadings, one_pad_test, pad_readings


def read(text: str) -> tuple[PadReadings, ...]:
    return pad_readings(cells_in(text))


CURVES = st.lists(
    st.tuples(st.integers(0, 9000), st.integers(1, 90000)), min_size=3, max_size=30, unique_by=lambda point: point[0]
).map(lambda points: [(depth / 100, force / 100) for depth, force in sorted(points)])


@settings(max_examples=60, deadline=None)
@given(CURVES, st.sampled_from([";", "\t", ","]), st.booleans(), st.booleans())
def test_what_is_written_is_read(points: list[tuple[float, float]], by: str, comma: bool, heading: bool) -> None:
    rows = [f"{depth:.2f}{by}{force:.2f}" for depth, force in points]
    if comma and by != ",":
        rows = [row.replace(".", ",") for row in rows]
    text = "\n".join([f"depth [mm]{by}force [N]", *rows] if heading else rows)
    (test,) = read(text)
    assert list(zip(test.depth, test.force, strict=True)) == points
    assert (test.x, test.y, test.face, test.cycle) == (None, None, None, None)


@given(st.text(max_size=200))
def test_any_text_is_read_or_refused_in_words(text: str) -> None:
    try:
        found = read(text)
    except (FaultsFound, NotReadable) as error:
        assert str(error)
    else:
        assert all(len(test.depth) >= 3 for test in found)


def test_several_tests_of_one_bed_with_columns_in_any_order() -> None:
    text = "N;face;x;y;mm;cycle\n" + "\n".join(
        f"{force};{face};{x};1000;{depth};{cycle}"
        for face, x, cycle in (("a", 750, 2), ("B", 200, 1))
        for depth, force in ((1, 10), (20, 100), (40, 400), (30, 200))
    )
    first, second = read(text)
    assert (first.x, first.y, first.face, first.cycle) == (750, 1000, "A", 2)
    assert (second.x, second.face, second.cycle) == (200, "B", 1)
    assert first.depth == (1, 20, 40) and first.force_back == (200,)
    with pytest.raises(FaultsFound, match="2 tests in the file"):
        one_pad_test((first, second))


def test_a_comma_is_the_decimal_mark_where_one_cell_tells() -> None:
    (test,) = read("depth;force\n0,5;1\n12,345;100\n20,001;200")
    assert test.depth == (0.5, 12.345, 20.001)
    with pytest.raises(FaultsFound, match="row 2 has no two numbers"):
        read("1;1\n12,345;100\n20;200")  # thousands, or decimals: nothing tells


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "0 points are too few"),
        ("depth;force\n1;2\n2;x\n3;4", "row 3 has no two numbers"),
        ("1;2\n2\n3;4", "row 2 has no two numbers"),
        ("1;2\n2;nan\n3;4", "row 2 has no two numbers"),
        ("1;2\n2000;3\n30;4", "a depth of 2000 mm is outside"),
        ("1;2\n20;30000\n30;4", "a force of 30000 N is outside"),
        ("mm;N;face\n1;2;C\n2;3;A\n3;4;A", "row 2 names no face"),
        ("mm;N;cycle\n1;2;0\n2;3;1.5\n3;4;1", "row 3: cycle 1.5 is no whole number"),
        ("mm;N;x\n1;2;left\n2;3;1\n3;4;1", "row 2, x: "),
        ("1;-2\n2;-3\n3;-4", "no force at the deepest point"),
    ],
)
def test_what_is_not_right_is_named(text: str, says: str) -> None:
    with pytest.raises(FaultsFound, match=says):
        read(text)


def test_all_faults_at_once_but_not_a_thousand() -> None:
    with pytest.raises(FaultsFound) as found:
        read("\n".join("a;b" for _ in range(1000)))
    assert len(found.value.faults) == 11
    assert "989 more rows are not right either" in str(found.value)  # the first row is taken for a heading


def test_limits(tmp_path: Path) -> None:
    with pytest.raises(NotReadable, match=f"give {MOST_ROWS} or fewer"):
        cells_in("1;2\n" * (MOST_ROWS + 1))
    with pytest.raises(FaultsFound, match=f"give {MOST_TESTS} or fewer tests"):
        read("mm;N;x\n" + "\n".join(f"{d};{d};{x}" for x in range(MOST_TESTS + 1) for d in (1, 2, 3)))
    (tmp_path / "large.csv").write_bytes(b"1" * (LARGEST + 1))
    (tmp_path / "odd.csv").write_bytes(b"\xff\xfe\x00")
    for name, says in (("large.csv", "larger than"), ("odd.csv", "no text in UTF-8"), ("none.csv", "No such file")):
        with pytest.raises(NotReadable, match=says):
            cells_of(tmp_path / name)
