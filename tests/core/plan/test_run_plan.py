"""The run plan of a job: what it covers, what it proves, what it refuses, and its layout."""

from dataclasses import replace

import pytest
import shapely

from layout_core.checks.run import check_job
from layout_core.errors import LayoutError, PlanError
from layout_core.geometry.pose import Pose
from layout_core.job import edits
from layout_core.job.file import job_bytes
from layout_core.job.model import Job, OrderLine
from layout_core.packing.fill import Filling
from layout_core.plan.prices import load_prices
from layout_core.plan.run_plan import lay_out_plan, run_plan
from layout_core.units import mm
from tests.core.plan.orders import two_orders
from tests.make import GLOW, make_artwork


def with_piece(job: Job, shape: shapely.Polygon, name: str, count: int) -> Job:
    """The job with one more piece, as wide as its art, on a line of the first order."""
    art_id = job.next_id
    job = edits.add_art(job, make_artwork(shape, name))
    order = job.orders[0]
    piece_id = job.next_id
    job = edits.add_piece(job, art_id, width_mm=job.art(art_id).artwork.width_mm, order_id=order.order_id)
    line = OrderLine(0, piece_id, "tee", "black", (("M", count),))
    return edits.set_order_lines(job, order.order_id, [*order.lines, line])


def test_every_order_is_covered_with_its_spares_on_no_run_below_the_smallest() -> None:
    job, prices = two_orders(), load_prices()
    plan = run_plan(job, prices)
    for piece in plan.pieces:
        assert piece.wanted == prices.wanted(piece.ordered)
        assert piece.made >= piece.wanted
        assert piece.made == sum(sheet.run * sheet.copies(piece.piece_id) for sheet in plan.sheets)
    assert all(sheet.run >= job.limits.smallest_run for sheet in plan.sheets)
    assert plan.floor <= plan.boxes_floor <= plan.cost


def test_the_cost_is_runs_set_ups_and_shipping() -> None:
    plan = run_plan(two_orders(), load_prices())
    assert plan.cost == sum(sheet.run * sheet.each for sheet in plan.sheets) + plan.setup + plan.shipping
    assert plan.setup == 20 * len(plan.sheets)
    assert plan.shipping == 12


def test_the_plan_is_laid_out_in_one_edit_that_the_checks_accept() -> None:
    job = two_orders()
    plan = run_plan(job, load_prices())
    laid = lay_out_plan(job, plan)
    assert [sheet.run for sheet in laid.sheets] == [sheet.run for sheet in plan.sheets]
    assert laid.sheets[0].sheet_id == job.sheets[0].sheet_id
    rules = {finding.rule for finding in check_job(laid)}
    assert rules.isdisjoint({"spacing", "overlap", "margin", "sheet_bounds", "copies"})
    assert job_bytes(laid)
    again = run_plan(laid, load_prices())
    assert again.cost == plan.cost


def test_sheets_that_the_plan_does_not_need_go_and_waivers_of_others_stay() -> None:
    job = edits.add_sheet(edits.add_sheet(edits.add_sheet(two_orders())))
    plan = run_plan(job, load_prices(), most_designs=2)
    laid = lay_out_plan(job, plan)
    assert len(laid.sheets) == len(plan.sheets) <= 2


def test_locked_copies_are_not_lost() -> None:
    job = two_orders()
    plan = run_plan(job, load_prices())
    placed_id = job.next_id
    job = edits.lock_placed(
        edits.place_piece(job, 1, job.pieces[0].piece_id, Pose(140, 140, 0)), [placed_id], True
    )
    with pytest.raises(LayoutError, match="1 locked"):
        lay_out_plan(job, plan)


def never(*args: object, **kwargs: object) -> Filling:
    raise AssertionError("a search was started")


def test_an_impossible_piece_is_named_before_any_search() -> None:
    job = with_piece(two_orders(), shapely.box(0, 0, mm(12), mm(20)), "banner", 10)
    with pytest.raises(PlanError, match=r"banner \(12 x 20 in\)"):
        run_plan(job, load_prices(), engine=never)


def test_a_piece_too_wide_upright_is_planned_a_quarter_turned() -> None:
    job = with_piece(two_orders(), shapely.box(0, 0, mm(15), mm(4)), "wave band", 10)
    plan = run_plan(job, load_prices())
    assert next(one for one in plan.pieces if one.name == "wave band").made >= 11


def test_a_job_without_order_lines_is_refused_with_what_to_do() -> None:
    with pytest.raises(PlanError, match="add order lines"):
        run_plan(edits.new_job("Empty"), load_prices())


def test_pieces_on_no_order_line_are_told() -> None:
    job = two_orders()
    job = edits.add_piece(job, job.arts[0].art_id, name="stray")
    assert run_plan(job, load_prices()).off_plan == ("stray",)


def test_absurd_counts_are_answered_with_the_limit() -> None:
    job = two_orders()
    order = job.orders[0]
    lines = [replace(line, sizes=(("M", 90_000), ("L", 90_000))) for line in order.lines]
    with pytest.raises(PlanError, match=r"180,000 are ordered; a plan takes at most 100,000"):
        run_plan(edits.set_order_lines(job, order.order_id, lines), load_prices())
    with pytest.raises(LayoutError, match="100,000"):
        edits.set_order_lines(job, order.order_id, [replace(order.lines[0], sizes=(("M", 10**6),))])


def test_too_few_designs_of_sheet_name_the_piece_there_is_no_room_for() -> None:
    job = two_orders()
    for name in ("one", "two"):
        job = with_piece(job, shapely.box(0, 0, mm(11), mm(12)), name, 8)
    with pytest.raises(
        PlanError, match=r"^1 design of sheet cannot hold .* no room from one \(Moth night\) on"
    ):
        run_plan(job, load_prices(), most_designs=1)
    assert len(run_plan(job, load_prices(), most_designs=4).sheets) > 1


@pytest.mark.parametrize("most", [0, 9])
def test_the_number_of_designs_has_limits(most: int) -> None:
    with pytest.raises(PlanError, match="from 1 to 8"):
        run_plan(two_orders(), load_prices(), most_designs=most)


def test_any_other_engine_is_held_to_true_outlines_only() -> None:
    """The floor then counts no boxes: both floors are those of the outlines."""

    def lays_nothing(*args: object, **kwargs: object) -> Filling:
        return Filling(())

    plan = run_plan(two_orders(), load_prices(), engine=lays_nothing)  # the skyline still lays boxes
    assert plan.floor == plan.boxes_floor


def test_a_plan_that_cannot_be_laid_names_the_order_lines_there_is_no_room_for() -> None:
    """By hand: 7.2 + 0.25 + 3.9 in do not lie beside each other on 11.25 in, and each is longer than 9 in."""
    job = edits.change_sheet(edits.new_job("Three", GLOW), 1, length_mm=mm(19))
    job = edits.add_order(job, "Night", "Lamp Keepers")
    for name, width, height in (("first", 7.2, 9.2), ("second", 7.2, 9.2), ("third", 3.9, 18.0)):
        job = with_piece(job, shapely.box(0, 0, mm(width), mm(height)), name, 10)
    with pytest.raises(
        PlanError, match=r"^1 design of sheet cannot hold .* third \(Night\).*; allow more designs"
    ):
        run_plan(job, load_prices(), most_designs=1, seconds=4)
    assert len(run_plan(job, load_prices(), most_designs=2).sheets) == 2
