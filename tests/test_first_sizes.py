"""Sizes that a lock has before any is entered, held against the rule that stands beside them."""

import pytest

from core.lock.lock import Lock


def test_hump_of_a_lobed_plate_is_about_a_quarter_of_its_width() -> None:
    plate = Lock().plate
    assert plate.lobe == pytest.approx(plate.width / 4, rel=0.1)


def test_no_metal_at_all_may_be_the_least() -> None:
    assert Lock().with_value("fit.metal_min", 0.0).fit.metal_min == 0.0
