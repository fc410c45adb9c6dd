"""Where sheets lie on the matte."""

import pytest

from app.canvas.matte import SPACING_MM, Matte, lay_sheets
from layout_core.job.model import Sheet


def two_sheets() -> Matte:
    return lay_sheets([Sheet(1, "A", 280.0, 480.0, 0.0, 6.0), Sheet(2, "B", 300.0, 250.0, 0.0, 6.0)])


def test_sheets_lie_side_by_side_in_their_order_with_room_between() -> None:
    first, second = two_sheets().places
    assert (first.x_mm, first.y_mm) == (0.0, 0.0)
    assert (second.x_mm, second.y_mm) == (280.0 + SPACING_MM, 0.0)


def test_bounds_reach_round_all_sheets() -> None:
    assert two_sheets().bounds_mm == (0.0, 0.0, 280.0 + SPACING_MM + 300.0, 480.0)


def test_a_point_belongs_to_the_sheet_beneath_it_in_that_sheets_frame() -> None:
    place = two_sheets().sheet_at(280.0 + SPACING_MM + 10.0, 20.0)
    assert place is not None
    assert place.sheet_id == 2
    assert place.to_sheet(280.0 + SPACING_MM + 10.0, 20.0) == pytest.approx((10.0, 20.0))


def test_a_point_between_sheets_belongs_to_none_and_is_nearest_to_the_closer_one() -> None:
    matte = two_sheets()
    assert matte.sheet_at(280.0 + 10.0, 20.0) is None
    assert [place.sheet_id for x in (290.0, 330.0) if (place := matte.nearest(x, 20.0))] == [1, 2]


def test_a_matte_without_sheets_has_no_nearest_and_sound_bounds() -> None:
    empty = lay_sheets([])
    assert empty.nearest(0.0, 0.0) is None
    assert empty.bounds_mm == (0.0, 0.0, 1.0, 1.0)


def test_an_unknown_sheet_is_a_key_error() -> None:
    with pytest.raises(KeyError, match="no sheet 7"):
        two_sheets().place(7)
