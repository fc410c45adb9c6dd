"""Samples of an outline agree with asking for every point; masks agree with true distances."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from layout_core.packing.fill import FillSheet, MenuItem
from layout_core.packing.no_fit import Ground, Lattice, NoFitMasks
from layout_core.packing.raster import sampled
from layout_core.packing.variants import variants_of
from tests.core.packing.menus import box, crescent, item, ring, sheet

PITCH_MM = 1.0
GAP_MM = 4.0
HALF_STEP_MM = 0.3
"""By how much a mask may be wrong: half a fine step and a little."""


@given(
    turn=st.floats(0, 360),
    x_mm=st.floats(-30, 30),
    shape=st.sampled_from([crescent(20), ring(18, 9), shapely.box(0, 0, 25, 7)]),
)
def test_samples_are_the_points_inside(turn: float, x_mm: float, shape: BaseGeometry) -> None:
    moved = affinity.translate(affinity.rotate(shape, turn), x_mm, 3.3)
    xs, ys = np.meshgrid(np.arange(41) * 1.7 - 30.0, np.arange(37) * 1.7 - 29.0)
    inside = sampled(moved, -30.0, -29.0, 1.7, 41, 37)
    asked = shapely.contains_xy(moved, xs, ys)
    on_edge = shapely.dwithin(shapely.points(xs, ys), moved.boundary, 1e-9)
    assert np.array_equal(inside[~on_edge], asked[~on_edge])


def test_nothing_is_sampled_of_an_outline_beside_the_lattice() -> None:
    assert not sampled(shapely.box(100, 100, 120, 120), 0.0, 0.0, 1.0, 50, 50).any()
    assert sampled(shapely.box(-5, -5, 120, 120), 0.0, 0.0, 1.0, 50, 50).all()


MENU = [item(0, crescent(20)), item(1, ring(18, 9)), item(2, shapely.Polygon([(0, 0), (22, 4), (9, 17)]))]


@pytest.mark.parametrize("fixed", range(7))
def test_masks_bar_what_is_too_near_and_nothing_else(fixed: int) -> None:
    variants = variants_of(MENU)
    masks = NoFitMasks(variants, GAP_MM, PITCH_MM, np.int16)
    columns, rows = masks.reach(fixed)
    rng = np.random.default_rng(1)
    for moved in range(len(variants.all)):
        mask = masks.stack(fixed)[moved]
        for _ in range(60):
            row, column = rng.integers(0, 2 * rows + 1), rng.integers(0, 2 * columns + 1)
            lying = affinity.translate(variants.all[moved].shape, column - columns, row - rows)
            distance_mm = variants.all[fixed].shape.distance(lying)
            if mask[row, column]:
                assert distance_mm < GAP_MM + HALF_STEP_MM
            else:
                assert distance_mm > GAP_MM - HALF_STEP_MM


def test_everything_beyond_a_mask_is_far_enough() -> None:
    variants = variants_of(MENU)
    masks = NoFitMasks(variants, GAP_MM, PITCH_MM, np.int16)
    for number in range(len(variants.all)):
        stack = masks.stack(number)
        assert not stack[:, [0, -1], :].any()
        assert not stack[:, :, [0, -1]].any()


def test_the_ground_bars_what_leaves_the_sheet_or_meets_an_obstacle() -> None:
    on: FillSheet = sheet(90, 70, affinity.translate(crescent(15), 40, 35), gap_mm=GAP_MM, margin_mm=5.0)
    lattice = Lattice(5.0, 5.0, 80.0, 60.0, PITCH_MM)
    ground = Ground(lattice, shapely.union_all(on.obstacles), GAP_MM)
    piece = variants_of([MENU[2]]).all[1]
    barred = ground.barred(piece)
    assert 0 < barred.sum() < barred.size
    for row in range(0, lattice.rows, 3):
        for column in range(0, lattice.columns, 3):
            lying = affinity.translate(piece.shape, 5.0 + column, 5.0 + row)
            inside = shapely.box(5, 5, 85, 65).buffer(1e-6).contains(lying)
            distance_mm = lying.distance(on.obstacles[0])
            if barred[row, column]:
                assert not inside or distance_mm < GAP_MM + HALF_STEP_MM
            else:
                assert inside
                assert distance_mm > GAP_MM - HALF_STEP_MM


def test_turns_that_look_alike_come_once() -> None:
    square, ring_item, moon = box(0, 20, 20), item(1, ring(18, 9)), item(2, crescent(20))
    assert [len(variants_of([each]).all) for each in (square, ring_item, box(0, 20, 10), moon)] == [
        1,
        1,
        2,
        4,
    ]


def test_a_free_item_also_has_the_angles_and_a_barred_one_its_own_turn_only() -> None:
    moon = item(2, crescent(20))
    barred = MenuItem(2, moon.outline, 1.0, 1, 15.0, turns_deg=(0.0,))
    assert len(variants_of([moon], (0.0, 30.0, 60.0)).all) == 12
    assert [variant.turn_deg for variant in variants_of([barred], (0.0, 30.0)).all] == [15.0]
