"""The box engine: rectpack round whatever already lies on the sheet, then small repairs, the best kept."""

from collections.abc import Iterator, Sequence

from layout_core.errors import Cancelled
from layout_core.packing.covers import steps_up
from layout_core.packing.crates import Crate, crates_of, laid_of
from layout_core.packing.effort import Effort
from layout_core.packing.fill import Filling, FillSheet, MenuItem, OnBetter, unheard
from layout_core.packing.free_space import free_field
from layout_core.packing.portfolio import Fill, greedy_fills
from layout_core.packing.regrow import regrown
from layout_core.progress import Progress, no_progress, within

USUAL_EFFORT_S = 0.3
_GREEDY_SHARE = 0.3
_BOX_SHARE = 0.5
"""Of the effort, at which greedy fills end, and at which refills by boxes end where there are hollows."""


def fill_with_boxes(
    sheet: FillSheet,
    menu: Sequence[MenuItem],
    *,
    effort_s: float = USUAL_EFFORT_S,
    progress: Progress = no_progress,
    on_better: OnBetter = unheard,
) -> Filling:
    """Lays pieces by their bounding boxes, a quarter turned or not, round the true outlines on the sheet.

    Greedy fills come first, then fills with a few neighbours laid anew, at last such fills that also use
    the hollows and holes of the copies just laid. With the whole menu on the sheet nothing is laid anew.
    """
    crates = crates_of(menu, sheet.gap_mm)
    best: Fill | None = None
    is_complete = True
    try:
        for fill in _better_fills(sheet, crates, effort_s, progress):
            best = fill
            on_better(laid_of(fill.spots, menu, sheet))
    except Cancelled:
        is_complete = False
    return Filling(laid_of(best.spots if best else (), menu, sheet), is_complete)


def _better_fills(
    sheet: FillSheet, crates: Sequence[Crate], effort_s: float, progress: Progress
) -> Iterator[Fill]:
    """Fills, each better than the one before."""
    field = free_field(sheet, [(crate.width, crate.height) for crate in crates])
    gap = steps_up(sheet.gap_mm)
    best: Fill | None = None
    for fill in greedy_fills(field, crates, gap, _part(effort_s, progress, 0.0, _GREEDY_SHARE)):
        if fill.beats(best):
            best = fill
            yield fill
    if best is None:
        return
    hollow_from = _BOX_SHARE if any(crate.has_hollows for crate in crates) else 1.0
    for hollows, start, end in ((False, _GREEDY_SHARE, hollow_from), (True, hollow_from, 1.0)):
        effort = _part(effort_s, progress, start, end)
        for fill in regrown(best, field, crates, gap, effort, hollows=hollows):
            best = fill
            yield fill


def _part(effort_s: float, progress: Progress, start: float, end: float) -> Effort:
    return Effort(effort_s * (end - start), within(progress, start, end))
