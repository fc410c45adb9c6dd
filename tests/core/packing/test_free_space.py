"""The free film round what already lies on a sheet, and rectpack's private names that it leans on."""

from importlib.metadata import version

import numpy as np
import shapely
from rectpack.geometry import Rectangle
from rectpack.maxrects import MaxRects, MaxRectsBssf
from shapely import Point, affinity

from layout_core.packing.covers import GRID_MM, GridBox, cover_boxes, steps_down, steps_up
from layout_core.packing.free_space import RoomyMaxRects, disjoint, free_field
from tests.core.packing.menus import crescent, ring, sheet


def as_mm(box: GridBox) -> shapely.Polygon:
    return shapely.box(box.x0 * GRID_MM, box.y0 * GRID_MM, box.x1 * GRID_MM, box.y1 * GRID_MM)


def test_rectpack_is_the_version_whose_private_names_are_used() -> None:
    assert version("rectpack") == "0.2.2"
    for name in ("_split", "_generate_splits", "_remove_duplicates", "_select_position", "_rect_fitness"):
        assert callable(getattr(MaxRects, name)), name
    assert [(r.width, r.height) for r in MaxRects(7, 5)._max_rects] == [(7, 5)]


def test_cutting_leaves_the_free_rectangles_that_rectpack_itself_would_leave() -> None:
    cuts = [(10, 10, 20, 30), (40, 5, 10, 10), (25, 60, 60, 60), (-5, 40, 20, 8)]
    plain, ours = MaxRectsBssf(100, 100), RoomyMaxRects(100, 100, [(1, 1)])
    for cut in cuts:
        plain._split(Rectangle(*cut))
        plain._remove_duplicates()
        ours._split(Rectangle(*cut))
    assert {(r.x, r.y, r.width, r.height) for r in ours._max_rects} == {
        (r.x, r.y, r.width, r.height) for r in plain._max_rects
    }


def test_free_rectangles_too_small_for_any_piece_are_left_out() -> None:
    packer = RoomyMaxRects(100, 100, [(40, 20), (30, 60)])
    packer.cut(GridBox(0, 0, 75, 100))
    assert packer.free == (GridBox(75, 0, 100, 100),)
    packer.cut(GridBox(80, 0, 81, 100))
    assert not packer._max_rects


def test_a_length_that_is_a_whole_number_of_steps_stays_that_number() -> None:
    for thousandths in (1, 125, 250, 375, 11_250, 22_000, 60_000):
        assert steps_up(thousandths / 1000 * 25.4) == steps_down(thousandths / 1000 * 25.4) == thousandths
    assert (steps_up(1.0), steps_down(1.0)) == (40, 39)


def test_covers_hide_the_outline_grown_by_the_gap() -> None:
    for outline in (crescent(60), ring(50, 30), affinity.rotate(shapely.box(0, 0, 80, 20), 33)):
        covered = shapely.union_all([as_mm(box) for box in cover_boxes(outline, 6.35, 3.0, -2.0)])
        grown = affinity.translate(outline, 3.0, -2.0).buffer(6.35, quad_segs=64)
        assert grown.difference(covered.buffer(1e-9)).area < 1e-6


def test_covers_leave_the_hole_of_a_ring_open() -> None:
    covered = shapely.union_all([as_mm(box) for box in cover_boxes(ring(50, 40), 5.0, 0.0, 0.0)])
    assert not covered.intersects(shapely.box(-20, -20, 20, 20))


def test_free_film_keeps_its_distance_from_a_turned_piece() -> None:
    turned = affinity.rotate(shapely.box(60, 60, 200, 90), 30)
    on = sheet(280, 250, turned, gap_mm=6.35, margin_mm=5.0)
    field = free_field(on, [(1000, 1000)])
    assert field.free
    for box in field.free:
        film = affinity.translate(as_mm(box), 5.0, 5.0)
        assert film.distance(turned) >= 6.35 - 1e-6
        assert shapely.box(5 - 1e-6, 5 - 1e-6, 275 + 1e-6, 245 + 1e-6).contains(film)


def test_free_film_between_two_pieces_exactly_a_piece_and_two_gaps_apart_is_found() -> None:
    left, right = shapely.box(0, 0, 50.8, 254), shapely.box(50.8 + 76.2 + 12.7, 0, 254, 254)
    field = free_field(sheet(254, 254, left, right, gap_mm=6.35), [(3000, 2000)])
    assert [(box.x1 - box.x0) for box in field.free] == [3000]


def test_a_sheet_that_is_all_margin_has_no_free_film() -> None:
    assert free_field(sheet(20, 100, margin_mm=10.0), [(1, 1)]).free == ()


def test_a_covered_sheet_has_no_free_film() -> None:
    assert free_field(sheet(100, 100, Point(50, 50).buffer(200)), [(1, 1)]).free == ()


def test_disjoint_boxes_do_not_overlap_and_cover_the_same_film() -> None:
    free = free_field(sheet(200, 200, shapely.box(50, 60, 90, 110), gap_mm=5.0), [(1, 1)]).free
    bins = disjoint(free, [(1, 1)])
    whole = shapely.union_all([as_mm(box) for box in free])
    assert abs(sum(as_mm(box).area for box in bins) - whole.area) < 1e-6


def test_a_very_detailed_outline_is_covered_as_well() -> None:
    rough = shapely.transform(
        Point(0, 0).buffer(50, 1100), lambda xy: xy * (1 + 0.0004 * np.sin(xy[:, :1] * 40))
    )
    assert shapely.get_num_coordinates(rough) > 4000
    covered = shapely.union_all([as_mm(box) for box in cover_boxes(rough, 6.35, 0.0, 0.0)])
    assert rough.buffer(6.35, quad_segs=64).difference(covered.buffer(1e-9)).area < 1e-6
