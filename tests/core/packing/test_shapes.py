"""The true-shape engine keeps gap and margin exactly, uses hollows, never does worse than boxes."""

import json
from collections import Counter

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity

from layout_core.packing.audit import breaches
from layout_core.packing.boxes import fill_with_boxes
from layout_core.packing.engines import FillWish, engine_named
from layout_core.packing.fill import FillSheet, Laid, MenuItem, laid_outline, value_of
from layout_core.packing.shapes import ANY_TURN, fill_with_shapes
from layout_core.progress import StopFlag
from tests.bench.fill import SCENARIOS, menu_of, sheet_of
from tests.core.packing.menus import box, crescent, item, ring, sheet

QUICK_S = 0.4

LEAST_IN_QUICK = {"S1": 100.0, "S2": 130.0, "S3": 110.0, "S4": 200.0, "S6": 120.0}
"""Values a short search must reach on the invented sheets; boxes reach 40, 83, 8, 151 and 113 there."""


@pytest.mark.parametrize("name", LEAST_IN_QUICK)
def test_invented_sheets_are_filled_far_better_than_by_boxes(name: str) -> None:
    scenarios = json.loads(SCENARIOS.read_text())
    scenario = next(value for key, value in scenarios.items() if key.startswith(name))
    on, menu = sheet_of(scenario), menu_of(scenario)
    laid = fill_with_shapes(on, menu, effort_s=QUICK_S).laid
    assert breaches(on, laid, menu) == ()
    assert value_of(laid, menu) >= LEAST_IN_QUICK[name]


def test_two_crescents_interlock_where_boxes_have_room_for_one() -> None:
    moon = item(1, shapely.Point(0, 0).buffer(50) - shapely.Point(35, 0).buffer(48), most=2)
    width_mm = 1.75 * moon.outline.bounds[2]
    on = sheet(width_mm, 101, gap_mm=3.0)
    assert len(fill_with_boxes(on, [moon]).laid) == 1
    assert len(fill_with_shapes(on, [moon], effort_s=QUICK_S).laid) == 2


def test_the_hole_of_a_copy_just_laid_is_used_unless_holes_are_not_wanted() -> None:
    menu = [item(1, ring(50, 35)), item(2, shapely.Point(0, 0).buffer(25))]
    on = sheet(105, 105, gap_mm=4.0)
    assert len(fill_with_shapes(on, menu, effort_s=QUICK_S).laid) == 2
    closed = engine_named("shapes", FillWish(use_holes=False))
    assert len(closed(on, menu, effort_s=QUICK_S).laid) == 1


def test_the_hole_of_a_locked_ring_stays_empty_where_holes_are_not_wanted() -> None:
    on = sheet(202, 202, affinity.translate(ring(100, 80), 101, 101), gap_mm=6.0)
    for name in ("boxes", "shapes"):
        closed = engine_named(name, FillWish(use_holes=False))
        assert closed(on, [box(1, 60, 60, most=5)], effort_s=0.1).laid == ()


def test_any_angle_finds_room_where_quarter_turns_find_none() -> None:
    bar = item(1, shapely.box(0, 0, 130, 8))
    on = sheet(110, 110, gap_mm=2.0)
    assert fill_with_shapes(on, [bar], effort_s=0.1).laid == ()
    turned = fill_with_shapes(on, [bar], effort_s=0.1, angles_deg=(0.0, 45.0)).laid
    assert breaches(on, turned, [bar]) == ()
    assert [one.pose.turn_deg % 90.0 for one in turned] == [45.0]
    assert set(ANY_TURN) == {0.0, 30.0, 60.0}


def test_nothing_is_laid_where_nothing_fits() -> None:
    assert fill_with_shapes(sheet(50, 50), [box(1, 60, 10)], effort_s=0.1).laid == ()
    assert fill_with_shapes(sheet(50, 50), [], effort_s=0.1).laid == ()
    assert fill_with_shapes(sheet(50, 50, margin_mm=30), [box(1, 5, 5)], effort_s=0.1).laid == ()


def test_the_same_sheet_is_filled_alike_every_time() -> None:
    on = sheet(285.75, 300, affinity.translate(crescent(100), 120, 150), gap_mm=6.35)
    menu = [item(1, crescent(40), most=100), box(2, 60, 25, most=100), item(3, ring(30, 20), most=100)]
    assert fill_with_shapes(on, menu, effort_s=0.3) == fill_with_shapes(on, menu, effort_s=0.3)


def test_boxes_answer_first_and_every_later_layout_is_worth_more() -> None:
    on = sheet(220, 220, affinity.translate(crescent(60), 100, 100), gap_mm=5.0)
    menu = [item(1, crescent(30), most=99), box(2, 33, 21, most=99)]
    heard: list[tuple[Laid, ...]] = []
    filling = fill_with_shapes(on, menu, effort_s=QUICK_S, on_better=heard.append)
    values = [value_of(laid, menu) for laid in heard]
    assert values == sorted(values)
    assert values[-1] > values[0] > 0
    assert heard[-1] == filling.laid


def test_stop_gives_the_best_layout_so_far_marked_incomplete() -> None:
    flag, heard = StopFlag(), list[tuple[Laid, ...]]()
    menu = [item(1, crescent(30), most=99), box(2, 33, 21, most=99)]
    on = sheet(220, 220, affinity.translate(crescent(60), 100, 100), gap_mm=5.0)
    boxes_value = value_of(fill_with_boxes(on, menu, effort_s=0.1).laid, menu)

    def hear(laid: tuple[Laid, ...]) -> None:
        heard.append(laid)
        if value_of(laid, menu) > boxes_value:
            flag.stop()

    filling = fill_with_shapes(on, menu, effort_s=60.0, progress=flag.tick, on_better=hear)
    assert not filling.is_complete
    assert filling.laid == heard[-1] != ()


def test_a_search_ends_once_the_whole_menu_lies() -> None:
    menu = [item(1, crescent(30), most=2), box(2, 33, 21, most=3)]
    filling = fill_with_shapes(sheet(400, 400, gap_mm=5.0), menu, effort_s=1e6)
    assert Counter(one.key for one in filling.laid) == {1: 2, 2: 3}
    assert filling.is_complete


OBSTACLE = st.builds(
    lambda kind, x, y, turn: affinity.translate(affinity.rotate(kind, turn), x, y),
    st.sampled_from([shapely.box(0, 0, 60, 25), crescent(40), ring(45, 30), shapely.Point(0, 0).buffer(20)]),
    st.integers(-20, 160),
    st.integers(-20, 160),
    st.integers(0, 359),
)
WEDGE = shapely.Polygon([(0, 0), (30, 5), (8, 21)])
PIECE = st.builds(
    lambda shape, scale, turn, most, turns: (affinity.scale(shape, scale, scale), turn, most, turns),
    st.sampled_from([crescent(20), ring(22, 15), shapely.box(0, 0, 30, 9), WEDGE]),
    st.sampled_from([0.6, 1.0, 1.7]),
    st.sampled_from([0.0, 17.0]),
    st.integers(0, 4),
    st.sampled_from([(0.0,), (0.0, 180.0), (0.0, 90.0, 180.0, 270.0)]),
)  # fmt: skip


@settings(max_examples=25)
@given(
    pieces=st.lists(PIECE, min_size=1, max_size=4),
    obstacles=st.lists(OBSTACLE, max_size=3),
    gap_mm=st.sampled_from([0.0, 3.175, 6.35]),
    margin_mm=st.sampled_from([0.0, 7.3]),
)
def test_gap_margin_turns_and_counts_hold_whatever_lies_where(
    pieces: list[tuple[shapely.Geometry, float, int, tuple[float, ...]]],
    obstacles: list[shapely.geometry.base.BaseGeometry],
    gap_mm: float,
    margin_mm: float,
) -> None:
    on: FillSheet = sheet(150, 150, *obstacles, gap_mm=gap_mm, margin_mm=margin_mm)
    menu = [
        MenuItem(key, item(0, shape).outline, shape.area, most, turn, turns)
        for key, (shape, turn, most, turns) in enumerate(pieces)
    ]
    laid = fill_with_shapes(on, menu, effort_s=0.05).laid
    assert breaches(on, laid, menu) == ()
    assert not (Counter(one.key for one in laid) - Counter({one.key: one.most for one in menu}))
    for one in laid:
        wanted = menu[one.key]
        assert round((one.pose.turn_deg - wanted.turn_deg) % 360.0, 6) in wanted.turns_deg
    assert value_of(laid, menu) >= value_of(fill_with_boxes(on, menu, effort_s=0.05).laid, menu) - 1e-9
    lying = [laid_outline(menu[one.key], one.pose) for one in laid]
    assert all(shapely.distance(each, other) >= gap_mm - 1e-6 for each in lying for other in obstacles)
