"""Thin ink and narrow ground: hand-worked shapes, and what the measures must not depend on."""

import math
from collections import Counter

import numpy as np
import pytest
import shapely.affinity
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import MultiPolygon, Polygon

from layout_core.errors import Cancelled
from layout_core.geometry.outline import valid_union
from layout_core.geometry.pose import Pose, to_sheet
from layout_core.geometry.thickness import (
    narrow_gaps,
    pinholes,
    specks,
    sustained_gap_mm,
    sustained_width_mm,
    thin_spots,
)
from layout_core.progress import StopFlag

LIMIT_MM = 0.4
SQUARE = shapely.box(0, 0, 5, 5)
ON_POINT = shapely.affinity.rotate(SQUARE, 45)
DIAGONAL = 5 * math.sqrt(2)


def dumbbell(width_mm: float, length_mm: float) -> MultiPolygon:
    """Two 5 mm squares joined at mid-height by a bar."""
    bar = shapely.box(4, 2.5 - width_mm / 2, 6 + length_mm, 2.5 + width_mm / 2)
    return valid_union(shapely.union_all([SQUARE, bar, shapely.affinity.translate(SQUARE, 5 + length_mm)]))


def wedge(apex_deg: float, length_mm: float = 12.0) -> MultiPolygon:
    half = math.tan(math.radians(apex_deg / 2)) * length_mm
    return MultiPolygon([Polygon([(0, 0), (length_mm, half), (length_mm, -half)])])


def star(points: int = 5) -> MultiPolygon:
    """A star polygon whose points have the pentagram's 36 degrees."""
    turns = np.arange(2 * points) * math.pi / points
    radii = np.where(
        np.arange(2 * points) % 2, 10 * math.cos(math.radians(72)) / math.cos(math.radians(36)), 10
    )
    return MultiPolygon([Polygon(np.c_[radii * np.cos(turns), radii * np.sin(turns)])])


@pytest.mark.parametrize(("length_mm", "kind"), [(3.0, "line"), (1.0, "line"), (0.3, "neck"), (0.05, "neck")])
def test_a_bar_between_solids_is_a_line_once_it_goes_on_for_twice_the_limit(
    length_mm: float, kind: str
) -> None:
    (spot,) = thin_spots(dumbbell(0.25, length_mm), LIMIT_MM)
    assert spot.kind == kind
    assert spot.width_mm == pytest.approx(0.25, abs=0.02)
    assert spot.where_mm == pytest.approx((5 + length_mm / 2, 2.5), abs=max(length_mm, 0.2))


@pytest.mark.parametrize("width_mm", [0.005, 0.02, 0.05, 0.1])
def test_however_fine_a_hairline_or_slit_between_solids_is_it_is_found(width_mm: float) -> None:
    (line,) = thin_spots(dumbbell(width_mm, 8.0), LIMIT_MM)
    assert line.kind == "line"
    assert line.width_mm == pytest.approx(width_mm, rel=0.01)
    below = shapely.affinity.translate(SQUARE, 0, 5 + width_mm)
    (slit,) = narrow_gaps(MultiPolygon([SQUARE, below]), LIMIT_MM)
    assert slit.kind == "sliver"
    assert slit.width_mm == pytest.approx(width_mm, rel=0.01)


@pytest.mark.parametrize(
    ("apex_deg", "kinds"), [(10, ["line"]), (27, ["line"]), (30, []), (36, []), (60, [])]
)
def test_a_taper_is_a_line_up_to_28_degrees(apex_deg: float, kinds: list[str]) -> None:
    """A straight taper of apex A is below t for t / (2 tan(A/2)): that is 2 t at A = 2 atan(1/4) = 28.07°."""
    assert [spot.kind for spot in thin_spots(wedge(apex_deg), LIMIT_MM)] == kinds


def test_corners_and_star_points_are_not_reported() -> None:
    for shape in (MultiPolygon([SQUARE]), star(), wedge(45), wedge(90)):
        assert thin_spots(shape, LIMIT_MM) == ()
        assert narrow_gaps(shape, LIMIT_MM) == ()
        assert sustained_width_mm(shape, LIMIT_MM) is None
        assert sustained_gap_mm(shape, LIMIT_MM) is None


@pytest.mark.parametrize("chord_mm", [0.02, 0.05, 0.1, 0.2, 0.3, 0.38])
@pytest.mark.parametrize("is_loop", [False, True])
def test_a_waist_without_length_is_a_neck_as_wide_as_its_chord(chord_mm: float, is_loop: bool) -> None:
    """Also where the two halves hang together elsewhere, so that the waist parts nothing."""
    shape = shapely.union(ON_POINT, shapely.affinity.translate(ON_POINT, DIAGONAL - chord_mm))
    if is_loop:
        far = DIAGONAL * 1.5
        bars = [shapely.box(2, 2.5, 3, 9), shapely.box(far - 1, 2.5, far, 9), shapely.box(2, 8, far, 9)]
        shape = shapely.union_all([shape, *bars])
    (spot,) = thin_spots(valid_union(shape), LIMIT_MM)
    assert spot.kind == "neck"
    assert spot.width_mm == pytest.approx(chord_mm, abs=1e-6)


@pytest.mark.parametrize("gap_mm", [0.02, 0.1, 0.2, 0.3, 0.38])
def test_corners_that_nearly_touch_are_a_bridge_as_wide_as_their_gap(gap_mm: float) -> None:
    pair = MultiPolygon([ON_POINT, shapely.affinity.translate(ON_POINT, DIAGONAL + gap_mm)])
    (spot,) = narrow_gaps(pair, LIMIT_MM)
    assert spot.kind == "bridge"
    assert spot.width_mm == pytest.approx(gap_mm, abs=1e-6)
    assert thin_spots(pair, LIMIT_MM) == ()


def test_a_dent_in_thick_ink_is_no_waist() -> None:
    dent = SQUARE - Polygon([(2, 0), (2.5, 0.15), (3, 0)])
    assert thin_spots(valid_union(dent), LIMIT_MM) == ()


def test_specks_and_pinholes_are_as_wide_as_the_disc_that_fits() -> None:
    dot = shapely.Point(8, 2).buffer(0.15, quad_segs=32)
    (speck,) = thin_spots(MultiPolygon([SQUARE, dot]), LIMIT_MM)
    (pinhole,) = narrow_gaps(valid_union(SQUARE - shapely.affinity.translate(dot, -6)), LIMIT_MM)
    assert (speck.kind, pinhole.kind) == ("speck", "pinhole")
    # fine tracing is lightened by up to 1/140 of the limit first
    assert speck.width_mm == pytest.approx(0.3, abs=LIMIT_MM / 140)
    assert pinhole.width_mm == pytest.approx(0.3, abs=LIMIT_MM / 140)
    assert speck.where_mm == pytest.approx((8, 2), abs=0.1)


def test_a_dot_is_a_speck_below_the_diameter_and_a_hairline_never() -> None:
    dots = MultiPolygon(
        [shapely.Point(3 * n, 0).buffer(d / 2, 64) for n, d in enumerate((0.2, 0.5, 0.7, 0.9))]
    )
    assert [round(spot.width_mm, 2) for spot in specks(dots, 0.75)] == [0.2, 0.5, 0.7]
    assert specks(MultiPolygon([shapely.box(0, 0, 6, 0.1)]), 0.75) == ()
    block = shapely.box(-2, -2, 20, 2)
    assert [round(spot.width_mm, 2) for spot in pinholes(valid_union(block - dots), 0.75)] == [0.2, 0.5, 0.7]
    assert pinholes(valid_union(block - shapely.box(0, 0, 6, 0.1)), 0.75) == ()
    assert pinholes(valid_union(block), 0.75) == ()


def test_a_slit_is_a_sliver_and_a_frame_has_none() -> None:
    slit = valid_union(SQUARE - shapely.box(1, 2, 4, 2.2))
    (spot,) = narrow_gaps(slit, LIMIT_MM)
    assert (spot.kind, spot.width_mm) == ("sliver", pytest.approx(0.2))
    assert sustained_gap_mm(slit, LIMIT_MM) == pytest.approx(0.2, abs=LIMIT_MM / 100)
    assert narrow_gaps(valid_union(SQUARE - shapely.box(1, 1, 4, 4)), LIMIT_MM) == ()


def test_copies_are_each_reported_in_their_own_place() -> None:
    """Repeated shapes are measured once; the answer is as if each had been measured."""
    one = dumbbell(0.25, 0.3)
    places = [(0.0, 0.0), (40.1, 0.3), (-17.7, 52.9), (1000.3, -333.3)]
    copies = MultiPolygon([part for x, y in places for part in shapely.affinity.translate(one, x, y).geoms])
    (alone,) = thin_spots(one, LIMIT_MM)
    spots = {spot.where_mm: spot for spot in thin_spots(copies, LIMIT_MM)}
    assert len(spots) == len(places)
    for x, y in places:
        near = min(spots, key=lambda at: math.dist(at, (alone.where_mm[0] + x, alone.where_mm[1] + y)))
        assert near == pytest.approx((alone.where_mm[0] + x, alone.where_mm[1] + y), abs=1e-5)
        assert spots[near].width_mm == pytest.approx(alone.width_mm, abs=1e-5)
        assert shapely.equals_exact(
            spots[near].shape.normalize(), shapely.affinity.translate(alone.shape, x, y).normalize(), 1e-5
        )


def test_shapes_that_differ_a_little_are_not_taken_for_repeats() -> None:
    narrow = shapely.affinity.translate(dumbbell(0.2, 2.0), 0, 20)
    pair = MultiPolygon([*dumbbell(0.201, 2.0).geoms, *narrow.geoms])
    assert [round(spot.width_mm, 4) for spot in thin_spots(pair, LIMIT_MM)] == pytest.approx(
        [0.2, 0.201], abs=0.01
    )
    widths = [spot.width_mm for spot in thin_spots(pair, LIMIT_MM)]
    assert widths[1] - widths[0] == pytest.approx(0.001, rel=0.2)


def test_dense_tracing_does_not_change_the_class() -> None:
    """An edge with a vertex every 0.02 mm and noise of 0.004 mm: no flag on a thick disc, one on a bar."""
    noise = np.random.default_rng(7)
    turns = np.linspace(0, 2 * math.pi, 2000, endpoint=False)
    radii = 6 + noise.normal(0, 0.004, len(turns))
    disc = Polygon(np.c_[radii * np.cos(turns), radii * np.sin(turns)])
    assert thin_spots(valid_union(disc), LIMIT_MM) == ()
    along = np.arange(0, 8, 0.02)
    upper = np.c_[along, 0.15 + noise.normal(0, 0.004, len(along))]
    lower = np.c_[along, -0.15 + noise.normal(0, 0.004, len(along))][::-1]
    bar = valid_union(Polygon(np.r_[upper, lower]))
    assert [spot.kind for spot in thin_spots(bar, LIMIT_MM)] == ["line"]
    assert sustained_width_mm(bar, LIMIT_MM) == pytest.approx(0.3, abs=0.02)


def many_cornered(cut: bool) -> MultiPolygon:
    """A large gear of 3000 vertices with three spikes 0.2, 0.25 and 0.3 mm wide, or with slits as wide."""
    turns = np.linspace(0, 2 * math.pi, 3000, endpoint=False)
    radii = 60 + 3 * np.sin(60 * turns)
    gear = Polygon(np.c_[radii * np.cos(turns), radii * np.sin(turns)])
    middle, length = (35, 4) if cut else (66, 8)
    bars = [shapely.box(middle - length, -w / 2, middle + length, w / 2) for w in (0.3, 0.2, 0.25)]
    turned = [shapely.affinity.rotate(bar, 100 * n, origin=(0, 0)) for n, bar in enumerate(bars)]
    return valid_union(
        shapely.difference(gear, shapely.union_all(turned)) if cut else shapely.union_all([gear, *turned])
    )


def test_the_thinnest_of_several_lines_of_one_large_part_is_sustained() -> None:
    assert [spot.kind for spot in thin_spots(many_cornered(False), LIMIT_MM)] == ["line"] * 3
    assert sustained_width_mm(many_cornered(False), LIMIT_MM) == pytest.approx(0.2, abs=LIMIT_MM / 100)
    assert [spot.kind for spot in narrow_gaps(many_cornered(True), LIMIT_MM)] == ["sliver"] * 3
    assert sustained_gap_mm(many_cornered(True), LIMIT_MM) == pytest.approx(0.2, abs=LIMIT_MM / 100)


SHAPES = st.sampled_from(
    [dumbbell(0.25, 2.0), dumbbell(0.25, 0.2), wedge(12), star(),
     valid_union(SQUARE - shapely.box(1, 2, 4, 2.2)),
     MultiPolygon([ON_POINT, shapely.affinity.translate(ON_POINT, DIAGONAL + 0.2)]),
     MultiPolygon([shapely.box(0, 0, 6, 0.3), shapely.box(0, 0.5, 6, 3), shapely.Point(9, 1).buffer(0.1)])]
)  # fmt: skip


@settings(max_examples=40)
@given(SHAPES, st.floats(-300, 300), st.floats(-300, 300), st.floats(0, 360))
def test_measures_do_not_depend_on_pose(shape: MultiPolygon, x: float, y: float, turn_deg: float) -> None:
    laid = to_sheet(shape, 10, 10, Pose(x, y, turn_deg))
    for spots_of in (thin_spots, narrow_gaps):
        here, there = spots_of(shape, LIMIT_MM), spots_of(laid, LIMIT_MM)
        assert Counter(spot.kind for spot in here) == Counter(spot.kind for spot in there)
        assert [s.width_mm for s in here] == pytest.approx([s.width_mm for s in there], abs=LIMIT_MM / 50)
    for sustained_of in (sustained_width_mm, sustained_gap_mm):
        expected = sustained_of(shape, LIMIT_MM)
        if expected is None:
            assert sustained_of(laid, LIMIT_MM) is None
        else:
            assert sustained_of(laid, LIMIT_MM) == pytest.approx(expected, abs=LIMIT_MM / 70)


@settings(max_examples=30)
@given(SHAPES, st.floats(0.05, 30))
def test_measures_scale_with_the_shape(shape: MultiPolygon, scale: float) -> None:
    large = shapely.transform(shape, lambda xy: xy * scale)
    for spots_of in (thin_spots, narrow_gaps):
        here, there = spots_of(shape, LIMIT_MM), spots_of(large, LIMIT_MM * scale)
        assert [spot.kind for spot in here] == [spot.kind for spot in there]
        widths = [spot.width_mm / scale for spot in there]
        assert [spot.width_mm for spot in here] == pytest.approx(widths, abs=LIMIT_MM / 1000)


@settings(max_examples=20)
@given(st.permutations(range(8)))
def test_the_answer_does_not_depend_on_the_order_of_parts(order: list[int]) -> None:
    rows = [shapely.box(0, y, 6, y + 0.3 + 0.02 * n) for n, y in enumerate(np.arange(0, 4.8, 0.6))]
    here = MultiPolygon(rows)
    there = MultiPolygon([rows[at] for at in order])
    for spots_of in (thin_spots, narrow_gaps):
        rounded = [
            [(s.kind, round(s.width_mm, 6), round(s.where_mm[1], 6)) for s in spots_of(shape, LIMIT_MM)]
            for shape in (here, there)
        ]
        assert rounded[0] == rounded[1]
        assert len(rounded[0]) > 3


@settings(max_examples=25)
@given(SHAPES)
def test_a_gap_is_ink_with_the_colours_swapped(shape: MultiPolygon) -> None:
    ground = valid_union(shapely.box(*shape.bounds).buffer(3, join_style="mitre") - shape)
    assert Counter(round(spot.width_mm, 3) for spot in narrow_gaps(shape, LIMIT_MM)) == Counter(
        round(spot.width_mm, 3) for spot in thin_spots(ground, LIMIT_MM)
    )
    ours, swapped = sustained_gap_mm(shape, LIMIT_MM), sustained_width_mm(ground, LIMIT_MM)
    assert ours == (swapped if swapped is None else pytest.approx(swapped, abs=LIMIT_MM / 70))


def test_nothing_is_thin_in_an_empty_outline() -> None:
    empty = MultiPolygon()
    assert (
        thin_spots(empty, 1.0) == narrow_gaps(empty, 1.0) == specks(empty, 1.0) == pinholes(empty, 1.0) == ()
    )
    assert sustained_width_mm(empty, 1.0) is None
    assert sustained_gap_mm(empty, 1.0) is None


@pytest.mark.parametrize("limit_mm", [0.0, -1.0, math.nan, math.inf])
def test_a_limit_must_be_above_zero(limit_mm: float) -> None:
    for measure in (thin_spots, narrow_gaps, sustained_width_mm, sustained_gap_mm, specks, pinholes):
        with pytest.raises(ValueError, match="above 0"):
            measure(MultiPolygon([SQUARE]), limit_mm)


def test_stop_ends_the_measuring() -> None:
    flag = StopFlag()
    flag.stop()
    with pytest.raises(Cancelled):
        thin_spots(dumbbell(0.25, 2.0), LIMIT_MM, flag.tick)
    with pytest.raises(Cancelled):
        narrow_gaps(dumbbell(0.25, 2.0), LIMIT_MM, flag.tick)
