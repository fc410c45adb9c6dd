"""A little more: garments that spares cover or that need more sheets, an inch of sheet, room left."""

from dataclasses import replace
from decimal import Decimal

import pytest
import shapely

from layout_core.errors import PlanError
from layout_core.geometry.pose import Pose
from layout_core.job import edits
from layout_core.job.model import Job, OrderLine
from layout_core.packing.fill import Laid
from layout_core.plan.prices import load_prices
from layout_core.plan.pricing import with_more
from layout_core.plan.run_plan import PlanSheet, run_plan
from layout_core.plan.what_if import room_of, with_garments, with_longer_sheet
from layout_core.units import mm
from tests.make import GLOW, make_artwork


def squares(count: int, side_in: float = 5.0) -> Job:
    """One square piece on 11.25 x 19 in: of 5 in, two across and three along."""
    job = edits.change_sheet(
        edits.new_job("Squares", GLOW), 1, length_mm=mm(19), margin_mm=mm(0.25), gap_mm=mm(0.25)
    )
    job = edits.add_art(job, make_artwork(shapely.box(0, 0, 10, 10), "square.svg"))
    art_id = job.arts[0].art_id
    piece_id = job.next_id
    job = edits.add_piece(job, art_id, width_mm=mm(side_in), name="Square")
    order_id = job.next_id
    job = edits.add_order(job, "Night", "Lamp Keepers")
    return edits.set_order_lines(job, order_id, [OrderLine(0, piece_id, "tee", "black", (("M", count),))])


def test_more_that_need_a_longer_run_cost_what_the_price_list_says() -> None:
    """By hand: 30 + 1 spare = 31 at 6 a sheet: 6 x 9.00 = 54.00; 36 + 2 = 38: 7 sheets, 9.00 more.

    Sheets, blanks at 3.60, 2 % waste, 0.75 pressing each, 60 % on it all:
    86.00 + 108.00 + 2.16 + 22.50 = 218.66, 349.86; 95.00 + 129.60 + 2.59 + 27.00 = 254.19, 406.70.
    """
    job, prices = squares(30), load_prices()
    plan = run_plan(job, prices)
    assert plan.cost == Decimal("54.00") + 20 + 12
    found = with_garments(job, plan, prices, job.orders[0].order_id, 6)
    assert found.sheets.more == Decimal("9.00")
    assert found.sheets.cost == plan.cost + 9
    assert found.total == Decimal("406.70")
    assert found.more_total == Decimal("406.70") - Decimal("349.86")


def test_more_that_the_spares_cover_cost_no_sheet() -> None:
    """32 + 1 spare and 33 + 1 both lie within 6 sheets of 6."""
    job, prices = squares(32), load_prices()
    plan = run_plan(job, prices)
    found = with_garments(job, plan, prices, job.orders[0].order_id, 1)
    assert found.sheets.more == 0
    assert found.more_total > 0


def test_an_inch_more_takes_the_price_of_the_next_size_listed() -> None:
    """By hand: 20 in is in the list's 24 in sheets: 6 x 11.20 = 67.20 instead of 54.00."""
    job, prices = squares(30), load_prices()
    plan = run_plan(job, prices)
    assert with_longer_sheet(job, plan, prices).more == Decimal("13.20")


def test_an_order_without_that_size_cannot_grow() -> None:
    job = squares(30)
    with pytest.raises(PlanError, match="no line in size 4XL"):
        with_more(job, job.orders[0].order_id, 6, size="4XL")


def test_room_left_is_counted_as_it_is_and_with_one_more_inch() -> None:
    """By hand: 5 in squares, two rows of two take 10.25 in; below them 18.5 - 10.5 = 8 in, a row of two.

    On a sheet of 15 in, 14.5 - 10.5 = 4 in are left: nothing; an inch more makes 5, a row of two.
    """
    job = squares(30)
    plan = run_plan(job, load_prices())
    key = plan.pieces[0].piece_id
    at = [Pose(mm(x), mm(y), 0.0) for y in (2.75, 8.0) for x in (2.75, 8.0)]
    four = PlanSheet(6, Decimal(9), Decimal(54), tuple(Laid(key, pose) for pose in at))
    room = room_of(job, plan, four)
    assert room.now == ((key, 2),)
    short = replace(plan, sheet_size_mm=(mm(11.25), mm(15)))
    assert room_of(job, short, four).now == ()
    assert room_of(job, short, four).with_inch == ((key, 2),)
