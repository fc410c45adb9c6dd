"""The shortest sheet that holds every copy: boxes, true shapes and the strip solver, the best kept."""

import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import shapely
from shapely import Polygon, affinity

from layout_core.errors import Cancelled, LayoutError
from layout_core.geometry.pose import Pose, cos_sin, size_mm
from layout_core.packing.audit import breaches
from layout_core.packing.box_strip import box_strips
from layout_core.packing.boxes import fill_with_boxes
from layout_core.packing.covers import GRID_MM, steps_down, steps_up
from layout_core.packing.crates import Spot, crates_of, laid_of
from layout_core.packing.effort import Effort
from layout_core.packing.fill import FillSheet, Laid, MenuItem, laid_outline
from layout_core.packing.fits import misfits
from layout_core.packing.shapes import fill_with_shapes
from layout_core.packing.strip_outline import one_ring
from layout_core.packing.strip_process import StripItem, StripSolver, StripSpot
from layout_core.progress import Progress, no_progress, within

USUAL_SECONDS = 10.0
MOST_COPIES = 2000
"""A sheet with more copies than that is nobody's; the search would take hours."""

Way = Literal["boxes", "shapes", "solver"]
WAYS: tuple[Way, ...] = ("boxes", "shapes", "solver")

_BOXES_SHARE, _BOXES_MOST_S = 0.1, 1.0
_SHAPES_SHARE, _SHAPES_SHARE_OF_HOLLOW = 0.05, 0.4
_SHORTER = 0.98
_LABEL = "Shortening the sheet"
_SOLID = 0.98
"""Menus of pieces that fill their boxes to that share are the box search's, as long as the solver's."""
_ROOMY = 0.999
"""A piece must be a thousandth narrower than the strip: exact fits make the solver panic (spyrrow 0.9)."""


@dataclass(frozen=True, slots=True)
class Strip:
    """All copies on a sheet of this length (mm, both margins counted in), and which way found them.

    `is_complete` is False when Stop ended the search; the layout is the best until then.
    """

    length_mm: float
    laid: tuple[Laid, ...]
    way: Way
    is_complete: bool = True


Heard = Callable[[Strip], None]


def unheard(strip: Strip) -> None:
    """Tell nobody of shorter layouts."""


def shortest_strip(
    sheet: FillSheet,
    menu: Sequence[MenuItem],
    *,
    seconds: float = USUAL_SECONDS,
    ways: Sequence[Way] = WAYS,
    progress: Progress = no_progress,
    on_better: Heard = unheard,
) -> Strip:
    """Lays `most` copies of every item on an empty sheet of that width, margin and gap, as short as found.

    The sheet's length does not matter and its obstacles are not allowed. Boxes come first and always give
    an answer, so the result is never longer than theirs; true shapes next, which use holes; the rest of
    the time is the solver's, which knows neither holes nor obstacles but is the best at everything else.
    `seconds` is time by the clock, so two runs may differ. Raises LayoutError for obstacles, for too many
    copies, and for pieces too wide for the sheet, before any search.
    """
    _check(sheet, menu)
    run = _Run(sheet, menu, on_better)
    boxes_end, shapes_end = _shares(menu, ways, seconds)
    solver = _solver(run, seconds) if "solver" in ways else None
    try:
        run.take(_skyline(run, Effort(0.0, progress, _LABEL)), "boxes")
        tick = _until(boxes_end * seconds, within(progress, 0.0, boxes_end))
        run.take(_skyline(run, Effort(boxes_end * seconds, tick, _LABEL)), "boxes")
        run.take(_rectpack(run, boxes_end * seconds / 4.0, tick), "boxes")
        if "shapes" in ways:
            tick = _until((shapes_end - boxes_end) * seconds, within(progress, boxes_end, shapes_end))
            run.take(_shapes(run, (shapes_end - boxes_end) * seconds, tick), "shapes")
        if solver is not None:
            run.take(_solved(run, solver, _not_before(shapes_end, progress)), "solver")
    except Cancelled:
        if run.best is None:
            raise
        return replace(run.best, is_complete=False)
    finally:
        if solver is not None:
            solver.close()
    return run.best or Strip(2.0 * sheet.margin_mm, (), "boxes")


def _shares(menu: Sequence[MenuItem], ways: Sequence[Way], seconds: float) -> tuple[float, float]:
    """When boxes end and when shapes end, as shares of the time; the solver works beside them all along."""
    if "solver" not in ways:
        return (0.5, 1.0) if "shapes" in ways else (1.0, 1.0)
    if all(item.outline.area > _SOLID * item.outline.envelope.area for item in menu):
        return 0.5, 0.5
    is_hollow = any(len(part.interiors) for item in menu for part in item.outline.geoms)
    boxes_end = min(_BOXES_SHARE, _BOXES_MOST_S / seconds)
    return boxes_end, boxes_end + (_SHAPES_SHARE_OF_HOLLOW if is_hollow else _SHAPES_SHARE)


def _not_before(start: float, progress: Progress) -> Progress:
    """Progress that never falls behind where the search before it ended."""

    def tick(fraction: float, label: str) -> None:
        progress(max(start, fraction), label)

    return tick


class _TimeUp(Cancelled):
    """One way's share of the time is over; the next may begin."""


def _until(seconds: float, progress: Progress) -> Progress:
    """Progress that ends the work when its time is up, once there is a layout to fall back on."""
    end_s = time.monotonic() + seconds

    def tick(fraction: float, label: str) -> None:
        progress(fraction, label)
        if time.monotonic() > end_s:
            raise _TimeUp

    return tick


class _Run:
    """The best layout so far; takes only what is sound and shorter."""

    def __init__(self, sheet: FillSheet, menu: Sequence[MenuItem], on_better: Heard) -> None:
        self.sheet = sheet
        self.menu = menu
        self.wanted = [item for item in menu if item.most > 0]
        self.best: Strip | None = None
        self._on_better = on_better
        self._items = {item.key: item for item in menu}

    def take(self, layouts: Iterator[tuple[Laid, ...]], way: Way) -> None:
        try:
            for laid in layouts:
                self._offer(laid, way)
        except _TimeUp:
            return

    def sheet_of(self, length_mm: float) -> FillSheet:
        return replace(self.sheet, length_mm=length_mm)

    def _offer(self, laid: tuple[Laid, ...], way: Way) -> None:
        if len(laid) < sum(item.most for item in self.menu) or not laid:
            return
        bounds = shapely.total_bounds([laid_outline(self._items[one.key], one.pose) for one in laid])
        margin_mm = self.sheet.margin_mm
        dx_mm, dy_mm = margin_mm - float(bounds[0]), margin_mm - float(bounds[1])
        length_mm = float(bounds[3] - bounds[1]) + 2.0 * margin_mm
        if self.best is not None and length_mm >= self.best.length_mm - 1e-6:
            return
        moved = tuple(Laid(one.key, one.pose.shifted(dx_mm, dy_mm)) for one in laid)
        if not breaches(self.sheet_of(length_mm), moved, self.menu):
            self.best = Strip(length_mm, moved, way)
            self._on_better(self.best)


def _skyline(run: _Run, effort: Effort) -> Iterator[tuple[Laid, ...]]:
    """Box layouts on a skyline; the first of them whatever the effort."""
    sheet, menu = run.sheet, run.menu
    crates = crates_of(menu, sheet.gap_mm)
    gap = steps_up(sheet.gap_mm)
    copies = [at for at, item in enumerate(menu) for _ in range(item.most)]
    sizes = [(crates[at].width + gap, crates[at].height + gap) for at in copies]
    width = steps_down(sheet.width_mm - 2.0 * sheet.margin_mm) + gap
    length = None if run.best is None else steps_up(run.best.length_mm - 2.0 * sheet.margin_mm) + gap
    for strip in box_strips(sizes, width, [crates[at].may_turn for at in copies], effort, length):
        spots = [Spot(copies[box.at], box.is_turned, box.x, box.y) for box in strip]
        yield laid_of(spots, menu, sheet)


def _rectpack(run: _Run, seconds: float, progress: Progress) -> Iterator[tuple[Laid, ...]]:
    """Box fills of sheets a step shorter than the best, as long as they hold everything."""
    before = None
    while run.best is not None and run.best is not before:
        before = run.best
        on = run.sheet_of(before.length_mm - GRID_MM)
        yield fill_with_boxes(on, run.menu, effort_s=seconds, progress=progress).laid


def _shapes(run: _Run, seconds: float, progress: Progress) -> Iterator[tuple[Laid, ...]]:
    """True-shape fills of ever shorter sheets, as long as they hold everything."""
    menu = [replace(item, value=item.outline.area) for item in run.menu]
    rounds = 4
    shorter = _SHORTER
    for number in range(rounds):
        if run.best is None or len(run.best.laid) < 2:
            return
        before = run.best
        length_mm = max(before.length_mm * shorter, _least_mm(run))
        tick = within(progress, number / rounds, (number + 1) / rounds)
        yield fill_with_shapes(run.sheet_of(length_mm), menu, effort_s=seconds / rounds, progress=tick).laid
        shorter = shorter**2 if run.best is not before else (1.0 + shorter) / 2.0


def _solver(run: _Run, seconds: float) -> StripSolver | None:
    """The solver at work, unless a piece is nearly as wide as the strip, which makes it panic."""
    sheet = run.sheet
    across_mm = sheet.width_mm - 2.0 * sheet.margin_mm
    items = [_strip_item(item, sheet.gap_mm, across_mm) for item in run.wanted]
    if not items or not all(item.turns_deg for item in items):
        return None
    # The solver keeps the separation to the border too, in full.
    return StripSolver(items, across_mm + 2.0 * sheet.gap_mm, sheet.gap_mm, seconds)


def _solved(run: _Run, solver: StripSolver, progress: Progress) -> Iterator[tuple[Laid, ...]]:
    corners = [_ring(item, run.sheet.gap_mm).bounds for item in run.wanted]
    for spots in solver.layouts(progress):
        yield tuple(
            _laid(spot, run.wanted[spot.item], (-corners[spot.item][0], -corners[spot.item][1]))
            for spot in spots
        )


def _strip_item(item: MenuItem, gap_mm: float, across_mm: float) -> StripItem:
    """The item turned as wanted, then a quarter back, the low corner of its ring at the origin.

    The solver's strip lies on its side: what is across for us goes up for it. It hears only of turns at
    which the item fits across, as it panics when it begins with another.
    """
    ring = _ring(item, gap_mm)
    x0, y0, _, _ = ring.bounds
    points = [(float(x - x0), float(y - y0)) for x, y in shapely.get_coordinates(ring.exterior)]
    turns_deg = [turn for turn in item.turns_deg if _height_mm(ring, turn) <= across_mm * _ROOMY]
    return StripItem(points, item.most, turns_deg)


def _ring(item: MenuItem, gap_mm: float) -> Polygon:
    """The item's ring about the centre of its unturned bounds, on the solver's axes."""
    width_mm, height_mm = size_mm(item.outline)
    centred = affinity.translate(one_ring(item.outline, gap_mm), -width_mm / 2.0, -height_mm / 2.0)
    return affinity.rotate(centred, item.turn_deg - 90.0, origin=(0.0, 0.0))


def _height_mm(ring: Polygon, turn_deg: float) -> float:
    _, y0, _, y1 = affinity.rotate(ring, turn_deg, origin=(0.0, 0.0)).bounds
    return float(y1 - y0)


def _laid(spot: StripSpot, item: MenuItem, centre: tuple[float, float]) -> Laid:
    """The copy on our axes; `centre` is where the centre of its bounds is in the solver's ring."""
    cos, sin = cos_sin(spot.turn_deg)
    x, y = cos * centre[0] - sin * centre[1] + spot.x, sin * centre[0] + cos * centre[1] + spot.y
    return Laid(item.key, Pose(-y, x, (item.turn_deg + spot.turn_deg) % 360.0))


def _least_mm(run: _Run) -> float:
    """No layout is shorter than the ink alone, with half a gap round each copy, asks for."""
    sheet = run.sheet
    half_mm = sheet.gap_mm / 2.0
    ink_mm2 = sum(item.most * item.outline.buffer(half_mm).area for item in run.menu)
    across_mm = sheet.width_mm - 2.0 * sheet.margin_mm
    return ink_mm2 / (across_mm + sheet.gap_mm) - sheet.gap_mm + 2.0 * sheet.margin_mm


def _check(sheet: FillSheet, menu: Sequence[MenuItem]) -> None:
    if sheet.obstacles:
        raise LayoutError("the shortest sheet is found for an empty sheet; take off what lies on it first")
    copies = sum(item.most for item in menu)
    if copies > MOST_COPIES:
        raise LayoutError(f"{copies} copies are too many for one sheet; {MOST_COPIES} is the most")
    endless = replace(sheet, length_mm=float("inf"))
    if wide := misfits(endless, menu):
        raise LayoutError(f"too wide for the sheet at every turn: piece {', '.join(map(str, wide))}")
