"""Bodies against the published tables: check values 17, 18, 19, 20 and 36 (books `ansur-2`, `de-leva-1996`)."""

import csv
import os
from pathlib import Path

import pytest

from bedwright.mechanics.body_segments import PARTED
from bedwright.mechanics.body_tables import CORRELATION, SEXES, Sex, leva, measured, regressions
from bedwright.mechanics.person import Person

ROOT = Path(__file__).resolve().parents[2]
DATA = Path(os.environ.get("BEDWRIGHT_PUBLISHED_DATA", ROOT.parent / "shared" / "data")).parent / "trade"
PUBLISHED = ROOT / "src" / "bedwright" / "mechanics" / "published"


@pytest.mark.parametrize(
    ("here", "there"),
    [
        ("ansur2_percentiles.csv", "body_ansur2_percentiles.csv"),
        ("ansur2_regression.csv", "body_ansur2_regression.csv"),
        ("deleva_segments.csv", "body_deleva1996.csv"),
    ],
)
def test_the_tables_are_the_published_ones(here: str, there: str) -> None:
    if not (DATA / there).exists():
        pytest.skip(f"published table {there} is not beside the repo")
    with (DATA / there).open(newline="") as other, (PUBLISHED / here).open(newline="") as own:
        assert list(csv.reader(own)) == list(csv.reader(other))


@pytest.mark.parametrize(("sex", "total"), [("man", 1.0000), ("woman", 0.9999)])
def test_shares_of_the_segments(sex: Sex, total: float) -> None:
    """Check value 17; the masses of a person add up to the person's all the same."""
    table = leva(sex)
    whole = table["head"].share + table["trunk"].share + sum(2 * table[name].share for name in PARTED)
    assert whole == pytest.approx(total, abs=5e-5)
    parts = sum(table[name].share for name in ("upper trunk", "mid trunk", "lower trunk"))
    assert parts == pytest.approx(table["trunk"].share, abs=2e-4)
    one = Person(sex, 1700.0, 70.0)
    assert sum(part.count * part.mass for part in one.segments.values()) == pytest.approx(70.0, rel=1e-12)


@pytest.mark.parametrize(("sex", "share"), [("man", 0.556), ("woman", 0.554)])
def test_centre_of_the_whole_body(sex: Sex, share: float) -> None:
    """Check value 18, whatever stature and mass."""
    for stature, mass in ((1500.0, 50.0), (1755.0, 80.0), (1900.0, 120.0)):
        assert Person(sex, stature, mass).centre_of_mass / stature == pytest.approx(share, abs=0.005)


def test_lengths_of_segments_are_the_tables_at_its_own_stature() -> None:
    man, woman = Person("man", 1741.0, 73.0).segments, Person("woman", 1735.0, 61.9).segments
    assert (man["thigh"].length, woman["thigh"].length) == (pytest.approx(422.2), pytest.approx(368.5))
    assert (man["head"].length, woman["lower trunk"].length) == (pytest.approx(242.9), pytest.approx(181.5))
    assert (man["upper trunk"].centre, woman["shank"].centre) == (0.5066, 0.4416)
    assert Person("man", 1741.0 * 1.1, 73.0).segments["thigh"].length == pytest.approx(1.1 * 422.2)
    # crown to sole: what is left below the shank is the ankle's height
    assert man["shank"].above_sole - man["shank"].length == pytest.approx(38.6)


# page of bodies, section 1.1, rounded as printed: mean man, mean woman
AT_THE_MEANS = {
    "bideltoid_breadth": (510.4, 450.3),
    "hip_breadth": (345.7, 353.8),
    "buttock_depth": (245.8, 232.9),
    "chest_depth": (253.8, 247.4),
    "waist_breadth": (326.4, 299.9),
    "cervicale_height": (1517.3, 1395.7),
    "trochanterion_height": (900.9, 845.4),
}


@pytest.mark.parametrize("name", AT_THE_MEANS)
def test_sizes_at_the_means(name: str) -> None:
    """Check value 19."""
    men, women = Person("man", 1756.2, 85.5), Person("woman", 1628.5, 67.8)
    assert men.size(name) == pytest.approx(AT_THE_MEANS[name][0], abs=0.5)
    assert women.size(name) == pytest.approx(AT_THE_MEANS[name][1], abs=0.5)


@pytest.mark.parametrize("sex", SEXES)
def test_regressions_give_the_means_and_spreads_of_the_percentile_table(sex: Sex) -> None:
    """The two tables were worked out apart: a least squares line runs through the means, and its explained share and
    scatter make up the whole spread."""
    table = measured(sex)
    stature, mass = table["stature"], table["mass"]
    for name, line in regressions(sex).items():
        assert line.at(stature.mean, mass.mean) == pytest.approx(table[name].mean, abs=0.06)  # as printed
        along, across = line.per_stature * stature.spread, line.per_mass * mass.spread
        explained = along**2 + across**2 + 2 * CORRELATION[sex] * along * across
        assert explained + line.rmse**2 == pytest.approx(table[name].spread ** 2, rel=0.01)
        assert explained / table[name].spread ** 2 == pytest.approx(line.share, abs=0.01)


def test_percentiles() -> None:
    """Check value 20."""
    men, women = measured("man"), measured("woman")
    assert (men["hip_breadth"].percentiles[95], women["bideltoid_breadth"].percentiles[5]) == (387.0, 406.0)
    assert (men["stature"].percentiles[50], women["mass"].percentiles[95]) == (1755.0, 87.1)
    assert (men["stature"].count, women["stature"].count) == (4082, 1986)


@pytest.mark.parametrize(
    ("sex", "hip", "waist", "shoulder_waist"), [("man", 82.3, 9.6, 92.0), ("woman", 48.2, 27.0, 75.2)]
)
def test_how_much_deeper_the_shoulder_must_sink(sex: Sex, hip: float, waist: float, shoulder_waist: float) -> None:
    """Check value 36: an upper bound, for the lower shoulder moves forward."""
    table = measured(sex)
    found = Person(sex, table["stature"].mean, table["mass"].mean).side_lying
    assert found.shoulder_below_hip[1] == pytest.approx(hip, abs=0.2)
    assert found.hip_below_waist == pytest.approx(waist, abs=0.2)
    assert found.shoulder_below_waist[1] == pytest.approx(shoulder_waist, abs=0.2)
    acromia = (table["biacromial_breadth"].mean - table["hip_breadth"].mean) / 2
    assert found.shoulder_below_hip[0] == pytest.approx(acromia, abs=0.1)
