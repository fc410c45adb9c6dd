"""Zoom maths."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.canvas.zoom import (
    LEAST_PX_PER_MM,
    MOST_PX_PER_MM,
    after_wheel,
    fitting,
    ratio_to_true_size,
)


def test_one_notch_in_and_one_out_end_where_they_began() -> None:
    assert after_wheel(after_wheel(2.0, 120), -120) == pytest.approx(2.0)


def test_many_small_turns_of_a_touchpad_equal_one_notch() -> None:
    scale = 2.0
    for _ in range(8):
        scale = after_wheel(scale, 15)
    assert scale == pytest.approx(after_wheel(2.0, 120))


@given(st.floats(0.001, 1000.0), st.floats(-1e5, 1e5))
def test_no_turn_of_the_wheel_leaves_the_limits(scale: float, turned: float) -> None:
    assert LEAST_PX_PER_MM <= after_wheel(scale, turned) <= MOST_PX_PER_MM


def test_the_longer_side_decides_what_fits() -> None:
    # 400 px less 100 px of room for 100 mm, 700 px less 100 px for 600 mm: 3 and 1 px per mm.
    assert fitting((100.0, 600.0), (400.0, 700.0), (100.0, 100.0)) == pytest.approx(1.0)


def test_a_view_smaller_than_its_rulers_still_shows_something() -> None:
    assert fitting((100.0, 100.0), (20.0, 20.0), (60.0, 60.0)) > 0.0


def test_true_size_is_96_px_to_the_inch() -> None:
    assert ratio_to_true_size(96.0 / 25.4) == pytest.approx(1.0)
