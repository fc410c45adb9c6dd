"""Layouts for scissors: a guillotine really parts all pieces, whatever lies on the sheet already."""

from collections import Counter

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from layout_core.packing.audit import breaches
from layout_core.packing.engines import ENGINE_NAMES, FillWish, engine_named
from layout_core.packing.fill import FillSheet, Laid, MenuItem, laid_outline
from layout_core.packing.straight import fill_with_straight_cuts
from layout_core.progress import StopFlag
from tests.core.packing.menus import box, crescent, item, ring, sheet

Bounds = tuple[float, float, float, float]
DUST_MM = 1e-6


def is_parted_by_cuts(bounds: list[Bounds], gap_mm: float) -> bool:
    """Whether straight cuts from edge to edge, with the gap between both sides, part all boxes.

    Boxes already closer than the gap to each other can only be cut off together, so a group whose boxes
    all touch each other is done. Any cut that is possible stays possible after any other.
    """
    if len(bounds) <= 1:
        return True
    for low, high in ((0, 2), (1, 3)):
        in_order = sorted(bounds, key=lambda b: b[low])
        reach = in_order[0][high]
        for at, each in enumerate(in_order[1:], 1):
            if each[low] - reach >= gap_mm - DUST_MM:
                first, second = in_order[:at], in_order[at:]
                return is_parted_by_cuts(first, gap_mm) and is_parted_by_cuts(second, gap_mm)
            reach = max(reach, each[high])
    return False


def bounds_of(laid: tuple[Laid, ...], menu: list[MenuItem]) -> list[Bounds]:
    return [laid_outline(menu[one.key], one.pose).bounds for one in laid]


def test_the_checker_knows_a_pinwheel() -> None:
    pinwheel = [(0.0, 0.0, 2.0, 1.0), (2.0, 0.0, 3.0, 2.0), (1.0, 2.0, 3.0, 3.0), (0.0, 1.0, 1.0, 3.0)]
    assert not is_parted_by_cuts([*pinwheel, (1.0, 1.0, 2.0, 2.0)], 0.0)
    assert is_parted_by_cuts([(0.0, 0.0, 2.0, 1.0), (0.0, 1.0, 1.0, 2.0), (1.0, 1.0, 2.0, 2.0)], 0.0)


PIECE = st.tuples(
    st.sampled_from([crescent(20), ring(22, 15), shapely.box(0, 0, 30, 9), shapely.box(0, 0, 40, 40)]),
    st.sampled_from([0.5, 1.0, 1.6]),
    st.integers(0, 6),
    st.sampled_from([(0.0,), (0.0, 90.0, 180.0, 270.0)]),
)


@settings(max_examples=40)
@given(
    pieces=st.lists(PIECE, min_size=1, max_size=4),
    gap_mm=st.sampled_from([0.0, 3.175]),
    margin_mm=st.sampled_from([0.0, 6.35]),
    block=st.none() | st.tuples(st.integers(0, 100), st.integers(0, 100), st.integers(5, 80)),
)
def test_every_layout_is_a_guillotine_layout_and_sound(
    pieces: list[tuple[BaseGeometry, float, int, tuple[float, ...]]],
    gap_mm: float,
    margin_mm: float,
    block: tuple[int, int, int] | None,
) -> None:
    lying = [] if block is None else [shapely.box(block[0], block[1], block[0] + block[2], block[1] + 30)]
    on: FillSheet = sheet(160, 190, *lying, gap_mm=gap_mm, margin_mm=margin_mm)
    menu = [
        MenuItem(
            key, item(0, affinity.scale(shape, scale, scale)).outline, 1.0 + shape.area, most, 0.0, turns
        )
        for key, (shape, scale, most, turns) in enumerate(pieces)
    ]
    laid = fill_with_straight_cuts(on, menu, effort_s=0.02).laid
    assert breaches(on, laid, menu) == ()
    assert is_parted_by_cuts([*bounds_of(laid, menu), *(shape.bounds for shape in lying)], gap_mm)
    assert not (Counter(one.key for one in laid) - Counter({one.key: one.most for one in menu}))
    assert all(one.pose.turn_deg in menu[one.key].turns_deg for one in laid)


@pytest.mark.parametrize("engine", ENGINE_NAMES)
def test_straight_cuts_are_honoured_whatever_the_engine(engine: str) -> None:
    menu = [box(0, 50, 20, most=9), box(1, 31, 31, most=9), item(2, crescent(18), most=9)]
    laid = engine_named(engine, FillWish(straight_cuts=True))(
        sheet(150, 200, gap_mm=2.0), menu, effort_s=0.2
    ).laid
    assert len(laid) > 10
    assert is_parted_by_cuts(bounds_of(laid, menu), 2.0)


def test_nothing_is_laid_where_locked_pieces_leave_no_cut() -> None:
    pinwheel = [
        shapely.box(*b) for b in ((0, 0, 99, 49), (101, 0, 150, 99), (51, 101, 150, 150), (0, 51, 49, 150))
    ]
    on = sheet(150, 150, *pinwheel)
    assert fill_with_straight_cuts(on, [box(1, 20, 20, most=3)], effort_s=0.05).laid == ()


def test_stop_gives_the_best_so_far() -> None:
    flag = StopFlag()
    on, menu = sheet(300, 400, gap_mm=2.0), [box(0, 50, 20, most=99), box(1, 31, 31, most=99)]
    heard: list[tuple[Laid, ...]] = []

    def hear(laid: tuple[Laid, ...]) -> None:
        heard.append(laid)
        flag.stop()

    filling = fill_with_straight_cuts(on, menu, effort_s=1e6, progress=flag.tick, on_better=hear)
    assert not filling.is_complete
    assert filling.laid == heard[-1] != ()
