"""The demo's works with its house rules, read from its CSV."""

from __future__ import annotations

from pathlib import Path

import pytest

from bedwright.works.rules import default_cards
from bedwright.works.workbook.csv_folder import read_csv_folder
from bedwright.works.works import Works

DEMO = Path(__file__).resolve().parents[2] / "demo"


@pytest.fixture(scope="session")
def demo_works() -> Works:
    found = read_csv_folder(DEMO)
    return found.with_cards([rule for rule in default_cards() if rule.code not in found.rules])
