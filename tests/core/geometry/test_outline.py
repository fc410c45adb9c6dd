"""Valid unions and lighter copies."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely import GeometryCollection, LineString, MultiPolygon, Point, Polygon

from layout_core.geometry.outline import light_outline, simplified, valid_union


def test_overlapping_parts_become_one() -> None:
    union = valid_union(MultiPolygon([shapely.box(0, 0, 4, 4), shapely.box(2, 2, 6, 6)]))
    assert union.is_valid
    assert len(union.geoms) == 1
    assert union.area == 28.0


def test_a_valid_shape_keeps_every_vertex() -> None:
    shape = MultiPolygon([shapely.box(0, 0, 4, 4), Polygon([(9, 0), (12, 5), (9, 9), (10, 5)])])
    assert shapely.equals_exact(valid_union(shape), shape, 0.0)


def test_a_self_crossing_outline_keeps_its_even_odd_area() -> None:
    bow = valid_union(Polygon([(0, 0), (4, 4), (4, 0), (0, 4)]))
    assert bow.is_valid
    assert len(bow.geoms) == 2
    assert bow.area == 8.0


def test_only_what_has_an_area_is_kept() -> None:
    mixed = GeometryCollection(
        [LineString([(0, 0), (9, 9)]), Point(1, 1), GeometryCollection([shapely.box(0, 0, 2, 3)]),
         Polygon([(0, 0), (5, 5), (9, 9), (0, 0)]), MultiPolygon([shapely.box(5, 0, 6, 1)])]
    )  # fmt: skip
    assert valid_union(mixed).area == 7.0
    assert valid_union(LineString([(0, 0), (1, 1)])).is_empty
    assert valid_union(Polygon()).is_empty
    assert valid_union(GeometryCollection()).is_empty


def test_a_shape_rounded_to_a_grid_does_not_round_what_comes_after() -> None:
    rounded = shapely.set_precision(shapely.box(0, 0, 4, 3), 1.0)
    assert valid_union(rounded).buffer(-0.25).area == 3.5 * 2.5
    assert simplified(valid_union(rounded), 0.1).buffer(-0.25).area == 3.5 * 2.5


def wavy_ring(seed: int, count: int = 400) -> MultiPolygon:
    noise = np.random.default_rng(seed)
    turns = np.linspace(0, 2 * math.pi, count, endpoint=False)
    outer = 20 + noise.normal(0, 0.05, count)
    inner = 12 + noise.normal(0, 0.05, count)
    around = np.c_[np.cos(turns), np.sin(turns)]
    return MultiPolygon([Polygon(around * outer[:, None], [around * inner[:, None]])])


@given(st.integers(0, 50), st.floats(0.001, 1.0))
def test_a_simplified_outline_stays_valid_and_within_the_tolerance(seed: int, tolerance_mm: float) -> None:
    outline = wavy_ring(seed)
    light = simplified(outline, tolerance_mm)
    assert light.is_valid
    assert len(light.geoms[0].interiors) == 1
    assert shapely.get_num_coordinates(light) <= shapely.get_num_coordinates(outline)
    vertices = shapely.points(shapely.get_coordinates(outline))
    assert shapely.distance(vertices, light.boundary).max() <= tolerance_mm * (1 + 1e-9)


def test_a_light_outline_drops_what_a_square_of_the_tolerance_hides() -> None:
    block = shapely.box(0, 0, 20, 20) - shapely.box(5, 5, 5.5, 5.5) - shapely.box(8, 8, 14, 8.5)
    light = light_outline(valid_union(shapely.union(block, shapely.box(30, 0, 30.6, 0.6))), 1.0)
    assert len(light.geoms) == 1
    assert [tuple(hole.bounds) for hole in light.geoms[0].interiors] == [(8, 8, 14, 8.5)]


@pytest.mark.parametrize("tolerance_mm", [0.5, 5.0, 500.0])
def test_a_light_outline_is_never_empty(tolerance_mm: float) -> None:
    light = light_outline(MultiPolygon([shapely.box(0, 0, 1, 1), shapely.box(3, 0, 6, 3)]), tolerance_mm)
    assert light.area >= 9.0
    assert light.is_valid


def test_an_empty_outline_stays_empty() -> None:
    assert simplified(MultiPolygon(), 1.0).is_empty
    assert light_outline(MultiPolygon(), 1.0).is_empty
