"""Fills for scissors: every piece can be freed by straight cuts from edge to edge of what is left."""

import math
from collections.abc import Iterator, Sequence
from random import Random
from typing import NamedTuple

from layout_core.errors import Cancelled
from layout_core.packing.covers import GridBox, steps_down, steps_up
from layout_core.packing.crates import Crate, Spot, crates_of, laid_of
from layout_core.packing.effort import Effort
from layout_core.packing.fill import Filling, FillSheet, MenuItem, OnBetter, unheard
from layout_core.packing.free_space import usable_steps
from layout_core.progress import Progress, no_progress

USUAL_EFFORT_S = 1.0
_SEED = 20
_NOISES = (0.0, 0.2, 0.6, 1.5)


class _Way(NamedTuple):
    """A menu item as it may lie, the gap counted in."""

    crate: int
    is_turned: bool
    width: int
    height: int


def fill_with_straight_cuts(
    sheet: FillSheet,
    menu: Sequence[MenuItem],
    *,
    effort_s: float = USUAL_EFFORT_S,
    progress: Progress = no_progress,
    on_better: OnBetter = unheard,
) -> Filling:
    """Lays pieces by their bounding boxes so that guillotine cuts part all of them.

    What lies on the sheet counts as its bounding boxes; boxes that overlap count as one. Where no straight
    cut goes between them nothing is laid.
    """
    crates = crates_of(menu, sheet.gap_mm)
    laid, is_complete = laid_of((), menu, sheet), True
    try:
        for spots in _better_fills(sheet, crates, Effort(effort_s, progress)):
            laid = laid_of(spots, menu, sheet)
            on_better(laid)
    except Cancelled:
        is_complete = False
    return Filling(laid, is_complete)


def free_by_cuts(sheet: FillSheet) -> tuple[GridBox, ...]:
    """Rectangles that straight cuts part from all that lies on the sheet, the largest first.

    In grid steps from the corner where the margins meet, the gap added on their high sides.
    """
    gap = steps_up(sheet.gap_mm)
    width, length = usable_steps(sheet)
    if width <= 0 or length <= 0:
        return ()
    whole = GridBox(0, 0, width + gap, length + gap)
    blocks = [
        GridBox(
            steps_down(x0 - sheet.margin_mm),
            steps_down(y0 - sheet.margin_mm),
            steps_up(x1 - sheet.margin_mm) + gap,
            steps_up(y1 - sheet.margin_mm) + gap,
        )
        for x0, y0, x1, y1 in (obstacle.bounds for obstacle in sheet.obstacles if not obstacle.is_empty)
    ]
    return tuple(sorted(_parted(whole, _merged(blocks)), key=lambda b: (-b.area, b)))


def _better_fills(sheet: FillSheet, crates: Sequence[Crate], effort: Effort) -> Iterator[list[Spot]]:
    gap = steps_up(sheet.gap_mm)
    ways = [
        _Way(at, is_turned, *(side + gap for side in crate.size(is_turned)))
        for at, crate in enumerate(crates)
        for is_turned in ((False, True) if crate.may_turn else (False,))
    ]
    free, random = free_by_cuts(sheet), Random(_SEED)
    best, number = 0.0, 0
    while number < len(_NOISES) or not effort.is_spent:
        fill = _Fill(crates, ways, random, _NOISES[number % len(_NOISES)])
        for box in free:
            fill.fill(box)
        effort.spend(fill.work)
        value = sum(crates[spot.crate].value for spot in fill.spots)
        if value > best + 1e-9:
            best = value
            yield fill.spots
        if not any(fill.left):
            return
        number += 1


class _Fill:
    """One random greedy fill of rectangles, each cut up further as pieces are laid into its corners."""

    def __init__(self, crates: Sequence[Crate], ways: Sequence[_Way], random: Random, noise: float) -> None:
        self.spots: list[Spot] = []
        self.left = [crate.most for crate in crates]
        self.work = 1
        self._random = random
        worth = [crate.value * math.exp(noise * random.gauss(0.0, 1.0)) for crate in crates]
        self._ways = sorted(ways, key=lambda way: (-worth[way.crate], way.crate, random.random()))

    def fill(self, whole: GridBox) -> None:
        open_boxes = [whole]
        while open_boxes:
            box = open_boxes.pop()
            width, height = box.x1 - box.x0, box.y1 - box.y0
            self.work += len(self._ways)
            way = next(
                (w for w in self._ways if self.left[w.crate] > 0 and w.width <= width and w.height <= height),
                None,
            )
            if way is not None:
                self.left[way.crate] -= 1
                self.spots.append(Spot(way.crate, way.is_turned, box.x0, box.y0))
                open_boxes += self._rest(box, way)

    def _rest(self, box: GridBox, way: _Way) -> list[GridBox]:
        """What two cuts leave, the first of them through the whole box, across or along."""
        right, below = box.x0 + way.width, box.y0 + way.height
        if self._random.random() < 0.5:
            parts = GridBox(right, box.y0, box.x1, box.y1), GridBox(box.x0, below, right, box.y1)
        else:
            parts = GridBox(right, box.y0, box.x1, below), GridBox(box.x0, below, box.x1, box.y1)
        return [part for part in parts if part.x1 > part.x0 and part.y1 > part.y0]


def _merged(blocks: Sequence[GridBox]) -> list[GridBox]:
    merged: list[GridBox] = []
    for block in blocks:
        near = [other for other in merged if _overlap(other, block)]
        while near:
            merged = [other for other in merged if other not in near]
            group = [*near, block]
            block = GridBox(
                min(b.x0 for b in group),
                min(b.y0 for b in group),
                max(b.x1 for b in group),
                max(b.y1 for b in group),
            )
            near = [other for other in merged if _overlap(other, block)]
        merged.append(block)
    return merged


def _parted(box: GridBox, blocks: Sequence[GridBox]) -> Iterator[GridBox]:
    """The free parts of the box after cuts along the edges of blocks that go through no block."""
    inside = [block for block in blocks if _overlap(block, box)]
    if not inside:
        yield box
        return
    cuts = [cut for cut in _cuts(box, inside) if not any(_crosses(cut, block) for block in inside)]
    if not cuts:
        return
    halves = [_halves(box, cut) for cut in cuts]
    first, second = max(halves, key=lambda pair: max(_free_area(half, inside) for half in pair))
    yield from _parted(first, inside)
    yield from _parted(second, inside)


def _cuts(box: GridBox, blocks: Sequence[GridBox]) -> list[tuple[bool, int]]:
    """(is upright, where) of every cut along an edge of a block inside the box."""
    upright = {x for b in blocks for x in (b.x0, b.x1) if box.x0 < x < box.x1}
    level = {y for b in blocks for y in (b.y0, b.y1) if box.y0 < y < box.y1}
    return [*((True, x) for x in sorted(upright)), *((False, y) for y in sorted(level))]


def _crosses(cut: tuple[bool, int], block: GridBox) -> bool:
    is_upright, at = cut
    return block.x0 < at < block.x1 if is_upright else block.y0 < at < block.y1


def _halves(box: GridBox, cut: tuple[bool, int]) -> tuple[GridBox, GridBox]:
    is_upright, at = cut
    if is_upright:
        return box._replace(x1=at), box._replace(x0=at)
    return box._replace(y1=at), box._replace(y0=at)


def _free_area(box: GridBox, blocks: Sequence[GridBox]) -> int:
    return 0 if any(_overlap(block, box) for block in blocks) else box.area


def _overlap(first: GridBox, second: GridBox) -> bool:
    return first.x0 < second.x1 and second.x0 < first.x1 and first.y0 < second.y1 and second.y0 < first.y1
