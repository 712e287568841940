"""Populations against the percentiles they are drawn from, mixed and seeded; the user's own, and their faults."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedwright.errors import FaultsFound, OutsideRange
from bedwright.mechanics.body_tables import CORRELATION, SEXES, Sex, measured, regressions
from bedwright.mechanics.person import Person
from bedwright.mechanics.population import People, as_measured, population, read_people, value_at

MANY = 4_000


@pytest.fixture(scope="module")
def drawn() -> dict[Sex, list[Person]]:
    persons = population(2 * MANY, np.random.default_rng(11))
    return {sex: [one for one in persons if one.sex == sex] for sex in SEXES}


def values(persons: list[Person], name: str) -> np.ndarray:
    return np.array([one.mass if name == "mass" else one.size(name) for one in persons])


@pytest.mark.parametrize("sex", SEXES)
def test_stature_and_mass_have_the_measured_percentiles(drawn: dict[Sex, list[Person]], sex: Sex) -> None:
    """Book ansur-2: the share of 4,000 below each percentile is that percent, within three and a half binomial spreads;
    the correlation within as many of its own."""
    for name in ("stature", "mass"):
        found = values(drawn[sex], name)
        for percent, value in measured(sex)[name].percentiles.items():
            share = percent / 100
            assert (found < value).mean() == pytest.approx(share, abs=3.5 * np.sqrt(share * (1 - share) / MANY))
        assert found.mean() == pytest.approx(measured(sex)[name].mean, abs=4 * measured(sex)[name].spread / MANY**0.5)
    joined = np.corrcoef(values(drawn[sex], "stature"), values(drawn[sex], "mass"))[0, 1]
    assert joined == pytest.approx(CORRELATION[sex], abs=3.5 * (1 - CORRELATION[sex] ** 2) / MANY**0.5)


@pytest.mark.parametrize("sex", SEXES)
def test_every_size_has_nearly_the_measured_percentiles(drawn: dict[Sex, list[Person]], sex: Sex) -> None:
    """Book ansur-2, all 39 sizes: from P5 to P95 within a quarter of the size's spread, P1 and P99 within 0.45 of it
    (depths and girths of the waist lean to the heavy side more than mass and stature alone make them)."""
    for name in regressions(sex):
        table, found = measured(sex)[name], values(drawn[sex], name)
        assert found.std() == pytest.approx(table.spread, rel=0.06)
        for percent, value in table.percentiles.items():
            near = 0.25 if 5 <= percent <= 95 else 0.45
            assert np.percentile(found, percent) == pytest.approx(value, abs=near * table.spread), (name, percent)


@pytest.mark.parametrize(
    ("sex", "mean", "spread", "low", "high"), [("man", 82.3, 11.1, 64, 102), ("woman", 48.2, 11.0, 30, 67)]
)
def test_shoulder_against_hip_varies_as_measured(
    drawn: dict[Sex, list[Person]], sex: Sex, mean: float, spread: float, low: float, high: float
) -> None:
    """Check value 36 with its spread: each person's own difference, which the tables of single sizes do not hold."""
    found = np.array([one.side_lying.shoulder_below_hip[1] for one in drawn[sex]])
    assert (found.mean(), found.std()) == (pytest.approx(mean, abs=0.6), pytest.approx(spread, rel=0.08))
    assert np.percentile(found, [5, 95]) == pytest.approx([low, high], abs=2.5)


def test_same_seed_same_persons_and_sexes_by_share() -> None:
    one, two = (population(11, np.random.default_rng(3), share_of_men=0.3) for _ in range(2))
    assert one == two and [person.sex for person in one].count("man") == 3
    assert one != population(11, np.random.default_rng(4), share_of_men=0.3)
    assert {person.sex for person in population(5, np.random.default_rng(3), share_of_men=0)} == {"woman"}
    for count, share in ((0, 0.5), (5, 1.2), (5, float("nan"))):
        with pytest.raises(OutsideRange, match="give 1 to"):
            population(count, np.random.default_rng(3), share_of_men=share)


@settings(max_examples=50)
@given(
    st.lists(st.floats(0.5, 99.5), min_size=3, max_size=9, unique_by=lambda p: round(p)),
    st.lists(st.floats(0.5, 30), min_size=9, max_size=9),
)
def test_a_curve_of_percentiles_rises_through_all_of_them(percents: list[float], steps: list[float]) -> None:
    quantiles = dict(zip(sorted(percents), 50 + np.cumsum(steps), strict=False))
    from scipy.special import ndtri

    at = np.array([float(ndtri(percent / 100)) for percent in quantiles])
    assert value_at(quantiles, at) == pytest.approx(list(quantiles.values()))
    assert np.all(np.diff(value_at(quantiles, np.linspace(-5, 5, 400))) > 0)


def test_a_normal_quantity_is_carried_on_as_one() -> None:
    from scipy.special import ndtr

    quantiles = {100 * float(ndtr(z)): 1700 + 60 * z for z in (-2.0, -1.0, 0.0, 1.0, 2.0)}
    score = np.linspace(-4, 4, 33)
    assert value_at(quantiles, score) == pytest.approx(1700 + 60 * score)


OWN = """sex,dimension,unit,p5,p50,p95
woman,stature,cm,150.0,161.3,172.5
woman,mass,lb,118,165,245
M,height,mm,1630,1753,1880

men,weight,kg,64,88,127
"""


def test_the_users_own_percentiles_stand_in_place() -> None:
    people = read_people("\ufeff" + OWN, correlation={"woman": 0.3})
    assert people.stature == {"woman": {5: 1500, 50: 1613, 95: 1725}, "man": {5: 1630, 50: 1753, 95: 1880}}
    assert people.mass["woman"][50] == pytest.approx(74.8427)
    assert people.correlation == {"woman": 0.3, "man": 0.469}
    women = list(population(MANY, np.random.default_rng(8), share_of_men=0, people=people))
    below = np.mean([one.mass < people.mass["woman"][95] for one in women])
    assert below == pytest.approx(0.95, abs=0.012)
    found = np.corrcoef(values(women, "stature"), values(women, "mass"))[0, 1]
    assert found == pytest.approx(0.3, abs=0.05)
    assert as_measured().mass["woman"][95] == 87.1


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("p5,p50,p95", "low,middle,high", ["wants columns sex, dimension, unit and 3 or more of p1 to p99"]),
        ("woman,mass", "child,mass", ["row 3, column sex: is neither man nor woman (found 'child')"]),
        ("woman,mass", "woman,hip breadth", ["is neither stature nor mass", "no row of mass of woman"]),
        ("165,245", "165,150", ["mass of woman: percentiles do not rise", "68.0389"]),
        ("cm,150.0,161.3", "cm,,161.3", ["row 2, column p5"]),
        ("cm,150.0,161.3,172.5", "cm,90.0,101.3,112.5", ["goes from 900 to 1125", "infants and children"]),
        (
            "men,weight,kg,64,88,127",
            "man,height,mm,1600,1700,1800",
            ["stature of man stands twice", "no row of mass of man"],
        ),
        ("lb,118", "stick,118", ["column p5: is no mass", "column p50", "column p95"]),
    ],
)
def test_what_is_wrong_in_the_users_percentiles_is_all_said(old: str, new: str, says: list[str]) -> None:
    with pytest.raises(FaultsFound) as refused:
        read_people(OWN.replace(old, new))
    assert [part for part in says if part not in str(refused.value)] == []


def test_what_cannot_be_drawn_is_refused() -> None:
    women = read_people("\n".join(OWN.splitlines()[:3]))
    with pytest.raises(OutsideRange, match="hold no man"):
        population(4, np.random.default_rng(1), people=women)
    with pytest.raises(FaultsFound, match="no row of stature"):
        read_people("sex,dimension,unit,p5,p50,p95\n")
    with pytest.raises(FaultsFound, match="no correlation that a people has"):
        read_people(OWN, correlation={"man": 1.0})
    odd = {5.0: 2000.0, 50.0: 2050.0, 95.0: 2090.0}, {5.0: 41.0, 50.0: 42.0, 95.0: 43.0}
    with pytest.raises(OutsideRange, match="go together in no adult"):
        population(
            4, np.random.default_rng(1), share_of_men=1, people=People({"man": odd[0]}, {"man": odd[1]}, {"man": 0})
        )
