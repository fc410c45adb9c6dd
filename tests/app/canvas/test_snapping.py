"""What a moving box catches on."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.canvas.snapping import ALIGN_WITHIN_MM, Box, Line, SheetLines, Snapper

SHEET = SheetLines(width_mm=280.0, length_mm=480.0, margin_mm=10.0, gap_mm=6.0)
OTHER: Box = (100.0, 100.0, 140.0, 130.0)


def lines(box: Box, others: list[Box], reach_mm: float = 3.0) -> set[tuple[Line, bool, float]]:
    snap = Snapper(SHEET, others).snap(box, reach_mm)
    return {(guide.line, guide.upright, round(guide.at_mm, 6)) for guide in snap.guides}


@pytest.mark.parametrize(
    ("box", "expected"),
    [
        ((1.5, 200, 31.5, 230), (Line.EDGE, True, 0.0)),
        ((9.0, 200, 39.0, 230), (Line.MARGIN, True, 10.0)),
        ((247.0, 200, 278.9, 230), (Line.EDGE, True, 280.0)),
        ((240.0, 200, 271.0, 230), (Line.MARGIN, True, 270.0)),
        ((124.0, 400, 154.0, 430), (Line.CENTRE, True, 140.0)),
        ((60.0, 1.0, 90.0, 31.0), (Line.EDGE, False, 0.0)),
        ((60.0, 440.0, 90.0, 471.0), (Line.MARGIN, False, 470.0)),
        ((60.0, 226.0, 90.0, 256.0), (Line.CENTRE, False, 240.0)),
    ],
)
def test_a_box_catches_on_the_lines_of_the_sheet(box: Box, expected: tuple[Line, bool, float]) -> None:
    assert expected in lines(box, [])


@pytest.mark.parametrize(
    ("box", "expected"),
    [
        ((147.0, 105.0, 177.0, 122.0), (Line.GAP, True, 146.0)),
        ((61.0, 105.0, 93.0, 122.0), (Line.GAP, True, 94.0)),
        ((103.0, 137.0, 131.0, 160.0), (Line.GAP, False, 136.0)),
        ((98.5, 150.0, 120.0, 180.0), (Line.PIECE, True, 100.0)),
        ((112.0, 150.0, 142.0, 180.0), (Line.PIECE, True, 140.0)),
        ((111.0, 150.0, 131.0, 180.0), (Line.PIECE, True, 120.0)),
    ],
)
def test_a_box_catches_on_the_edges_centre_and_gap_of_another(
    box: Box, expected: tuple[Line, bool, float]
) -> None:
    assert expected in lines(box, [OTHER])


def test_the_gap_is_offered_only_beside_a_piece_not_diagonally_off_it() -> None:
    far_below = (147.0, 170.0, 177.0, 190.0)
    assert not any(line is Line.GAP for line, upright, _ in lines(far_below, [OTHER]) if upright)


def test_a_piece_far_away_offers_no_line() -> None:
    top = OTHER[3] + ALIGN_WITHIN_MM + 20.0
    assert lines((101.0, top, 145.0, top + 10.0), [OTHER]) == set()


def test_nothing_beyond_reach_catches() -> None:
    snap = Snapper(SHEET, [OTHER]).snap((20.0, 300.0, 41.0, 333.0), 2.0)
    assert (snap.dx_mm, snap.dy_mm, snap.guides) == (0.0, 0.0, ())


boxes = st.tuples(st.floats(-50, 300), st.floats(-50, 500), st.floats(1, 120), st.floats(1, 120)).map(
    lambda v: (v[0], v[1], v[0] + v[2], v[1] + v[3])
)


@given(boxes, st.lists(boxes, max_size=12), st.floats(0.1, 10.0))
def test_a_caught_box_lies_on_its_guide_and_was_not_pulled_further_than_reach(
    box: Box, others: list[Box], reach_mm: float
) -> None:
    snap = Snapper(SHEET, others).snap(box, reach_mm)
    assert abs(snap.dx_mm) <= reach_mm
    assert abs(snap.dy_mm) <= reach_mm
    moved = (box[0] + snap.dx_mm, box[1] + snap.dy_mm, box[2] + snap.dx_mm, box[3] + snap.dy_mm)
    for guide in snap.guides:
        low, high = (moved[0], moved[2]) if guide.upright else (moved[1], moved[3])
        assert min(abs(at - guide.at_mm) for at in (low, high, (low + high) / 2)) < 1e-6
        assert guide.from_mm <= guide.to_mm


@given(boxes)
def test_a_box_that_was_caught_by_the_sheet_stays_where_it_is(box: Box) -> None:
    snapper = Snapper(SHEET, [])
    first = snapper.snap(box, 4.0)
    moved = (box[0] + first.dx_mm, box[1] + first.dy_mm, box[2] + first.dx_mm, box[3] + first.dy_mm)
    again = snapper.snap(moved, 4.0)
    assert (again.dx_mm, again.dy_mm) == pytest.approx((0.0, 0.0), abs=1e-9)
