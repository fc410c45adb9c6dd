"""Few boxes on a sheet: laid, or proven not to fit."""

from itertools import combinations

import pytest

from layout_core.errors import Cancelled
from layout_core.plan.box_proof import MOST_BOXES, verdict
from layout_core.plan.clock import Clock
from layout_core.progress import StopFlag


@pytest.mark.parametrize(
    ("sizes", "film", "fits"),
    [
        ([(6, 6)] * 3, (11, 18), True),
        (
            [(6, 6)] * 4,
            (11, 23),
            False,
        ),  # two beside each other need 12, four along need 24; the area is enough
        ([(5, 3), (3, 5), (5, 3), (3, 5), (2, 2)], (8, 8), True),  # a pinwheel round its middle
        ([(5, 3), (3, 5), (5, 3), (3, 5), (3, 2)], (8, 8), False),
    ],
)
def test_hand_checked_sheets(sizes: list[tuple[int, int]], film: tuple[int, int], fits: bool) -> None:
    answer = verdict(sizes, film, seconds=30, clock=Clock(30))
    assert (answer.laid is not None, answer.is_impossible) == (fits, not fits)
    rects = []
    for box in answer.laid or ():
        w, h = sizes[box.at][::-1] if box.is_turned else sizes[box.at]
        assert box.x >= 0 <= box.y
        assert box.x + w <= film[0]
        assert box.y + h <= film[1]
        rects.append((box.x, box.y, box.x + w, box.y + h))
    for a, b in combinations(rects, 2):
        assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


def test_of_many_boxes_nothing_is_said() -> None:
    answer = verdict([(9, 9)] * (MOST_BOXES + 1), (10, 10), seconds=1, clock=Clock(1))
    assert (answer.laid, answer.is_impossible) == (None, False)


def test_stop_ends_a_proof() -> None:
    flag = StopFlag()
    flag.stop()
    with pytest.raises(Cancelled):
        verdict([(6, 5)] * 12, (23, 17), seconds=30, clock=Clock(30, flag.tick))
