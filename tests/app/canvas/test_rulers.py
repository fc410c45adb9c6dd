"""Rulers that are readable at any zoom."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.canvas.rulers import NUMBER_SPACING_PX, TICK_SPACING_PX, RulerUnit, ruler_ticks
from app.canvas.zoom import LEAST_PX_PER_MM, MOST_PX_PER_MM

UNIT_MM = {"in": 25.4, "mm": 1.0}


@given(
    st.floats(LEAST_PX_PER_MM, MOST_PX_PER_MM),
    st.sampled_from(["in", "mm"]),
    st.floats(5.0, 600.0),
)
def test_ticks_and_numbers_never_crowd(px_per_mm: float, unit: RulerUnit, length_mm: float) -> None:
    ticks = ruler_ticks(length_mm, unit, px_per_mm)
    steps_px = [(b.at_mm - a.at_mm) * px_per_mm for a, b in pairwise(ticks)]
    numbered = [tick.at_mm for tick in ticks if tick.text]
    numbers_px = [(b - a) * px_per_mm for a, b in pairwise(numbered)]
    assert all(step > TICK_SPACING_PX - 0.05 for step in steps_px)
    assert all(step > NUMBER_SPACING_PX - 0.05 for step in numbers_px)


@given(
    st.floats(LEAST_PX_PER_MM, MOST_PX_PER_MM),
    st.sampled_from(["in", "mm"]),
    st.floats(5.0, 600.0),
)
def test_each_number_stands_at_its_own_distance(px_per_mm: float, unit: RulerUnit, length_mm: float) -> None:
    for tick in ruler_ticks(length_mm, unit, px_per_mm):
        assert 0.0 <= tick.at_mm <= length_mm * (1 + 1e-6)
        if tick.text:
            assert math.isclose(float(tick.text) * UNIT_MM[unit], tick.at_mm, rel_tol=1e-6, abs_tol=1e-9)


def test_every_inch_is_numbered_at_half_size() -> None:
    texts = [tick.text for tick in ruler_ticks(11.25 * 25.4, "in", 1.9) if tick.text]
    assert texts == [str(number) for number in range(12)]


def test_the_last_tick_of_a_whole_length_is_not_lost_to_rounding() -> None:
    assert ruler_ticks(19 * 25.4, "in", 1.4)[-1].at_mm == pytest.approx(19 * 25.4)


def test_zooming_in_splits_inches_into_halves_quarters_and_eighths() -> None:
    numbers = [
        next(float(tick.text) for tick in ruler_ticks(100.0, "in", scale)[1:] if tick.text)
        for scale in (1.4, 4.0, 8.0, 20.0)
    ]
    assert numbers == [1.0, 0.5, 0.25, 0.125]
