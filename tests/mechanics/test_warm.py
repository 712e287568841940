"""What set-up warms runs through every loop without a word of its own."""

from __future__ import annotations

import pytest

from bedwright.mechanics.warm import warm


def test_warming_presses_comes_back_and_follows_a_coil(capsys: pytest.CaptureFixture[str]) -> None:
    warm()
    assert capsys.readouterr() == ("", "")
