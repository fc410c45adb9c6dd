"""Boxes laid on a rising skyline, best score first, with swaps in the order of laying until they all fit."""

import random
from collections.abc import Callable, Sequence
from typing import NamedTuple

_SORTS: tuple[Callable[["Box"], tuple[int, ...]], ...] = (
    lambda s: (-s[0] * s[1],),
    lambda s: (-max(s), -min(s)),
    lambda s: (-s[0] - s[1],),
    lambda s: (-min(s), -max(s)),
    lambda s: (-s[0], -s[1]),
    lambda s: (-s[1], -s[0]),
)


Box = tuple[int, int]
Ranked = tuple[int, bool]
"""A box by its position in the list, and whether it is tried turned first."""

WALL = 1 << 40
_PERFECT = 6
_PATIENCE = 300


class LaidBox(NamedTuple):
    """One box on the grid: its position in the list given, turned or not, and its low corner."""

    at: int
    is_turned: bool
    x: int
    y: int


class Skyline:
    """The upper edge of what is laid, as stretches (x, y, width) from left to right."""

    def __init__(self, width: int) -> None:
        self.stretches: list[tuple[int, int, int]] = [(0, 0, width)]

    def lowest(self) -> tuple[int, int, int]:
        """Position of the lowest stretch, leftmost first, and the heights of its walls above it."""
        heights = [stretch[1] for stretch in self.stretches]
        y = min(heights)
        at = heights.index(y)
        left = self.stretches[at - 1][1] - y if at else WALL
        right = self.stretches[at + 1][1] - y if at + 1 < len(self.stretches) else WALL
        return at, left, right

    def lay(self, at: int, width: int, height: int, *, at_right: bool) -> tuple[int, int]:
        """Lay a box into the stretch, against one of its walls; its low corner."""
        x, y, room = self.stretches[at]
        corner = x + room - width if at_right else x
        top = (corner, y + height, width)
        rest = (x if at_right else x + width, y, room - width)
        parts = [top] if not rest[2] else [rest, top] if at_right else [top, rest]
        self.stretches[at : at + 1] = parts
        self._join(max(at - 1, 0), at + len(parts) + 1)
        return corner, y

    def raise_lowest(self, at: int, left: int, right: int) -> None:
        """Give up the stretch: lift it to the lower of its walls."""
        x, y, width = self.stretches[at]
        self.stretches[at] = (x, y + min(left, right), width)
        self._join(max(at - 1, 0), at + 2)

    def _join(self, first: int, last: int) -> None:
        joined: list[tuple[int, int, int]] = []
        for x, y, width in self.stretches[first:last]:
            if joined and joined[-1][1] == y:
                joined[-1] = (joined[-1][0], y, joined[-1][2] + width)
            else:
                joined.append((x, y, width))
        self.stretches[first:last] = joined


def unheard(work: int) -> None:
    """Count nothing."""


def skyline_fit(
    sizes: Sequence[Box],
    width: int,
    length: int,
    *,
    tries: int = 2000,
    seed: int = 1,
    spend: Callable[[int], None] = unheard,
) -> tuple[LaidBox, ...] | None:
    """All boxes inside width x length, quarter turns allowed; None when `tries` layings did not do it.

    Sizes are whole steps, the gap already added to boxes and sheet. The same input gives the same answer.
    `spend` hears of the boxes laid, again and again.
    Source: the lowest-gap rule of E. K. Burke, G. Kendall, G. Whitwell, "A new placement heuristic for the
    orthogonal stock-cutting problem", Oper. Res. 52 (2004), with scores for exact fits; from memory.
    """
    if not sizes:
        return ()
    if sum(w * h for w, h in sizes) > width * length:
        return None
    rooms = ((width, length), (length, width))
    for is_flipped, room in enumerate(rooms):
        for sort in _SORTS:
            spend(len(sizes))
            laid, _ = _laid(sizes, _sorted(sizes, sort), *room)
            if laid is not None:
                return _flipped(laid) if is_flipped else laid
    chance = random.Random(seed)
    left, turn = tries - 2 * len(_SORTS), 0
    while left > 0:
        is_flipped = turn % 3 == 2
        laid, spent = _improved(sizes, rooms[is_flipped], min(left, _PATIENCE * 10), chance)
        spend(spent * len(sizes))
        if laid is not None:
            return _flipped(laid) if is_flipped else laid
        left, turn = left - spent, turn + 1
    return None


def _sorted(sizes: Sequence[Box], sort: Callable[[Box], tuple[int, ...]]) -> list[Ranked]:
    return [(i, False) for i in sorted(range(len(sizes)), key=lambda i: (sort(sizes[i]), i))]


def _improved(
    sizes: Sequence[Box], room: Box, tries: int, chance: random.Random
) -> tuple[tuple[LaidBox, ...] | None, int]:
    """A walk from a random order: swap two, move one or turn one, keep what is not worse.

    Gives the layout, if one was found, and how many layings it took. The walk ends when nothing has been
    better for a while; walks from many places find tight layouts that one long walk misses.
    """
    order: list[Ranked] = [(i, chance.random() < 0.5) for i in range(len(sizes))]
    chance.shuffle(order)
    laid, best = _laid(sizes, order, *room)
    spent, stale = 1, 0
    while laid is None and spent < tries and stale < _PATIENCE:
        trial = _stirred(order, chance)
        laid, height = _laid(sizes, trial, *room)
        spent, stale = spent + 1, 0 if height < best else stale + 1
        if height <= best:
            order, best = trial, height
    return laid, spent


def _stirred(order: Sequence[Ranked], chance: random.Random) -> list[Ranked]:
    trial, draw = list(order), chance.random()
    a, b = chance.randrange(len(trial)), chance.randrange(len(trial))
    if draw < 0.4:
        trial[a], trial[b] = trial[b], trial[a]
    elif draw < 0.7:
        trial.insert(b, trial.pop(a))
    else:
        trial[a] = (trial[a][0], not trial[a][1])
    return trial


def _laid(
    sizes: Sequence[Box], order: Sequence[Ranked], width: int, length: int
) -> tuple[tuple[LaidBox, ...] | None, int]:
    """The boxes laid in that order of preference when all stay within the length, and the height reached."""
    sky = Skyline(width)
    left = list(order)
    laid: list[LaidBox] = []
    reach = 0
    while left:
        at, left_wall, right_wall = sky.lowest()
        choice = _best_fit(sizes, left, sky.stretches[at][2], *sorted((left_wall, right_wall)))
        if choice is None:
            if left_wall == right_wall == WALL:
                return None, WALL
            sky.raise_lowest(at, left_wall, right_wall)
            continue
        place, is_turned = choice
        index = left.pop(place)[0]
        w, h = sizes[index][::-1] if is_turned else sizes[index]
        x, y = sky.lay(at, w, h, at_right=right_wall > left_wall)
        laid.append(LaidBox(index, is_turned, x, y))
        reach = max(reach, y + h)
    return (tuple(laid) if reach <= length else None), reach


def _best_fit(
    sizes: Sequence[Box], left: Sequence[Ranked], room: int, low: int, tall: int
) -> tuple[int, bool] | None:
    """Place in the order and turn of the box that fits the stretch and its walls most exactly."""
    best_score, best = 0, None
    seen: set[tuple[Box, bool]] = set()
    for place, (index, turned_first) in enumerate(left):
        size = sizes[index]
        if (size, turned_first) in seen:
            continue
        seen.add((size, turned_first))
        for is_turned in (turned_first, not turned_first):
            across, along = size[::-1] if is_turned else size
            if across > room:
                continue
            score = (4 if across == room else 1) + (2 if along == tall else 1 if along == low else 0)
            if score > best_score:
                best_score, best = score, (place, is_turned)
                if score == _PERFECT:
                    return best
    return best


def _flipped(laid: Sequence[LaidBox]) -> tuple[LaidBox, ...]:
    """The layout mirrored at the diagonal: across becomes along, and every box the other way round."""
    return tuple(LaidBox(b.at, not b.is_turned, b.y, b.x) for b in laid)
