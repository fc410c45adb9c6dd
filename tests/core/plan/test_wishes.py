"""Plans follow what is wished of layouts: straight cuts only, and holes of rings used or not."""

import pytest
import shapely
from shapely.geometry.base import BaseGeometry

from layout_core.errors import PlanError
from layout_core.job import edits
from layout_core.job.model import Job, OrderLine
from layout_core.packing.engines import FillWish
from layout_core.packing.fill import laid_outline
from layout_core.plan.prices import load_prices
from layout_core.plan.run_plan import PlanSheet, RunPlan, lay_out_plan, menu_item, run_plan
from layout_core.plan.what_if import room_of, with_garments
from layout_core.units import mm
from tests.core.packing.test_straight import is_parted_by_cuts
from tests.make import GLOW, make_artwork

UNHURRIED = 1000.0
"""Slack that leaves the counted work alone to end a search, however busy the machine."""

STRAIGHT = FillWish(straight_cuts=True)
CLOSED = FillWish(use_holes=False)


def job_of(*pieces: tuple[str, BaseGeometry, float, int]) -> Job:
    """Pieces by name, shape, width in inches and count, on film of 11.25 x 11.25 in, margin and gap 0.25."""
    job = edits.change_sheet(
        edits.new_job("Wishes", GLOW), 1, length_mm=mm(11.25), margin_mm=mm(0.25), gap_mm=mm(0.25)
    )
    order_id = job.next_id
    job = edits.add_order(job, "Night", "Lamp Keepers")
    lines = []
    for name, shape, width_in, count in pieces:
        art_id = job.next_id
        job = edits.add_art(job, make_artwork(shape, f"{name}.svg"))
        piece_id = job.next_id
        job = edits.add_piece(job, art_id, width_mm=mm(width_in), name=name)
        lines.append(OrderLine(0, piece_id, "tee", "black", (("M", count),)))
    return edits.set_order_lines(job, order_id, lines)


def planned(job: Job, wish: FillWish, most_designs: int = 1) -> RunPlan:
    return run_plan(job, load_prices(), most_designs=most_designs, wish=wish, seconds=4, slack=UNHURRIED)


def bounds_of(job: Job, sheet: PlanSheet) -> list[tuple[float, float, float, float]]:
    return [laid_outline(menu_item(job, job.piece(one.key)), one.pose).bounds for one in sheet.laid]


def test_straight_cuts_lay_three_where_a_pinwheel_holds_four() -> None:
    """By hand: 6.25 + 0.25 + 4.25 = 10.75 in, the film inside the margin. A first cut from edge to edge
    leaves a strip of 6.25 and one of 4.25; two lie in the one, one in the other."""
    job = job_of(("card", shapely.box(0, 0, 62.5, 42.5), 6.25, 47))
    (four,) = planned(job, FillWish()).sheets
    (three,) = planned(job, STRAIGHT).sheets
    assert (len(four.laid), len(three.laid)) == (4, 3)
    assert not is_parted_by_cuts(bounds_of(job, four), mm(0.25))
    assert is_parted_by_cuts(bounds_of(job, three), mm(0.25))


def test_every_sheet_of_a_plan_for_scissors_comes_apart_by_straight_cuts() -> None:
    job = job_of(
        ("moth", shapely.box(0, 0, 50, 40), 5.0, 40),
        ("moon", shapely.Point(0, 0).buffer(30), 3.0, 60),
        ("shell", shapely.box(0, 0, 40, 20), 4.0, 25),
        ("star", shapely.box(0, 0, 21, 21), 2.1, 33),
    )
    plan = planned(job, STRAIGHT, 3)
    assert plan.floor <= plan.cost
    assert all(piece.made >= piece.wanted for piece in plan.pieces)
    for sheet in plan.sheets:
        assert is_parted_by_cuts(bounds_of(job, sheet), mm(0.25))
    assert len(lay_out_plan(job, plan).sheets) == len(plan.sheets)


RING = shapely.Point(0, 0).buffer(52) - shapely.Point(0, 0).buffer(40)
DISC = shapely.Point(0, 0).buffer(25)


def test_a_hole_is_used_unless_that_is_not_wished() -> None:
    """By hand: the ring of 10.4 in takes all the film's width; a disc of 5 in lies in its hole of 8 in."""
    job = job_of(("ring", RING, 10.4, 12), ("disc", DISC, 5.0, 12))
    together = planned(job, FillWish())
    assert [len(sheet.laid) for sheet in together.sheets] == [2]
    with pytest.raises(PlanError, match="1 design of sheet cannot hold"):
        planned(job, CLOSED)
    apart = planned(job, CLOSED, 2)
    for sheet in apart.sheets:
        bounds = [shapely.box(*one) for one in bounds_of(job, sheet)]
        assert not any(a.intersects(b) for at, a in enumerate(bounds) for b in bounds[:at])


def test_what_more_would_cost_and_the_room_left_follow_the_wish_of_the_plan() -> None:
    job = job_of(("ring", RING, 10.4, 12), ("disc", DISC, 5.0, 12))
    plan = planned(job, CLOSED, 2)
    alone = next(sheet for sheet in plan.sheets if sheet.copies(plan.pieces[0].piece_id))
    assert room_of(job, plan, alone).now == ()
    more = with_garments(job, plan, load_prices(), job.orders[0].order_id, 6, most_designs=2, seconds=2)
    assert more.sheets.plan.wish == CLOSED
