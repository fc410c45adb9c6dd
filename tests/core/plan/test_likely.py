"""Outlines that interlock make plans cheaper than any layout of boxes, and they still keep their gap."""

import pytest
import shapely

from layout_core.checks.run import check_job
from layout_core.errors import Cancelled
from layout_core.geometry.outline import valid_union
from layout_core.job import edits
from layout_core.job.model import Job, OrderLine
from layout_core.packing.fill import FillSheet, Laid, MenuItem
from layout_core.packing.shapes import fill_with_shapes
from layout_core.plan.clock import Clock
from layout_core.plan.cuts import area_cut
from layout_core.plan.likely import bettered
from layout_core.plan.oracle import SheetOracle
from layout_core.plan.prices import load_prices
from layout_core.plan.problem import Counts, Design, PlanProblem, RunPrice
from layout_core.plan.run_plan import lay_out_plan, run_plan
from layout_core.plan.search import search
from layout_core.progress import Progress
from layout_core.units import mm
from tests.make import GLOW, make_artwork

UNHURRIED = 1000.0
"""Slack that leaves the counted work alone to end a search, however busy the machine."""

ELBOW = shapely.union_all([shapely.box(0, 0, 250, 40), shapely.box(0, 0, 40, 330)])
"""Nearly as large as the sheet of 11.25 x 19 in, so as boxes only one lies on it; as outlines, several."""


def elbows(count: int, *, may_turn: bool = True) -> Job:
    job = edits.change_sheet(edits.new_job("Elbows", GLOW), 1, length_mm=mm(19))
    art_id = job.next_id
    job = edits.add_art(job, make_artwork(ELBOW, "elbow.svg"))
    piece_id = job.next_id
    job = edits.add_piece(job, art_id, width_mm=250.0, name="Elbow")
    job = edits.change_piece(job, piece_id, may_turn=may_turn)
    order_id = job.next_id
    job = edits.add_order(job, "Corners", "Joiners")
    line = OrderLine(0, piece_id, "tee", "black", (("M", count),))
    return edits.set_order_lines(job, order_id, [line])


def problem_of(wanted: int) -> tuple[PlanProblem, SheetOracle]:
    sheet = FillSheet(mm(11.25), mm(19), mm(0.25), mm(0.25))
    outline = valid_union(ELBOW)
    film = (sheet.width_mm - 2 * sheet.margin_mm + sheet.gap_mm) * (
        sheet.length_mm - 2 * sheet.margin_mm + sheet.gap_mm
    )
    cut = area_cut([outline.buffer(sheet.gap_mm / 2, quad_segs=8).area], film)
    price = RunPrice(((1, 900),), 2000)
    problem = PlanProblem((Design(1, "Elbow", wanted),), (cut,), price, 6, 2)
    menu = [MenuItem(1, outline, 1.0, 1)]
    return problem, SheetOracle(sheet, menu, fill_with_shapes, effort_s=0.8, counts_boxes=False, proof_s=0.0)


class StopsOnceLaid:
    """The oracle until it has filled a sheet with two or more; then a Stop, so that no time counts."""

    follows_cuts = False

    def __init__(self, oracle: SheetOracle) -> None:
        self._oracle, self._is_laid = oracle, False

    def filled(self, counts: Counts, clock: Clock) -> tuple[Laid, ...]:
        if self._is_laid:
            raise Cancelled
        laid = self._oracle.filled(counts, clock)
        self._is_laid = len(laid) == sum(counts) > 1
        return laid

    def laid(self, counts: Counts, clock: Clock) -> tuple[Laid, ...] | None:
        return self._oracle.laid(counts, clock)

    def laid_soon(self, counts: Counts, clock: Clock) -> tuple[Laid, ...] | None:
        return self._oracle.laid_soon(counts, clock)

    def is_impossible(self, counts: Counts) -> bool:
        return False


def test_elbows_nest_where_their_boxes_would_lie_alone() -> None:
    prices = load_prices()
    boxes = run_plan(elbows(30), prices, true_shapes=False, seconds=2, slack=UNHURRIED)
    assert {len(sheet.laid) for sheet in boxes.sheets} == {1}
    job = elbows(30)
    plan = run_plan(job, prices, seconds=4, slack=UNHURRIED)
    assert max(len(sheet.laid) for sheet in plan.sheets) >= 2
    assert plan.floor <= plan.cost < plan.boxes_floor == boxes.boxes_floor
    assert plan.pieces[0].made >= plan.pieces[0].wanted
    rules = {finding.rule for finding in check_job(lay_out_plan(job, plan))}
    assert rules.isdisjoint({"spacing", "overlap", "margin", "sheet_bounds", "copies"})


def test_a_piece_that_may_not_turn_keeps_its_turn() -> None:
    plan = run_plan(elbows(30, may_turn=False), load_prices(), seconds=3, slack=UNHURRIED)
    assert {one.pose.turn_deg for sheet in plan.sheets for one in sheet.laid} == {0.0}


def stops_at(label: str) -> Progress:
    """A Stop pressed as soon as that work begins."""

    def tick(fraction: float, said: str) -> None:
        if said == label:
            raise Cancelled

    return tick


def test_stop_keeps_the_plan_there_was() -> None:
    problem, oracle = problem_of(31)
    single = SheetOracle(
        FillSheet(mm(11.25), mm(19), mm(0.25), mm(0.25)),
        [MenuItem(1, valid_union(ELBOW), 1.0, 1)],
        counts_boxes=False,
    )
    found = search(problem, single, seconds=2, slack=UNHURRIED)

    def stopped(fraction: float, label: str) -> None:
        raise Cancelled

    with pytest.raises(Cancelled):
        bettered(problem, oracle, found, Clock(30, stopped), until_s=30)
    plan = run_plan(
        elbows(30), load_prices(), seconds=2, slack=UNHURRIED, progress=stops_at("Trying true shapes")
    )
    assert {len(sheet.laid) for sheet in plan.sheets} == {1}
    assert not plan.is_best_here


def test_a_cheaper_plan_is_really_laid() -> None:
    problem, oracle = problem_of(31)
    single = SheetOracle(
        FillSheet(mm(11.25), mm(19), mm(0.25), mm(0.25)),
        [MenuItem(1, valid_union(ELBOW), 1.0, 1)],
        counts_boxes=False,
    )
    found = search(problem, single, seconds=2, slack=UNHURRIED)
    better = bettered(problem, StopsOnceLaid(oracle), found, Clock(60, slack=UNHURRIED), until_s=60)
    assert better.floor == found.floor <= better.cost < found.cost
    assert all(len(one.laid) == sum(one.counts) for one in better.templates)
    assert min(problem.spares([(one.counts, one.run) for one in better.templates])) >= 0
