"""Axes, origin and turning sense."""

import math

import pytest
import shapely.affinity
from hypothesis import given
from hypothesis import strategies as st

from layout_core.geometry.pose import Pose, at_width, cos_sin, point_to_sheet, size_mm, to_sheet

ALONG = st.floats(-500.0, 500.0)
TURNS = st.floats(-720.0, 720.0)
FLAG = shapely.Polygon([(0, 0), (30, 0), (30, 10), (10, 10), (10, 20), (0, 20)])
"""An L, 30 wide and 20 high; seen with y down, its notch is at the bottom right."""


def test_an_unturned_piece_is_centred_on_its_pose() -> None:
    assert to_sheet(FLAG, 30, 20, Pose(100, 50)).bounds == (85, 40, 115, 60)


def test_a_quarter_turn_is_clockwise_as_seen() -> None:
    # top-left goes to top-right when the page turns clockwise, y pointing down
    assert point_to_sheet((0, 0), 30, 20, Pose(100, 50, 90)) == (110, 35)
    assert point_to_sheet((30, 0), 30, 20, Pose(100, 50, 90)) == (110, 65)
    assert to_sheet(FLAG, 30, 20, Pose(100, 50, 90)).bounds == (90, 35, 110, 65)


@pytest.mark.parametrize(
    ("turn_deg", "expected"),
    [(0, (1, 0)), (90, (0, 1)), (180, (-1, 0)), (270, (0, -1)), (-90, (0, -1)), (450, (0, 1)), (360, (1, 0))],
)
def test_quarter_turns_are_exact(turn_deg: float, expected: tuple[float, float]) -> None:
    assert cos_sin(turn_deg) == expected


@given(TURNS)
def test_cos_sin_agrees_with_the_library(turn_deg: float) -> None:
    angle = math.radians(turn_deg)
    assert cos_sin(turn_deg) == pytest.approx((math.cos(angle), math.sin(angle)), abs=1e-12)


@given(ALONG, ALONG, TURNS)
def test_a_pose_keeps_area_length_and_handedness(x: float, y: float, turn_deg: float) -> None:
    laid = to_sheet(FLAG, 30, 20, Pose(x, y, turn_deg))
    assert laid.area == pytest.approx(FLAG.area)
    assert laid.length == pytest.approx(FLAG.length)
    assert laid.exterior.is_ccw == FLAG.exterior.is_ccw


@given(ALONG, ALONG, TURNS)
def test_the_centre_stays_where_the_pose_says(x: float, y: float, turn_deg: float) -> None:
    assert point_to_sheet((15, 10), 30, 20, Pose(x, y, turn_deg)) == pytest.approx((x, y), abs=1e-9)


@given(ALONG, ALONG, TURNS, st.floats(0, 30), st.floats(0, 20))
def test_a_point_lands_where_its_shape_lands(
    x: float, y: float, turn_deg: float, px: float, py: float
) -> None:
    pose = Pose(x, y, turn_deg)
    laid = to_sheet(shapely.Point(px, py), 30, 20, pose)
    assert point_to_sheet((px, py), 30, 20, pose) == pytest.approx((laid.x, laid.y), abs=1e-9)


@given(ALONG, ALONG, TURNS, ALONG, ALONG)
def test_shifting_a_pose_shifts_the_shape(x: float, y: float, turn: float, dx: float, dy: float) -> None:
    here = to_sheet(FLAG, 30, 20, Pose(x, y, turn))
    there = to_sheet(FLAG, 30, 20, Pose(x, y, turn).shifted(dx, dy))
    assert shapely.equals_exact(there, shapely.affinity.translate(here, dx, dy), 1e-9)


def test_turning_adds_up_and_stays_below_a_full_turn() -> None:
    assert Pose(1, 2, 350).turned(20) == Pose(1, 2, 10)
    assert Pose(1, 2, 10).turned(-20) == Pose(1, 2, 350)


def test_at_width_scales_both_ways_and_moves_to_the_origin() -> None:
    piece = at_width(shapely.affinity.translate(FLAG, 7, -3), 60)
    assert piece.bounds == pytest.approx((0, 0, 60, 40))
    assert size_mm(piece) == pytest.approx((60, 40))
