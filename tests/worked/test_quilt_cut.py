"""Cut before quilting. Book: derived (finished 1500 mm at 2.5 %); the hobby test with cotton gives the range."""

import pytest

from bedwright.bill.quilt_cut import Contraction, contraction_measured, cut_for_quilting, panel_cut


def test_cut_of_1500() -> None:
    assert cut_for_quilting(1500, 0.025) == pytest.approx(1538.46, abs=0.01)


def test_a_sample_measured_gives_back_its_cut() -> None:
    share = contraction_measured(1000, 972)
    assert share == pytest.approx(0.028)
    assert cut_for_quilting(972, share) == pytest.approx(1000)
    assert panel_cut(972, 500, Contraction(share, 0.0)) == pytest.approx((1000, 500))
