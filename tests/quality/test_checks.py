"""The default check cards hold together and lean on house rules that exist."""

import pytest

from bedwright.errors import OutsideRange
from bedwright.quality.checks import DEFAULT_CHECKS, checks_for, limit_rules
from bedwright.works.rules import DEFAULTS


def test_every_limit_is_a_house_rule() -> None:
    assert set(limit_rules()) <= set(DEFAULTS)
    assert "tolerance_coil_height" in limit_rules()


def test_no_check_twice_at_one_place() -> None:
    seen = [(check.work_place_kind, check.look_at) for check in DEFAULT_CHECKS]
    assert len(set(seen)) == len(seen)


def test_whatever_may_hurt_is_critical() -> None:
    for check in DEFAULT_CHECKS:
        if any(word in check.look_at for word in ("needle", "sharp", "warning printed")):
            assert check.defect_class == "critical", check.look_at


def test_the_detector_stands_before_build() -> None:
    for kind in ("quilting", "border"):
        assert any("detector before build" in check.look_at for check in checks_for(kind))
    assert not any("detector" in check.look_at for check in checks_for("passing"))


def test_a_place_without_checks_is_named() -> None:
    with pytest.raises(OutsideRange, match="'canteen'"):
        checks_for("canteen")
