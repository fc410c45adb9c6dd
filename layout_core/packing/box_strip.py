"""The shortest strip for boxes: a skyline of exact fits, walked through orders of laying."""

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from random import Random
from typing import NamedTuple

from layout_core.packing.effort import Effort
from layout_core.packing.skyline import WALL, Box, LaidBox, Skyline

_PATIENCE = 600
_STEP_WORK = 3
_SEED = 20

_SORTS: tuple[Callable[[Box], tuple[int, ...]], ...] = (
    lambda s: (-s[0] * s[1],),
    lambda s: (-max(s), -min(s)),
    lambda s: (-s[0] - s[1],),
    lambda s: (-min(s), -max(s)),
    lambda s: (-s[0], -s[1]),
    lambda s: (-s[1], -s[0]),
)

Strip = tuple[LaidBox, ...]
Way = tuple[int, int, bool]
"""How a box lies: its size across the strip and along it, and whether that is turned."""


class Gap(NamedTuple):
    """The lowest stretch: how wide, how far to the end of the strip, how high its two walls."""

    room: int
    high: int
    low: int
    tall: int


def box_strips(
    sizes: Sequence[Box], width: int, may_turn: Sequence[bool], effort: Effort, length: int | None = None
) -> Iterator[Strip]:
    """Layouts of all boxes in a strip of the width, each shorter than the one before, and than `length`.

    Sizes are whole steps, the gap already added to boxes and strip; every box must fit across the strip.
    Each length reached is given up at once for one step less: boxes that find no room below it are left
    out, and the order of laying is changed until none is. Ends at the length that the area alone needs, or
    when the effort is spent. The same input gives the same layouts.
    Source: the lowest-gap rule of E. K. Burke, G. Kendall, G. Whitwell, Oper. Res. 52 (2004), with scores
    for exact fits; from memory.
    """
    if not sizes:
        return
    walk = _Walk(sizes, width, may_turn, effort)
    least = walk.least_length
    most = sum(max(size) for size in sizes) if length is None else length - 1
    for sort in _SORTS:
        order = sorted(range(len(sizes)), key=lambda i: (sort(sizes[i]), i))
        laid, left_out = walk.laid(order, most)
        if not left_out:
            yield tuple(laid)
            most = walk.reach(laid) - 1
        if effort.is_spent:
            return
    starts = [sorted(range(len(sizes)), key=lambda i: (sort(sizes[i]), i)) for sort in _SORTS]
    turn = 0
    while most >= least and not effort.is_spent:
        found = walk.walked(starts[turn % len(starts)], most)
        turn += 1
        if found is not None:
            laid, order = found
            yield tuple(laid)
            most = walk.reach(laid) - 1
            starts.insert(turn % len(starts), order)
            starts = starts[: len(_SORTS) + 2]


class _Walk:
    """Lays boxes in an order of preference, and walks from order to order."""

    def __init__(self, sizes: Sequence[Box], width: int, may_turn: Sequence[bool], effort: Effort) -> None:
        self._sizes = sizes
        self._width = width
        self._area = sum(w * h for w, h in sizes)
        self._effort = effort
        self._random = Random(_SEED)
        self._ways: list[tuple[Way, ...]] = []
        self._across: dict[int, list[int]] = {}
        self._along: dict[int, list[int]] = {}
        for index, (w, h) in enumerate(sizes):
            ways = [(w, h, False)] if w <= width else []
            if may_turn[index] and w != h and h <= width:
                ways.append((h, w, True))
            if not ways:
                raise ValueError(f"box {index} is wider than the strip")
            self._ways.append(tuple(ways))
            for across, along, _ in ways:
                self._across.setdefault(across, []).append(index)
                self._along.setdefault(along, []).append(index)

    @property
    def least_length(self) -> int:
        """No layout is shorter: the area of the boxes, and the least any of them needs."""
        return max(
            math.ceil(self._area / self._width), max(min(way[1] for way in ways) for ways in self._ways)
        )

    def reach(self, laid: Sequence[LaidBox]) -> int:
        return max(box.y + self._sizes[box.at][0 if box.is_turned else 1] for box in laid)

    def walked(self, start: Sequence[int], most: int) -> tuple[list[LaidBox], list[int]] | None:
        """A layout of all boxes within the length, and its order; None when nothing got better for long."""
        order = list(start)
        _, least_out = self.laid(order, most)
        stale = 0
        while stale < _PATIENCE and not self._effort.is_spent:
            trial = self._stirred(order)
            laid, left_out = self.laid(trial, most, least_out)
            if left_out == 0:
                return laid, trial
            stale = 0 if left_out < least_out else stale + 1
            if left_out <= least_out:
                order, least_out = trial, left_out
        return None

    def _stirred(self, order: Sequence[int]) -> list[int]:
        trial, count, draw = list(order), len(order), self._random.random
        a, b = int(draw() * count), int(draw() * count)
        if draw() < 0.5:
            trial[a], trial[b] = trial[b], trial[a]
        else:
            trial.insert(b, trial.pop(a))
        return trial

    def laid(self, order: Sequence[int], most: int, bearable: float = math.inf) -> tuple[list[LaidBox], int]:
        """The boxes laid below the length, and the area of those left out; more than bearable ends it."""
        sky = Skyline(self._width)
        rank = [0] * len(order)
        for place, index in enumerate(order):
            rank[index] = place
        left = dict.fromkeys(order)
        laid: list[LaidBox] = []
        slack = self._width * most - self._area + bearable
        steps = 0
        while left:
            steps += 1
            at, left_wall, right_wall = sky.lowest()
            _, y, room = sky.stretches[at]
            low, tall = (left_wall, right_wall) if left_wall <= right_wall else (right_wall, left_wall)
            choice = self._best(left, rank, Gap(room, most - y, low, tall))
            if choice is None:
                slack -= room * min(low, most - y)
                if slack < 0 or low == WALL or y >= most:
                    break
                sky.raise_lowest(at, left_wall, right_wall)
                continue
            index, (across, along, is_turned) = choice
            del left[index]
            x, y = sky.lay(at, across, along, at_right=right_wall > left_wall)
            laid.append(LaidBox(index, is_turned, x, y))
        self._effort.spend(steps * _STEP_WORK + len(order) // 8 + 1)
        return laid, sum(self._sizes[index][0] * self._sizes[index][1] for index in left)

    def _best(self, left: Mapping[int, None], rank: Sequence[int], gap: Gap) -> tuple[int, Way] | None:
        """The box, and how it lies, that fits the gap most exactly; of equals the first in the order."""
        best, best_key = None, (0, 0)
        for index in self._across.get(gap.room, ()):
            if index in left:
                for way in self._ways[index]:
                    if way[0] == gap.room and way[1] <= gap.high:
                        key = (3 if way[1] == gap.tall else 2 if way[1] == gap.low else 1, -rank[index])
                        if best is None or key > best_key:
                            best, best_key = (index, way), key
        if best is not None:
            return best
        for wall in (gap.tall, gap.low):
            if wall <= gap.high:
                for index in self._along.get(wall, ()):
                    if index in left and (best is None or rank[index] < -best_key[1]):
                        for way in self._ways[index]:
                            if way[1] == wall and way[0] <= gap.room:
                                best, best_key = (index, way), (0, -rank[index])
                                break
                if best is not None:
                    return best
        for index in left:
            for way in self._ways[index]:
                if way[0] <= gap.room and way[1] <= gap.high:
                    return index, way
        return None
