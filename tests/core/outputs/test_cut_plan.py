"""Cutting a sheet apart: as few straight cuts as can be, none through ink, outlines where none will do."""

from dataclasses import replace

import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity

from layout_core.geometry.pose import Pose
from layout_core.job.model import Job
from layout_core.outputs.cut_guide import cut_guide_pages
from layout_core.outputs.cut_plan import CutPlan, cut_plan
from layout_core.outputs.drawing import every_words
from layout_core.outputs.sheet_ink import printed_shapes
from layout_core.outputs.typeface import showable
from tests.core.outputs.shop_job import shop_job
from tests.make import make_artwork, make_job

BLOCK = make_artwork(shapely.box(0, 0, 30, 20))


def grid(columns: int, rows: int) -> Job:
    poses = [(0, Pose(30 + 40 * i, 30 + 30 * k)) for i in range(columns) for k in range(rows)]
    return make_job([BLOCK], poses=poses)


def pinwheel() -> Job:
    """Four bars round a square: the smallest layout that no straight cut parts."""
    bars = [make_artwork(shapely.box(0, 0, 60, 20)), make_artwork(shapely.box(0, 0, 20, 60))]
    poses = [(0, Pose(40, 20)), (1, Pose(90, 40)), (0, Pose(70, 90)), (1, Pose(20, 70))]
    return make_job(bars, poses=poses)


def plan_of_job(job: Job) -> CutPlan:
    return cut_plan(job, job.sheets[0])


def film_blocks(job: Job, plan: CutPlan) -> list[shapely.Polygon]:
    """The film after the straight cuts, each made only through the block it names."""
    sheet = job.sheets[0]
    blocks = {0: shapely.box(0, 0, sheet.width_mm, sheet.length_mm)}
    for cut in plan.cuts:
        block = blocks.pop(cut.block)
        left, top, right, bottom = block.bounds
        if cut.direction == "across":
            assert (cut.start_mm, cut.end_mm) == (left, right)
            assert cut.from_edge_mm == cut.at_mm - top
            halves = shapely.box(left, top, right, cut.at_mm), shapely.box(left, cut.at_mm, right, bottom)
        else:
            assert (cut.start_mm, cut.end_mm) == (top, bottom)
            assert cut.from_edge_mm == cut.at_mm - left
            halves = shapely.box(left, top, cut.at_mm, bottom), shapely.box(cut.at_mm, top, right, bottom)
        blocks[2 * cut.number - 1], blocks[2 * cut.number] = halves
    return list(blocks.values())


def test_grid_takes_one_cut_fewer_than_pieces_and_no_outline() -> None:
    for columns, rows in ((1, 1), (2, 1), (3, 4), (6, 7)):
        plan = plan_of_job(grid(columns, rows))
        assert len(plan.cuts) == columns * rows - 1
        assert plan.contours == ()


def test_cuts_follow_their_numbers_and_leave_one_piece_a_block() -> None:
    job = grid(3, 4)
    plan = plan_of_job(job)
    blocks = film_blocks(job, plan)
    shapes = list(printed_shapes(job, job.sheets[0]).values())
    assert sorted(sum(block.contains(shape) for shape in shapes) for block in blocks) == [1] * 12


def test_pinwheel_is_cut_along_outlines() -> None:
    plan = plan_of_job(pinwheel())
    assert plan.cuts == ()
    assert [contour.placed_id for contour in plan.contours] == [301, 302, 303, 304]


def test_pinwheel_beside_a_block_is_freed_by_one_cut_first() -> None:
    job = pinwheel()
    far = replace(job.sheets[0].placed[0], placed_id=399, pose=Pose(60, 300))
    sheet = replace(job.sheets[0], placed=(*job.sheets[0].placed, far))
    plan = cut_plan(replace(job, sheets=(sheet,)), sheet)
    assert len(plan.cuts) == 1
    assert len(plan.contours) == 4


def test_outlines_hold_their_piece_half_the_gap_away_and_no_other() -> None:
    job = pinwheel()
    plan = plan_of_job(job)
    shapes = printed_shapes(job, job.sheets[0])
    half_mm = job.sheets[0].gap_mm / 2
    for contour in plan.contours:
        assert len(contour.shape.geoms) == 1
        assert contour.shape.contains(shapes[contour.placed_id])
        clear_mm = contour.shape.boundary.distance(shapes[contour.placed_id])
        assert half_mm - 0.1 <= clear_mm <= half_mm + 0.1
        for other in plan.contours:
            if other is not contour:
                assert contour.shape.intersection(other.shape).area < 0.5


def test_parts_of_one_piece_stay_together() -> None:
    dots = shapely.union_all([shapely.Point(i * 14, 8).buffer(5) for i in range(5)])
    bars = [make_artwork(dots), make_artwork(affinity.rotate(dots, 90))]
    poses = [(0, Pose(40, 20)), (1, Pose(90, 40)), (0, Pose(70, 90)), (1, Pose(20, 70))]
    plan = plan_of_job(make_job(bars, poses=poses))
    assert plan.cuts == ()
    assert [len(contour.shape.geoms) for contour in plan.contours] == [1, 1, 1, 1]


def test_pieces_nearer_than_a_straight_cut_needs_are_cut_along_outlines() -> None:
    job = make_job([BLOCK], poses=[(0, Pose(30, 30)), (0, Pose(60.5, 30))])
    plan = plan_of_job(job)
    assert plan.cuts == ()
    assert len(plan.contours) == 2


def test_sheet_without_copies_or_with_one_needs_no_cut() -> None:
    for job in (make_job([BLOCK]), make_job([BLOCK], poses=[(0, Pose(60, 60))])):
        plan = plan_of_job(job)
        assert (plan.cuts, plan.contours) == ((), ())


@given(
    st.lists(st.tuples(st.integers(0, 6), st.integers(0, 12), st.integers(0, 3)), max_size=14, unique=True)
)
@settings(max_examples=60)
def test_no_straight_cut_touches_ink_and_every_copy_is_freed(cells: list[tuple[int, int, int]]) -> None:
    poses = [(0, Pose(24 + 36 * x + 3 * turn, 24 + 34 * y, 90 * turn)) for x, y, turn in cells]
    job = make_job([BLOCK], poses=poses)
    plan = plan_of_job(job)
    shapes = printed_shapes(job, job.sheets[0])
    for cut in plan.cuts:
        line = shapely.LineString(cut.ends_mm)
        assert not any(shape.intersects(line) for shape in shapes.values())
    alone = [sum(block.intersects(shape) for shape in shapes.values()) for block in film_blocks(job, plan)]
    assert sum(alone) == len(shapes)
    assert sum(count for count in alone if count > 1) == len(plan.contours)


def test_every_copy_on_the_guide_bears_its_pieces_number_and_the_list_names_it() -> None:
    job = shop_job()
    sheet = next(sheet for sheet in job.sheets if sheet.placed)
    (page, *_) = cut_guide_pages(job, sheet, cut_plan(job, sheet))
    texts = [words.text for words in every_words(page.parts)]
    for number, piece in enumerate(job.pieces, 1):
        count = sum(placed.piece_id == piece.piece_id for placed in sheet.placed)
        if count:
            assert texts.count(str(number)) >= count + 1
            assert f"× {count}" in texts
            assert any(text[:9] == showable(piece.name)[:9] for text in texts)
