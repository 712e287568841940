"""Measured bodies, as published: sizes by percentile, sizes from stature and mass, segments of the body.

4,082 men and 1,986 women of an army (book `ansur-2`): chosen by age and fitness, so that heavy, old and very small
persons are rarer than among customers. Percentiles and regressions were worked out from the survey's public file;
segments are book `de-leva-1996`, table 4. The tables lie beside this file, in `published`.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Literal, overload

import numpy as np
from numpy.typing import NDArray

from bedwright.errors import OutsideRange

Array = NDArray[np.float64]
Sex = Literal["man", "woman"]
SEXES: tuple[Sex, Sex] = ("man", "woman")
STATURE, MASS = "stature", "mass"
CORRELATION: dict[Sex, float] = {"man": 0.469, "woman": 0.533}
"""Of stature and mass (book `ansur-2`)."""
LEVA_STATURE: dict[Sex, float] = {"man": 1741.0, "woman": 1735.0}
"""Of the bodies that the segment lengths belong to [mm] (book `de-leva-1996`)."""

_LETTER: dict[str, Sex] = {"M": "man", "F": "woman"}
_SPELLED = (
    "biacromial_breadth", "bideltoid_breadth", "chest_breadth", "waist_breadth", "hip_breadth", "hip_breadth_sitting",
    "chest_depth", "waist_depth", "buttock_depth", "abdominal_extension_depth_sitting", "forearm_forearm_breadth",
    "head_breadth", "head_length", "neck_circumference", "chest_circumference", "waist_circumference",
    "buttock_circumference", "thigh_circumference", "calf_circumference", "cervicale_height", "acromial_height",
    "suprasternale_height", "axilla_height", "chest_height", "tenth_rib_height", "waist_height_omphalion",
    "iliocristale_height", "trochanterion_height", "buttock_height", "crotch_height", "knee_height_mid_patella",
    "tibial_height", "lateral_malleolus_height", "shoulder_elbow_length", "radiale_stylion_length", "hand_length",
    "foot_length", "sitting_height", "bicristal_breadth", STATURE, MASS,
)  # fmt: skip
_COLUMNS = {name.replace("_", ""): name for name in _SPELLED} | {
    "weightkg": MASS,
    "radialestylionlength": "radiale_stylion_length",
}


@dataclass(frozen=True, slots=True)
class Regression:
    """A size [mm] = intercept [mm] + per_stature x stature [mm] + per_mass [mm/kg] x mass [kg], give or take rmse [mm]
    (standard deviation of a person about it). share: of the variance that it explains."""

    intercept: float
    per_stature: float
    per_mass: float
    rmse: float
    share: float

    @overload
    def at(self, stature: float, mass: float) -> float: ...
    @overload
    def at(self, stature: Array, mass: Array) -> Array: ...
    def at(self, stature: float | Array, mass: float | Array) -> float | Array:
        return self.intercept + self.per_stature * stature + self.per_mass * mass


@dataclass(frozen=True, slots=True)
class Measured:
    """A size as measured: mean, spread (standard deviation), and percentiles (percent -> value), mm or kg."""

    count: int
    mean: float
    spread: float
    percentiles: Mapping[float, float]


@dataclass(frozen=True, slots=True)
class Leva:
    """One segment of the table: its ends, length [mm] in the body of LEVA_STATURE, share of the body's mass, and where
    its centre lies from the end nearer the head or trunk, as a share of the length."""

    ends: str
    length: float
    share: float
    centre: float


def spelled(name: str) -> str:
    """The name of a size as used here, however its words are joined: "hip breadth", "hip_breadth", "hipbreadth".

    Raises OutsideRange naming what is known.
    """
    plain = "".join(letter for letter in name.lower() if letter.isalnum())
    try:
        return _COLUMNS[plain]
    except KeyError:
        names = sorted(set(_SPELLED) - {STATURE, MASS})
        words = set(re.findall(r"[a-z]{3,}", name.lower()))
        near = [known for known in names if words & set(known.split("_"))] or names
        raise OutsideRange(f"{name!r} is no size of a person known here; known are {', '.join(near)}") from None


@cache
def regressions(sex: Sex) -> Mapping[str, Regression]:
    """Sizes from stature and mass, by name (book `ansur-2`)."""
    return {
        spelled(row["dimension"]): Regression(
            *(float(row[key]) for key in ("intercept_mm", "per_mm_stature", "per_kg", "rmse_mm", "r2"))
        )
        for row in _rows("ansur2_regression.csv")
        if _LETTER[row["sex"]] == sex
    }


@cache
def measured(sex: Sex) -> Mapping[str, Measured]:
    """Sizes, stature and mass as measured, by name (book `ansur-2`)."""
    return {
        spelled(row["dimension"]): Measured(
            int(row["n"]),
            float(row["mean"]),
            float(row["sd"]),
            {float(key[1:]): float(value) for key, value in row.items() if key[0] == "p" and key[1:].isdigit()},
        )
        for row in _rows("ansur2_percentiles.csv")
        if _LETTER[row["sex"]] == sex
    }


@cache
def leva(sex: Sex) -> Mapping[str, Leva]:
    """Segments by the table's names, other ends for the same segment marked "(alt)" (book `de-leva-1996`)."""
    letter = "male" if sex == "man" else "female"
    return {
        row["segment"]: Leva(
            row["ends"],
            1000 * float(row[f"len_m_{letter}"]),
            float(row[f"massfrac_{letter}"]),
            float(row[f"com_frac_from_proximal_{letter}"]),
        )
        for row in _rows("deleva_segments.csv")
    }


def _rows(name: str) -> list[dict[str, str]]:
    text = files("bedwright.mechanics").joinpath("published", name).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))
