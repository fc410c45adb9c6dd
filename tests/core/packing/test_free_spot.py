"""The first free spot from the top keeps gap and margin, or says that there is none."""

from dataclasses import replace

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from layout_core.geometry.pose import Pose
from layout_core.job import edits
from layout_core.packing.free_spot import free_spot
from layout_core.packing.on_sheet import placed_outlines
from layout_core.units import mm
from tests.make import make_artwork, make_job


def test_empty_sheet_gives_the_top_left_corner() -> None:
    job = make_job([make_artwork(shapely.box(0, 0, 50, 40))])
    pose = free_spot(job, 1, 101)
    assert pose is not None
    assert (pose.x_mm, pose.y_mm, pose.turn_deg) == pytest.approx((25.0, 20.0, 0.0))


def test_margin_is_kept() -> None:
    job = edits.change_sheet(make_job([make_artwork(shapely.box(0, 0, 50, 40))]), 1, margin_mm=10.0)
    pose = free_spot(job, 1, 101)
    assert pose is not None
    assert (pose.x_mm, pose.y_mm) == pytest.approx((35.0, 30.0))


def test_wanted_turn_is_kept() -> None:
    job = edits.change_piece(make_job([make_artwork(shapely.box(0, 0, 50, 40))]), 101, turn_deg=90.0)
    pose = free_spot(job, 1, 101)
    assert pose is not None
    assert (pose.x_mm, pose.y_mm, pose.turn_deg) == pytest.approx((20.0, 25.0, 90.0))


def test_next_to_a_piece_the_gap_is_kept_to_a_grid_step() -> None:
    """50 mm wide at the corner, gap 6.35 mm: the next begins at 56.35 mm, at most 1/500 in later."""
    job = make_job([make_artwork(shapely.box(0, 0, 50, 40))], poses=[(0, Pose(25, 20))])
    pose = free_spot(job, 1, 101)
    assert pose is not None
    assert mm(0.25) <= pose.x_mm - 25.0 - 50.0 <= mm(0.25) + mm(0.002)
    assert pose.y_mm == pytest.approx(20.0)


def test_full_sheet_has_no_spot() -> None:
    job = make_job([make_artwork(shapely.box(0, 0, 200, 300))], poses=[(0, Pose(140, 200))])
    assert free_spot(job, 1, 101) is None


def test_piece_wider_than_the_sheet_has_no_spot_though_it_would_fit_turned() -> None:
    job = make_job([make_artwork(shapely.box(0, 0, 300, 40))])
    assert free_spot(job, 1, 101) is None
    turned = edits.change_piece(job, 101, turn_deg=90.0)
    assert free_spot(turned, 1, 101) is not None


@given(
    st.lists(
        st.tuples(st.floats(20, 260), st.floats(20, 450), st.sampled_from([0.0, 37.0, 90.0])), max_size=8
    ),
    st.sampled_from([0.0, 30.0, 90.0]),
)
def test_spot_keeps_gap_and_margin_on_true_outlines(
    placed: list[tuple[float, float, float]], turn_deg: float
) -> None:
    shape = shapely.Point(0, 0).buffer(20).difference(shapely.box(0, 0, 30, 30))
    job = make_job([make_artwork(shape)], poses=[(0, Pose(*pose)) for pose in placed])
    job = edits.change_piece(edits.change_sheet(job, 1, margin_mm=3.0), 101, turn_deg=turn_deg)
    pose = free_spot(job, 1, 101)
    if pose is None:
        return
    new_id = job.next_id
    laid = edits.place_piece(job, 1, 101, pose)
    outlines = placed_outlines(laid, laid.sheet(1))
    added = outlines.pop(new_id)
    sheet = laid.sheet(1)
    inner = shapely.box(3.0, 3.0, sheet.width_mm - 3.0, sheet.length_mm - 3.0)
    assert inner.buffer(1e-6).covers(added)
    assert all(added.distance(other) >= sheet.gap_mm - 1e-6 for other in outlines.values())
    assert replace(laid, sheets=job.sheets, next_id=job.next_id) == job
