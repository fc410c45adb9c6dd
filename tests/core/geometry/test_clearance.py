"""Clearance between placed shapes: hand-worked distances, and every answer against brute distances."""

import math
from itertools import combinations

import numpy as np
import pytest
import shapely.affinity
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import MultiPolygon, Polygon

from layout_core.geometry.clearance import Clearance, Gap, cramped_pairs, smallest_gap

SHEET = shapely.box(0, 0, 200, 150)
SMALL = shapely.box(0, 0, 1, 1)


def at(shape: Polygon, x: float, y: float, turn_deg: float = 0.0) -> Polygon:
    return shapely.affinity.translate(shapely.affinity.rotate(shape, turn_deg), x, y)


def blossom(seed: int = 1, vertices: int = 300) -> Polygon:
    """A round shape with six soft petals, about 10 mm across."""
    turns = np.linspace(0, 2 * math.pi, vertices, endpoint=False)
    radii = 5 * (1 + 0.2 * np.sin(6 * turns + seed) + 0.02 * np.sin(50 * turns))
    return Polygon(np.c_[radii * np.cos(turns), radii * np.sin(turns)])


def test_two_squares_three_across_and_four_down_are_five_apart() -> None:
    gap = Clearance({7: at(SMALL, 4, 5)}, None, 20.0).nearest(SMALL)
    assert gap == Gap(5.0, None, 7, (1.0, 1.0), (4.0, 5.0))
    assert cramped_pairs({3: SMALL, 9: at(SMALL, 4, 5)}, 5.5) == (Gap(5.0, 3, 9, (1.0, 1.0), (4.0, 5.0)),)
    assert smallest_gap({9: at(SMALL, 4, 5), 3: SMALL}) == Gap(5.0, 3, 9, (1.0, 1.0), (4.0, 5.0))


def test_two_discs_are_as_far_apart_as_their_centres_less_their_radii() -> None:
    disc = shapely.Point(0, 0).buffer(3, quad_segs=500)
    gap = Clearance({1: at(disc, 8, 6)}, None, 20.0).nearest(disc)
    assert gap is not None
    assert gap.distance_mm == pytest.approx(4.0, abs=1e-4)
    assert gap.from_mm == pytest.approx((2.4, 1.8), abs=0.02)
    assert gap.to_mm == pytest.approx((5.6, 4.2), abs=0.02)


def test_what_lies_beyond_reach_is_not_found() -> None:
    clearance = Clearance({1: at(SMALL, 4, 0)}, SHEET, 2.5)
    assert clearance.nearest(at(SMALL, 50, 50)) is None
    assert Clearance({}, None, 5.0).nearest(SMALL) is None
    assert Clearance({1: at(SMALL, 3.5, 0)}, None, 2.5).nearest(SMALL) is not None


@pytest.mark.parametrize("inner", [SMALL, at(SMALL, 3, 3), at(SMALL, 9.5, 4)])
def test_overlap_is_zero_apart_even_when_one_lies_inside_the_other(inner: Polygon) -> None:
    outer = shapely.box(0, 0, 10, 10)
    for mover, other in ((inner, outer), (outer, inner)):
        gap = Clearance({1: other}, None, 4.0).nearest(mover)
        assert gap is not None
        assert gap.distance_mm == 0.0
        assert gap.from_mm == gap.to_mm
        assert shapely.Point(gap.from_mm).intersects(inner)
        assert not Clearance({1: other}, None, 4.0).is_clear(mover, 0.0)
        assert [pair.distance_mm for pair in cramped_pairs({1: mover, 2: other}, 1.0)] == [0.0]


def test_a_piece_in_a_counter_keeps_its_distance() -> None:
    """True outlines count: a piece may lie in the hole of another."""
    frame = shapely.box(0, 0, 20, 20) - shapely.box(4, 4, 16, 16)
    gap = Clearance({1: frame}, None, 20.0).nearest(at(SMALL, 7, 10))
    assert gap is not None
    assert gap.distance_mm == 3.0
    assert Clearance({1: frame}, None, 20.0).is_clear(at(SMALL, 7, 10), 3.0)
    assert not Clearance({1: frame}, None, 20.0).is_clear(at(SMALL, 7, 10), 3.001)


def test_the_edge_is_a_neighbour_without_a_key() -> None:
    clearance = Clearance({1: at(SMALL, 10, 1)}, SHEET, 6.0)
    tip = Polygon([(0, 0), (1, 2), (-1, 2)])
    assert clearance.nearest(at(tip, 3, 1)) == Gap(1.0, None, None, (3.0, 1.0), (3.0, 0.0))
    near_piece = clearance.nearest(at(SMALL, 8.5, 1))
    assert near_piece is not None
    assert (near_piece.distance_mm, near_piece.second) == (0.5, 1)


@pytest.mark.parametrize(("x", "y"), [(-0.5, 20), (-3, 20), (199.5, 20), (20, 149.2), (300, 300)])
def test_a_piece_that_sticks_out_is_zero_from_the_edge_and_never_clear(x: float, y: float) -> None:
    clearance = Clearance({}, SHEET, 5.0)
    gap = clearance.nearest(at(SMALL, x, y))
    assert gap is not None
    assert (gap.distance_mm, gap.second) == (0.0, None)
    assert not clearance.is_clear(at(SMALL, x, y), 0.0)


def test_a_piece_may_touch_the_edge_and_lie_at_exactly_the_gap() -> None:
    clearance = Clearance({1: at(SMALL, 7.35, 0)}, SHEET, 10.0)
    assert clearance.is_clear(SMALL, 6.35)
    assert not clearance.is_clear(SMALL, 6.3501)
    assert cramped_pairs({1: SMALL, 2: at(SMALL, 7.35, 0)}, 6.35) == ()
    assert len(cramped_pairs({1: SMALL, 2: at(SMALL, 7.35, 0)}, 6.3501)) == 1


def test_touching_pieces_are_clear_of_each_other_at_no_gap() -> None:
    clearance = Clearance({1: at(SMALL, 1, 0)}, None, 1.0)
    assert clearance.is_clear(SMALL, 0.0)
    assert not clearance.is_clear(at(SMALL, 0.01, 0), 0.0)


def test_where_one_of_two_parts_lies_inside_the_point_is_of_both_and_not_of_the_part_outside() -> None:
    around = Polygon([(-10, -10), (10, -10), (10, 10), (-10, 10)])
    for pair in (
        MultiPolygon([at(SMALL, 0, 0), at(SMALL, 30, 0)]),
        MultiPolygon([at(SMALL, 30, 0), at(SMALL, 0, 0)]),
    ):
        (gap,) = cramped_pairs({1: pair, 2: around}, 1.0)
        nearest = Clearance({1: pair}, None, 1.0).nearest(around)
        assert nearest is not None
        for found in (gap, nearest):
            assert pair.distance(shapely.Point(found.from_mm)) < 1e-9
            assert around.distance(shapely.Point(found.from_mm)) < 1e-9


def test_ties_go_to_the_lower_key() -> None:
    sides = {9: at(SMALL, 3, 0), 4: at(SMALL, -3, 0), 6: at(SMALL, 0, 3)}
    for order in ((9, 4, 6), (6, 4, 9), (4, 6, 9)):
        gap = Clearance({key: sides[key] for key in order}, None, 5.0).nearest(SMALL)
        assert gap is not None
        assert gap.second == 4
    row = {key: at(SMALL, 3 * key, 0) for key in (5, 3, 4, 2)}
    tightest = smallest_gap(row)
    assert tightest is not None
    assert (tightest.first, tightest.second) == (2, 3)


def test_fewer_than_two_shapes_have_no_gap() -> None:
    assert smallest_gap({}) is None
    assert smallest_gap({1: SMALL}) is None
    assert cramped_pairs({1: SMALL}, 5.0) == ()
    assert cramped_pairs({}, 5.0) == ()


def test_reach_must_be_a_length() -> None:
    for reach_mm in (-1.0, math.nan, math.inf):
        with pytest.raises(ValueError, match="reach_mm"):
            Clearance({}, None, reach_mm)


PLACES = st.lists(
    st.tuples(st.floats(10, 190), st.floats(10, 140), st.floats(0, 360), st.booleans()),
    min_size=2,
    max_size=9,
)


def laid_out(places: list[tuple[float, float, float, bool]]) -> dict[int, Polygon | MultiPolygon]:
    pair = MultiPolygon([at(SMALL, 0, 0), at(SMALL, 4, 3)])
    return {
        10 + n: at(pair if is_pair else blossom(n), x, y, turn)
        for n, (x, y, turn, is_pair) in enumerate(places)
    }


@settings(max_examples=60)
@given(PLACES)
def test_every_pair_agrees_with_brute_distances(places: list[tuple[float, float, float, bool]]) -> None:
    shapes = laid_out(places)
    brute = {(a, b): shapes[a].distance(shapes[b]) for a, b in combinations(sorted(shapes), 2)}
    close = {pair: distance for pair, distance in brute.items() if distance < 12.0 - 1e-5}
    found = {(gap.first, gap.second): gap for gap in cramped_pairs(shapes, 12.0)}
    assert close.keys() <= found.keys()
    for pair, gap in found.items():
        assert gap.distance_mm == pytest.approx(brute[pair], abs=1e-9)
        assert math.dist(gap.from_mm, gap.to_mm) == pytest.approx(gap.distance_mm, abs=1e-9)
        assert shapes[pair[0]].distance(shapely.Point(gap.from_mm)) < 1e-9
        assert shapes[pair[1]].distance(shapely.Point(gap.to_mm)) < 1e-9
    tightest = smallest_gap(shapes)
    assert tightest is not None
    assert tightest.distance_mm == pytest.approx(min(brute.values()), abs=1e-9)


@settings(max_examples=60)
@given(PLACES, st.floats(10, 190), st.floats(10, 140), st.floats(0.1, 12))
def test_the_nearest_agrees_with_brute_distances(
    places: list[tuple[float, float, float, bool]], x: float, y: float, gap_mm: float
) -> None:
    shapes = laid_out(places)
    mover = at(blossom(99), x, y)
    clearance = Clearance(shapes, SHEET, 12.0)
    to_edge = SHEET.boundary.distance(mover) if SHEET.covers(mover) else 0.0
    brute = min([to_edge, *(shape.distance(mover) for shape in shapes.values())])
    gap = clearance.nearest(mover)
    if gap is None:
        assert brute > 12.0
    else:
        assert gap.distance_mm == pytest.approx(brute, abs=1e-9)
    to_shapes = min(shape.distance(mover) for shape in shapes.values())
    if abs(to_shapes - gap_mm) > 1e-5:
        assert clearance.is_clear(mover, gap_mm) == (SHEET.covers(mover) and to_shapes > gap_mm)
