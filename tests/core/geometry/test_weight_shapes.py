"""Line weight on 57 constructed shapes with analytic answers (tests/data/line_weight_shapes.csv)."""

import math

import pytest

from layout_core.units import mm
from tests.core.geometry.weight_shapes import (
    WeightShape,
    gravest_class,
    load_weight_shapes,
    measured_width_mm,
)

SHAPES = load_weight_shapes()


def test_all_57_shapes_are_there() -> None:
    assert len(SHAPES) == 57
    assert {shape.expected for shape in SHAPES} == {"line", "neck", "speck", "ok"}


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: shape.name)
def test_class_is_right_and_width_within_a_thousandth_of_an_inch(shape: WeightShape) -> None:
    spots = shape.spots()
    assert gravest_class(spots) == shape.expected
    if shape.expected == "ok":
        assert shape.sustained_mm() is None
    elif not math.isnan(shape.expected_width_mm):
        assert measured_width_mm(shape, spots) == pytest.approx(shape.expected_width_mm, abs=mm(0.001))


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: shape.name)
def test_each_spot_lies_where_it_is_too_thin(shape: WeightShape) -> None:
    for spot in shape.spots():
        assert 0.0 < spot.width_mm < shape.limit_mm
        where = spot.shape.representative_point() if spot.shape.area else spot.shape.centroid
        assert spot.where_mm == pytest.approx((where.x, where.y))
        assert shape.outline.covers(where) == shape.is_ink
