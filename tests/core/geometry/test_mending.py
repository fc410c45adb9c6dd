"""Thin ink drawn wide enough, narrow gaps opened: shapes with known answers, and an outside check."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, MultiPolygon, Point, Polygon, box
from shapely.affinity import rotate
from shapely.geometry.base import BaseGeometry

from layout_core.errors import Cancelled
from layout_core.geometry.mending import closed, opened, thickened
from layout_core.geometry.outline import valid_union
from layout_core.geometry.thickness import firm_limit_mm, narrow_gaps, thin_spots
from layout_core.progress import StopFlag
from layout_core.units import mm
from tests.core.geometry.rule_check import sustained_by_rule_mm
from tests.core.geometry.weight_shapes import WeightShape, load_weight_shapes

LIMIT_MM = mm(0.020)
OVERSHOOT = 1.10
"""No stroke may come out wider than this times the limit."""

EXACT = 1.0 - 1.0 / 140.0
"""Widths are measured as exactly as this; the ring that is just at the limit is no finding."""

INK_SHAPES = [shape for shape in load_weight_shapes() if shape.is_ink]
GROUND_SHAPES = [shape for shape in load_weight_shapes() if not shape.is_ink]


def outline_of(*shapes: BaseGeometry) -> MultiPolygon:
    return valid_union(shapely.union_all(list(shapes)))


def faults(outline: MultiPolygon, limit_mm: float = LIMIT_MM) -> list[str]:
    spots = thin_spots(outline, firm_limit_mm(limit_mm))
    return [spot.kind for spot in spots if spot.kind in ("line", "neck")]


def gap_faults(outline: MultiPolygon, limit_mm: float) -> list[str]:
    spots = narrow_gaps(outline, firm_limit_mm(limit_mm))
    return [spot.kind for spot in spots if spot.kind in ("sliver", "bridge")]


def star(points: int, outer_mm: float, inner_mm: float) -> Polygon:
    angles = np.arange(2 * points) * math.pi / points
    radii = np.where(np.arange(2 * points) % 2 == 0, outer_mm, inner_mm)
    return Polygon(np.stack((radii * np.cos(angles), radii * np.sin(angles)), axis=1))


# --- thickened -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("width_in", [0.001, 0.004, 0.008, 0.012, 0.016, 0.019])
def test_a_bar_comes_out_as_wide_as_the_limit_and_no_longer(width_in: float) -> None:
    bar = outline_of(box(0, 0, 10, mm(width_in)))
    thick = thickened(bar, LIMIT_MM)
    min_x, min_y, max_x, max_y = thick.bounds
    assert LIMIT_MM <= max_y - min_y <= OVERSHOOT * LIMIT_MM
    assert max_x - min_x <= 10 + 0.35 * LIMIT_MM, "only the corners of the ends are covered"
    assert sustained_by_rule_mm(thick, firm_limit_mm(LIMIT_MM), True) is None


@pytest.mark.parametrize("width_in", [0.0199, 0.020, 0.0201, 0.030])
def test_a_bar_within_the_tolerance_is_not_touched(width_in: float) -> None:
    bar = outline_of(box(0, 0, 10, mm(width_in)))
    assert thickened(bar, LIMIT_MM) is bar


@pytest.mark.parametrize("shape", INK_SHAPES, ids=lambda shape: shape.name)
def test_no_check_shape_has_a_thin_line_left(shape: WeightShape) -> None:
    """The shapes are the published table's; lines are looked for by klayout's rule check too."""
    limit = shape.limit_mm
    thick = thickened(shape.outline, limit)
    assert thick.is_valid
    assert faults(thick, limit) == []
    if shape.expected != "ok":
        least_mm = firm_limit_mm(limit) * EXACT
        assert thick.is_empty or sustained_by_rule_mm(thick, least_mm, True) is None
    assert shapely.difference(shape.outline, thick).area <= 1e-9 * shape.outline.area, "ink is only added"
    added = shapely.difference(thick, shape.outline)
    assert shapely.difference(added, shape.outline.buffer(OVERSHOOT * limit / 2.0)).is_empty


def test_a_taper_ends_where_it_ended_and_is_as_wide_as_the_limit() -> None:
    taper = outline_of(Polygon([(0, -0.5), (10, 0), (0, 0.5)]))
    thick = thickened(taper, LIMIT_MM)
    assert thick.bounds == pytest.approx(taper.bounds, abs=0.05 * LIMIT_MM)
    across = thick.intersection(LineString([(9, -2), (9, 2)])).length
    assert LIMIT_MM <= across <= OVERSHOOT * LIMIT_MM


def test_a_waist_becomes_a_band_of_the_limit() -> None:
    bow = outline_of(Polygon([(0, 0), (4, 1.9), (8, 0), (8, 4), (4, 2.1), (0, 4)]))
    thick = thickened(bow, LIMIT_MM)
    across = thick.intersection(LineString([(4, 0), (4, 4)])).length
    assert LIMIT_MM <= across <= OVERSHOOT * LIMIT_MM
    assert thick.bounds == bow.bounds


def test_a_ring_is_thickened_to_both_sides() -> None:
    ring = outline_of(Point(0, 0).buffer(5, quad_segs=64).difference(Point(0, 0).buffer(4.8, quad_segs=64)))
    thick = thickened(ring, LIMIT_MM)
    assert len(thick.geoms) == len(thick.geoms[0].interiors) == 1
    inside = Polygon(thick.geoms[0].interiors[0]).bounds[2]
    assert LIMIT_MM <= thick.bounds[2] - inside <= OVERSHOOT * LIMIT_MM
    assert (thick.bounds[2] + inside) / 2.0 == pytest.approx(4.9, abs=0.02)


@pytest.mark.parametrize("shape", [star(5, 4, 1.6), star(12, 4, 2.6), box(0, 0, 3, 3), Point(0, 0).buffer(2)])
def test_corners_and_points_of_bold_shapes_stay(shape: Polygon) -> None:
    outline = outline_of(shape)
    assert thickened(outline, LIMIT_MM) is outline


def test_what_is_bold_stays_to_the_last_bit() -> None:
    block, far = box(0, 0, 5, 5), star(5, 3, 1.2)
    outline = MultiPolygon([block, shapely.transform(far, lambda xy: xy + 20), box(0, 10, 8, 10.2)])
    thick = thickened(outline, LIMIT_MM)
    kept = {part.wkb for part in thick.geoms}
    assert {outline.geoms[0].wkb, outline.geoms[1].wkb} <= kept
    assert outline.geoms[2].wkb not in kept


def test_a_bold_part_with_a_hairline_keeps_its_other_corners() -> None:
    body = [(0.0, 0.0), (5.0, 0.0), (5.0, 5.0), (0.0, 5.0)]
    outline = outline_of(Polygon(body), box(5, 2.4, 12, 2.6))
    thick = shapely.get_coordinates(thickened(outline, LIMIT_MM))
    assert {tuple(point) for point in thick.tolist()} >= set(body)


def test_hairlines_in_a_net_stay_a_net() -> None:
    lines = [LineString([(0, n), (12, n)]).buffer(0.1) for n in range(0, 13, 3)]
    lines += [LineString([(n, 0), (n, 12)]).buffer(0.1) for n in range(0, 13, 3)]
    net = outline_of(*lines)
    thick = thickened(net, LIMIT_MM)
    assert len(thick.geoms) == 1
    assert len(thick.geoms[0].interiors) == len(net.geoms[0].interiors) == 16
    assert faults(thick) == []


def test_a_part_that_is_a_dot_is_left_to_the_specks() -> None:
    dot = outline_of(box(0, 0, 0.3, 0.3))
    assert thickened(dot, LIMIT_MM) is dot


def test_twice_is_no_more_than_once() -> None:
    zigzag = outline_of(LineString([(0, 0), (3, 4), (6, 0), (9, 4)]).buffer(0.1))
    once = thickened(zigzag, LIMIT_MM)
    assert thickened(once, LIMIT_MM) is once


@pytest.mark.parametrize("turn_deg", [17.0, 90.0, 143.0])
def test_the_turn_of_the_art_makes_no_difference(turn_deg: float) -> None:
    outline = outline_of(
        LineString([(0, 0), (3, 4), (6, 0), (9, 4)]).buffer(0.12), star(7, 2, 0.3), box(-6, 3, -1, 3.3)
    )
    straight = thickened(outline, LIMIT_MM)
    turned = thickened(valid_union(rotate(outline, turn_deg, origin=(0, 0))), LIMIT_MM)
    back = rotate(turned, -turn_deg, origin=(0, 0))
    off = shapely.symmetric_difference(straight, back)
    assert off.area < 0.01 * straight.area
    assert shapely.difference(back, straight.buffer(0.06 * LIMIT_MM)).is_empty
    assert shapely.difference(straight, back.buffer(0.06 * LIMIT_MM)).is_empty


points = st.tuples(st.floats(0, 30), st.floats(0, 30))


@settings(max_examples=25)
@given(
    strokes=st.lists(st.lists(points, min_size=2, max_size=4), min_size=1, max_size=4),
    half_mm=st.floats(0.02, 0.4),
    blocks=st.lists(points, max_size=2),
)
def test_any_drawing_comes_out_valid_bold_and_stays_so(
    strokes: list[list[tuple[float, float]]], half_mm: float, blocks: list[tuple[float, float]]
) -> None:
    shapes = [LineString(stroke).buffer(half_mm) for stroke in strokes]
    outline = outline_of(*shapes, *(box(x, y, x + 4, y + 3) for x, y in blocks))
    thick = thickened(outline, LIMIT_MM)
    assert thick.is_valid
    assert faults(thick) == []
    assert shapely.difference(outline, thick).area < 1e-6
    reach = OVERSHOOT * LIMIT_MM / 2.0
    assert shapely.difference(thick, outline.buffer(reach)).area < 1e-9
    again = thickened(thick, LIMIT_MM)
    assert shapely.symmetric_difference(again, thick).area < 1e-6


# --- opened and closed ---------------------------------------------------------------------------------

GAP_MM = mm(0.028)


@pytest.mark.parametrize("width_in", [0.0005, 0.002, 0.005, 0.010, 0.020, 0.026])
def test_a_gap_between_blocks_comes_out_as_wide_as_the_limit(width_in: float) -> None:
    pair = outline_of(box(0, 0, 10, 5), box(0, 5 + mm(width_in), 10, 10))
    apart = opened(pair, GAP_MM)
    upper, lower = sorted(apart.geoms, key=lambda part: part.bounds[1])
    gap_mm = lower.bounds[1] - upper.bounds[3]
    middle = apart.intersection(LineString([(5, 0), (5, 10)]))
    assert GAP_MM <= 10 - middle.length <= OVERSHOOT * GAP_MM
    assert gap_mm <= OVERSHOOT * GAP_MM
    assert sustained_by_rule_mm(apart, firm_limit_mm(GAP_MM), False) is None
    assert shapely.difference(apart, pair).area < 1e-9, "ink is only taken"


@pytest.mark.parametrize("width_in", [0.0279, 0.028, 0.040])
def test_a_gap_within_the_tolerance_is_not_touched(width_in: float) -> None:
    pair = outline_of(box(0, 0, 10, 5), box(0, 5 + mm(width_in), 10, 10))
    assert opened(pair, GAP_MM) is pair


@pytest.mark.parametrize("shape", GROUND_SHAPES, ids=lambda shape: shape.name)
def test_no_check_shape_has_a_narrow_gap_left(shape: WeightShape) -> None:
    apart = opened(shape.outline, shape.limit_mm)
    assert apart.is_valid
    assert gap_faults(apart, shape.limit_mm) == []
    assert shapely.difference(apart, shape.outline).area < 1e-9


def test_a_slit_in_a_block_gets_wider_but_no_longer() -> None:
    slit = outline_of(box(0, 0, 10, 10).difference(box(2, 4.9, 8, 5.1)))
    wide = opened(slit, GAP_MM)
    min_x, min_y, max_x, max_y = Polygon(wide.geoms[0].interiors[0]).bounds
    assert GAP_MM <= max_y - min_y <= OVERSHOOT * GAP_MM
    assert max_x - min_x <= 6 + 0.35 * GAP_MM


def test_ink_beside_a_gap_keeps_the_width_that_is_asked_for() -> None:
    """Three strokes of 0.024 in, 0.010 in apart: each may give 0.002 in on each side."""
    pitch = mm(0.034)
    hatch = outline_of(*(box(0, n * pitch, 12, n * pitch + mm(0.024)) for n in range(3)))
    apart = opened(hatch, GAP_MM, LIMIT_MM)
    assert len(apart.geoms) == 3
    assert faults(apart) == []
    middle = sorted(apart.geoms, key=lambda part: part.bounds[1])[1]
    across = middle.intersection(LineString([(6, -1), (6, 5)])).length
    assert LIMIT_MM <= across <= OVERSHOOT * LIMIT_MM, "the middle stroke gives what it can"
    assert middle.bounds[2] - middle.bounds[0] > 12 - 0.5 * LIMIT_MM, "and loses nothing of its length"


def test_strokes_with_nothing_to_spare_stay_whole() -> None:
    pitch = mm(0.026)
    hatch = outline_of(*(box(0, n * pitch, 12, n * pitch + LIMIT_MM) for n in range(4)))
    apart = opened(hatch, GAP_MM, LIMIT_MM)
    assert len(apart.geoms) == 4
    assert faults(apart) == []
    inner = sorted(apart.geoms, key=lambda part: part.bounds[1])[1:3]
    assert all(part.bounds[2] - part.bounds[0] > 12 - 0.5 * LIMIT_MM for part in inner)


def test_filling_gaps_joins_what_is_too_close_and_nothing_else() -> None:
    outline = outline_of(box(0, 0, 10, 5), box(0, 5.2, 10, 10), box(0, 14, 10, 16))
    joined = closed(outline, GAP_MM)
    assert len(joined.geoms) == 2
    assert gap_faults(joined, GAP_MM) == []
    assert joined.area == pytest.approx(outline.area + 10 * 0.2, rel=0.01)
    assert outline.geoms[2].wkb in {part.wkb for part in joined.geoms}


def test_where_no_gap_is_narrow_filling_changes_nothing() -> None:
    outline = outline_of(box(0, 0, 10, 5), box(0, 8, 10, 12))
    assert closed(outline, GAP_MM) is outline


# --- limits and stopping -------------------------------------------------------------------------------


@pytest.mark.parametrize("limit_mm", [0.0, -1.0, math.nan, math.inf])
def test_a_limit_that_is_none_is_refused(limit_mm: float) -> None:
    outline = outline_of(box(0, 0, 5, 5))
    for repair in (thickened, opened, closed):
        with pytest.raises(ValueError, match="limit_mm must be above 0"):
            repair(outline, limit_mm)


def test_an_empty_outline_stays_empty() -> None:
    for repair in (thickened, opened, closed):
        assert repair(MultiPolygon(), 0.5).is_empty


def test_long_repairs_can_be_stopped() -> None:
    flag = StopFlag()
    flag.stop()
    bars = outline_of(*(box(0, n, 10, n + 0.2) for n in range(10)))
    with pytest.raises(Cancelled):
        thickened(bars, LIMIT_MM, flag.tick)
