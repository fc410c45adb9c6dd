"""A piece that may not be turned is laid as it is wanted by every engine, whatever its neighbours may do."""

import pytest
from shapely import affinity

from layout_core.packing.audit import breaches
from layout_core.packing.engines import ENGINE_NAMES, engine_named
from layout_core.packing.fill import MenuItem
from tests.core.packing.menus import box, crescent, item, sheet

ENGINE = pytest.mark.parametrize("engine", ENGINE_NAMES)


@ENGINE
def test_a_barred_piece_lies_as_wanted_and_its_neighbours_may_turn(engine: str) -> None:
    barred = MenuItem(1, box(1, 70, 20).outline, 1400.0, 6, turn_deg=0.0, turns_deg=(0.0,))
    on, menu = sheet(160, 200, gap_mm=3.0), [barred, box(2, 64, 22, most=6), item(3, crescent(18), most=9)]
    laid = engine_named(engine)(on, menu, effort_s=0.3).laid
    assert breaches(on, laid, menu) == ()
    assert {one.pose.turn_deg for one in laid if one.key == 1} == {0.0}


@ENGINE
def test_a_barred_piece_too_long_as_wanted_is_not_laid(engine: str) -> None:
    barred = MenuItem(1, box(1, 30, 90).outline, 1.0, 1, turns_deg=(0.0,))
    assert engine_named(engine)(sheet(100, 40), [barred], effort_s=0.1).laid == ()


@ENGINE
def test_half_turns_alone_can_be_allowed(engine: str) -> None:
    half = MenuItem(1, affinity.scale(crescent(20), 1.0, 1.4), 1.0, 20, turns_deg=(0.0, 180.0))
    on = sheet(150, 150, gap_mm=2.0)
    laid = engine_named(engine)(on, [half], effort_s=0.3).laid
    assert len(laid) > 3
    assert {one.pose.turn_deg for one in laid} <= {0.0, 180.0}
