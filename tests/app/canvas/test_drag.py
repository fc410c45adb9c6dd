"""What is told while something is carried over a sheet."""

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from app.canvas.drag import Ground, Verdict, box_of, together
from layout_core.job.model import Sheet

SHEET = Sheet(1, "Sheet A", 280.0, 480.0, margin_mm=5.0, gap_mm=6.0)
MOVER = shapely.box(0, 0, 20, 20)
DISC = shapely.Point(100, 100).buffer(10, 64)


def ground(others: dict[int, BaseGeometry] | None = None) -> Ground:
    return Ground(SHEET, {1: DISC} if others is None else others)


def test_the_distance_to_the_nearest_outline_is_exact_and_joins_both() -> None:
    room = ground().step(MOVER, 118.0, 90.0, None).room
    assert room.verdict is Verdict.CLEAR
    assert room.distance_mm == pytest.approx(8.0, abs=0.01)
    assert room.from_mm == pytest.approx((118.0, 100.0), abs=0.5)
    assert room.to_mm == pytest.approx((110.0, 100.0), abs=0.5)


def test_the_distance_is_that_of_the_true_outlines_not_of_their_boxes() -> None:
    # Corner of the square to the disc along the diagonal: sqrt(2) * 12 - 10, while the boxes are 2 apart.
    room = ground().step(MOVER, 112.0, 112.0, None).room
    assert room.distance_mm == pytest.approx(2**0.5 * 12 - 10, abs=0.02)


@pytest.mark.parametrize(
    ("dx_mm", "dy_mm", "verdict"),
    [
        (116.01, 90.0, Verdict.CLEAR),
        (116.0, 90.0, Verdict.CLEAR),
        (115.9, 90.0, Verdict.CLOSE),
        (105.0, 90.0, Verdict.OVERLAP),
        (3.0, 200.0, Verdict.MARGIN),
        (5.0, 200.0, Verdict.CLEAR),
        (-0.1, 200.0, Verdict.OFF_SHEET),
        (200.0, 460.5, Verdict.OFF_SHEET),
        (255.0, 455.0, Verdict.CLEAR),
    ],
)
def test_gap_margin_edge_and_overlap_each_have_their_verdict(
    dx_mm: float, dy_mm: float, verdict: Verdict
) -> None:
    assert ground().step(MOVER, dx_mm, dy_mm, None).room.verdict is verdict


def test_what_lies_off_the_sheet_is_told_before_what_it_overlaps() -> None:
    others: dict[int, BaseGeometry] = {1: shapely.box(-10, 0, 30, 30)}
    assert ground(others).step(MOVER, -5.0, 0.0, None).room.verdict is Verdict.OFF_SHEET


def test_alone_on_a_sheet_the_nearest_edge_is_measured() -> None:
    room = ground({}).step(MOVER, 8.0, 200.0, None).room
    assert room.distance_mm == pytest.approx(8.0)
    assert (room.from_mm, room.to_mm) == ((8.0, 210.0), (0.0, 210.0))


def test_in_the_open_there_is_nothing_to_measure() -> None:
    room = ground({}).step(MOVER, 130.0, 230.0, None).room
    assert (room.verdict, room.distance_mm) == (Verdict.CLEAR, None)


def test_caught_at_the_gap_the_gap_is_kept() -> None:
    block: dict[int, BaseGeometry] = {1: shapely.box(90, 90, 110, 110)}
    step = ground(block).step(MOVER, 117.2, 93.0, 3.0)
    assert (step.dx_mm, step.dy_mm) == pytest.approx((116.0, 90.0))
    assert step.room.verdict is Verdict.CLEAR
    assert step.room.distance_mm == pytest.approx(6.0)


def test_without_reach_nothing_catches() -> None:
    step = ground().step(MOVER, 0.4, 0.3, None)
    assert (step.dx_mm, step.dy_mm, step.guides) == (0.4, 0.3, ())


@given(st.floats(60, 160), st.floats(60, 160))
def test_the_verdict_agrees_with_the_distance_of_the_outlines(dx_mm: float, dy_mm: float) -> None:
    room = ground().step(MOVER, dx_mm, dy_mm, None).room
    true_mm = shapely.distance(affinity.translate(MOVER, dx_mm, dy_mm), DISC)
    if abs(true_mm - SHEET.gap_mm) > 0.01 and true_mm != 0.0:
        assert (room.verdict is Verdict.CLOSE) == (true_mm < SHEET.gap_mm)
    assert (room.verdict is Verdict.OVERLAP) == (true_mm <= 1e-6)


def test_several_shapes_are_carried_as_one() -> None:
    both = together({1: shapely.box(0, 0, 10, 10), 2: shapely.MultiPolygon([shapely.box(30, 5, 40, 25)])})
    assert box_of(both) == (0.0, 0.0, 40.0, 25.0)
    assert both.area == pytest.approx(300.0)
