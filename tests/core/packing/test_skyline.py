"""Boxes on a skyline: nothing overlaps, nothing sticks out, everything is there."""

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from layout_core.packing.skyline import skyline_fit

BOXES = st.lists(st.tuples(st.integers(1, 40), st.integers(1, 40)), min_size=0, max_size=12)


@given(BOXES, st.integers(20, 80), st.integers(20, 80))
def test_a_layout_holds_every_box_once_inside_and_apart(
    sizes: list[tuple[int, int]], width: int, length: int
) -> None:
    found = skyline_fit(sizes, width, length, tries=40)
    if found is None:
        return
    assert sorted(one.at for one in found) == list(range(len(sizes)))
    rects = []
    for one in found:
        w, h = sizes[one.at][::-1] if one.is_turned else sizes[one.at]
        assert one.x >= 0
        assert one.y >= 0
        assert one.x + w <= width
        assert one.y + h <= length
        rects.append((one.x, one.y, one.x + w, one.y + h))
    for a, b in combinations(rects, 2):
        assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


def test_boxes_that_need_every_last_step_are_found() -> None:
    """By hand: 3250 + 8250 + 4000 + 3250 = 18750, each row within 11000."""
    sizes = [(8250, 8750), (4000, 4000), (4000, 4000), (3250, 3250), (3250, 3250), (10250, 3250)]
    assert skyline_fit(sizes, 11_000, 18_750) is not None


def test_walks_from_many_places_find_a_sheet_that_is_98_percent_full() -> None:
    """11 boxes on 11 x 21.75; CP-SAT found that they fit. Sorted orders and one long walk do not find it."""
    sizes = [(8250, 6250), (6250, 7250), (4250, 4250), (4250, 4250), (3750, 3750), (3750, 3750), (3250, 3250),
             (10250, 2750), (5250, 2250), (5250, 2250), (5250, 2250)]  # fmt: skip
    assert sum(w * h for w, h in sizes) / (11_000 * 21_750) > 0.98
    assert skyline_fit(sizes, 11_000, 21_750) is not None


def test_more_area_than_the_sheet_has_is_refused_at_once() -> None:
    assert skyline_fit([(10, 10)] * 2, 10, 19, tries=10**9) is None
