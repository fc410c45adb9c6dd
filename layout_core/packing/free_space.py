"""The free film of a sheet as rectangles on a grid of 1/1000 in, cut round the true outlines on it."""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from rectpack.geometry import Rectangle
from rectpack.maxrects import MaxRects

from layout_core.packing.covers import GridBox, cover_boxes, steps_down
from layout_core.packing.fill import FillSheet

Sizes = Sequence[tuple[int, int]]
"""Width and height in grid steps of the pieces on offer; each may lie either way."""


class Field(NamedTuple):
    """Where pieces may lie: overlapping free rectangles as large as they go, in grid steps."""

    free: tuple[GridBox, ...]
    width: int
    length: int
    is_bare: bool


def usable_steps(sheet: FillSheet) -> tuple[int, int]:
    """Width and length inside the margins in grid steps; 0 or less when nothing is left."""
    return (
        steps_down(sheet.width_mm - 2.0 * sheet.margin_mm),
        steps_down(sheet.length_mm - 2.0 * sheet.margin_mm),
    )


def free_field(sheet: FillSheet, sizes: Sizes) -> Field:
    """The free rectangles of the sheet that can hold one of the sizes.

    A piece whose bounds lie in one of them keeps gap and margin to everything that lies on the sheet.
    Grid coordinates count from the corner where the margins meet.
    """
    width, length = usable_steps(sheet)
    if width <= 0 or length <= 0:
        return Field((), width, length, False)
    cutter = RoomyMaxRects(width, length, sizes)
    covers = [
        box
        for obstacle in sheet.obstacles
        for box in cover_boxes(obstacle, sheet.gap_mm, -sheet.margin_mm, -sheet.margin_mm)
    ]
    for box in sorted(covers, key=lambda b: (-b.area, b.y0, b.x0)):
        cutter.cut(box)
    return Field(tuple(sorted(cutter.free)), width, length, not covers)


def disjoint(free: Iterable[GridBox], sizes: Sizes) -> tuple[GridBox, ...]:
    """Free rectangles that do not overlap, the largest first: bins that can be packed one by one."""
    left = tuple(free)
    chosen: list[GridBox] = []
    while left:
        largest = max(left, key=lambda b: (b.area, -b.y0, -b.x0))
        chosen.append(largest)
        cutter = RoomyMaxRects(1, 1, sizes, free=left)
        cutter.cut(largest)
        left = cutter.free
    return tuple(chosen)


class RoomyMaxRects(MaxRects):  # type: ignore[misc]
    """rectpack's free rectangles, begun from any set of them and kept without those of no use.

    rectpack offers no way to begin with a part-filled bin, compares every pair of free rectangles at each
    step, which makes it slow beyond a hundred, and keeps those too small for any piece. Only fresh
    rectangles can be redundant, so only they are compared. `_max_rects`, `_split`, `_generate_splits`,
    `_select_position` and `_remove_duplicates` are private names of rectpack 0.2.2, hence the pin.
    `work` counts the free rectangles looked at, a clock that runs alike on every machine.
    """

    def __init__(
        self, width: int, height: int, sizes: Sizes, rot: bool = True, free: Iterable[GridBox] | None = None
    ) -> None:
        self.work = 0
        self._least_sides = _smallest_sides(sizes)
        super().__init__(width, height, rot)
        if free is not None:
            self._max_rects = [Rectangle(b.x0, b.y0, b.x1 - b.x0, b.y1 - b.y0) for b in free]

    @property
    def free(self) -> tuple[GridBox, ...]:
        return tuple(GridBox(r.x, r.y, r.x + r.width, r.y + r.height) for r in self._max_rects)

    def spend(self) -> int:
        """The work done since it was last asked for."""
        work, self.work = self.work, 0
        return work

    def cut(self, box: GridBox) -> None:
        """Take a rectangle out of the free space; it may stick out of the bin."""
        self._split(Rectangle(box.x0, box.y0, box.x1 - box.x0, box.y1 - box.y0))

    def place(self, width: int, height: int) -> Rectangle | None:
        """Where the heuristic would lay the size, perhaps with its sides swapped; takes nothing out yet."""
        return self._select_position(width, height)[0]

    def _select_position(self, w: int, h: int) -> tuple[Rectangle | None, Rectangle | None]:
        self.work += len(self._max_rects) + 1
        place: tuple[Rectangle | None, Rectangle | None] = super()._select_position(w, h)
        return place

    def _split(self, rect: Rectangle) -> None:
        self.work += len(self._max_rects) + 1
        left, bottom = rect.x, rect.y
        right, top = left + rect.width, bottom + rect.height
        kept, fresh = [], []
        for free in self._max_rects:
            x, y = free.x, free.y
            if x >= right or y >= top or x + free.width <= left or y + free.height <= bottom:
                kept.append(free)
            else:
                fresh += [part for part in self._generate_splits(free, rect) if self._is_roomy(part)]
        fresh.sort(key=lambda r: (-r.width * r.height, r.x, r.y))
        for part in fresh:
            if not _one_holds(kept, part):
                kept.append(part)
        self._max_rects = kept

    def _remove_duplicates(self) -> None:
        """Nothing to do: `_split` adds no rectangle that another one holds."""

    def _is_roomy(self, free: Rectangle) -> bool:
        short, long = sorted((free.width, free.height))
        return any(a <= short and b <= long for a, b in self._least_sides)


def _smallest_sides(sizes: Sizes) -> list[tuple[int, int]]:
    """The sizes as (short, long), without those that need at least as much room as another."""
    sides = sorted({(min(size), max(size)) for size in sizes})
    least: list[tuple[int, int]] = []
    for short, long in sides:
        if not least or long < least[-1][1]:
            least.append((short, long))
    return least


def _one_holds(kept: list[Rectangle], part: Rectangle) -> bool:
    x0, y0 = part.x, part.y
    x1, y1 = x0 + part.width, y0 + part.height
    return any(r.x <= x0 and r.y <= y0 and r.x + r.width >= x1 and r.y + r.height >= y1 for r in kept)
