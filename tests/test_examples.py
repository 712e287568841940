"""Every example runs by itself, and the number it ends in is right; how it is known stands beside it."""

from __future__ import annotations

import math
import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
EXAMPLES = sorted(path.stem for path in (ROOT / "examples").glob("*.py"))


def landed_by_hand() -> float:
    """Goods, customs value with freight, duty on it; paid over 85 days at 7.5 % a year; 98.5 % good."""
    goods = 380 * 158 * 0.79
    paid = goods + 4100 + 980 + 620 + 0.06 * (goods + 4100)
    return paid * (1 + 0.075 * 85 / 365) / (380 * 0.985)


def accepted_by_hand() -> float:
    """At most 3 of 50 where 4 of 100 are bad, by the binomial sum; 50 and 3 are MIL-STD-105E's for 281 to 500."""
    return 100 * sum(math.comb(50, k) * 0.04**k * 0.96 ** (50 - k) for k in range(4))


EXPECTED: dict[str, tuple[float, float]] = {
    # own tripwire: tests/mechanics/test_measured_ties.py turns back lattices that were solved densely
    "lacing_tie": (0.46, 0.005),
    "landed": (landed_by_hand(), 0.005),
    "one_coil": (0.271473, 0.01 * 0.271473),  # finite elements (book fe-coils), 1 % asked
    "sampling_plan": (accepted_by_hand(), 0.05),
    "size_chain": (255 - 2 * 8 + 25, 0.05),  # height less two tape shares and with both seams, by house rules
    # own tripwire: the steel of both cards is redone from floor practice in tests/worked/test_floor_steel.py
    "two_units": (0.947, 0.0005),
}


def printed(name: str) -> list[str]:
    path = ROOT / "examples" / f"{name}.py"
    environment = {**os.environ, "OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"}
    done = subprocess.run([sys.executable, str(path)], capture_output=True, text=True, env=environment, check=False)
    assert (done.returncode, done.stderr) == (0, "")
    return done.stdout.splitlines()


def test_every_example_has_its_number() -> None:
    assert sorted(EXPECTED) == EXAMPLES


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_example_ends_in_its_number(name: str) -> None:
    value, room = EXPECTED[name]
    assert float(printed(name)[-1]) == pytest.approx(value, abs=room)


def test_both_units_have_the_counts_of_the_trade() -> None:
    """Around 312, and 900 in a fine-wire high-count unit: common practice, no source."""
    lines = printed("two_units")
    assert any("13 across x 24 rows = 312 coils" in line for line in lines)
    assert any("= 900 coils" in line for line in lines)
    assert sum("steel in all" in line for line in lines) == 2
