"""The last check of a layout names whatever breaks gap or margin, and nothing else."""

import shapely
from hypothesis import given
from hypothesis import strategies as st

from layout_core.geometry.pose import Pose
from layout_core.packing.audit import breaches
from layout_core.packing.fill import Laid
from tests.core.packing.menus import box, item, ring, sheet


def test_two_copies_exactly_a_gap_apart_are_sound() -> None:
    laid = [Laid(1, Pose(20, 20)), Laid(1, Pose(20 + 10 + 6.35, 20))]
    assert breaches(sheet(100, 100, gap_mm=6.35), laid, [box(1, 10, 10)]) == ()


def test_of_two_copies_too_close_the_later_one_is_named() -> None:
    laid = [Laid(1, Pose(20, 20)), Laid(1, Pose(20 + 10 + 6.3, 20)), Laid(1, Pose(60, 60))]
    assert breaches(sheet(100, 100, gap_mm=6.35), laid, [box(1, 10, 10)]) == (1,)


def test_a_copy_too_close_to_what_lies_there_is_named() -> None:
    there = shapely.box(30, 10, 40, 20)
    laid = [Laid(1, Pose(20, 15)), Laid(1, Pose(60, 60))]
    assert breaches(sheet(100, 100, there, gap_mm=5.01), laid, [box(1, 10, 10)]) == (0,)
    assert breaches(sheet(100, 100, there, gap_mm=5.0), laid, [box(1, 10, 10)]) == ()


def test_a_copy_over_the_margin_is_named() -> None:
    laid = [Laid(1, Pose(8, 50)), Laid(1, Pose(50, 92.1)), Laid(1, Pose(50, 50))]
    assert breaches(sheet(100, 100, margin_mm=3.0), laid, [box(1, 10, 10)]) == (1,)


def test_a_copy_inside_a_ring_counts_its_distance_to_the_ring_and_not_to_its_box() -> None:
    around = shapely.affinity.translate(ring(40, 30), 50, 50)
    assert breaches(sheet(100, 100, around, gap_mm=5.0), [Laid(1, Pose(50, 50))], [box(1, 30, 30)]) == ()
    assert breaches(sheet(100, 100, around, gap_mm=5.0), [Laid(1, Pose(50, 50))], [box(1, 40, 40)]) == (0,)


def test_without_a_gap_copies_may_touch_but_not_overlap() -> None:
    touching = [Laid(1, Pose(20, 20)), Laid(1, Pose(30, 20))]
    overlapping = [Laid(1, Pose(20, 20)), Laid(1, Pose(29, 20))]
    assert breaches(sheet(100, 100), touching, [box(1, 10, 10)]) == ()
    assert breaches(sheet(100, 100), overlapping, [box(1, 10, 10)]) == (1,)


@given(
    st.lists(st.tuples(st.integers(0, 110), st.integers(0, 110), st.sampled_from([0, 30, 90])), max_size=12)
)
def test_what_is_left_after_the_named_copies_go_is_sound(places: list[tuple[int, int, int]]) -> None:
    on = sheet(100, 100, shapely.box(40, 40, 60, 60), gap_mm=4.0, margin_mm=2.0)
    menu = [item(1, ring(6, 3))]
    laid = [Laid(1, Pose(x, y, turn)) for x, y, turn in places]
    bad = breaches(on, laid, menu)
    rest = [one for number, one in enumerate(laid) if number not in bad]
    assert breaches(on, rest, menu) == ()
