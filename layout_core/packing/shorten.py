"""The shortest sheet of a job: rearranges what lies on it, and what is still ordered, on less film."""

import math
import time
from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from layout_core.errors import Cancelled, LayoutError
from layout_core.job.edits import change_sheet, lay_out, set_poses
from layout_core.job.model import Job, Sheet
from layout_core.packing.audit import breaches
from layout_core.packing.autopack import menu_item, unplaced_copies
from layout_core.packing.engines import USUAL_WISH, FillWish, engine_named
from layout_core.packing.fill import FillSheet, Laid, MenuItem, laid_outline
from layout_core.packing.fits import misfits
from layout_core.packing.on_sheet import placed_outlines
from layout_core.packing.strip import MOST_COPIES, USUAL_SECONDS, Strip, shortest_strip
from layout_core.packing.variants import without_holes
from layout_core.progress import Progress, no_progress
from layout_core.units import MM_PER_IN

_STEP_MM = MM_PER_IN / 100.0
"""Sheets are ordered by lengths of that fineness at best (common practice, no source)."""

_SHORTER, _SHORTER_LEAST = 0.96, 0.999
_ROUNDS = 8
_LABEL = "Shortening the sheet"


@dataclass(frozen=True, slots=True)
class Shortened:
    """The job with the sheet as short as found. `added` are the ordered copies that lay nowhere before.

    `is_complete` is False when Stop ended the search; the layout is then the best until it.
    """

    job: Job
    length_mm: float
    added: tuple[int, ...]
    is_complete: bool = True


Heard = Callable[[Shortened], None]


def unheard(shortened: Shortened) -> None:
    """Tell nobody of shorter layouts."""


def shorten(
    job: Job,
    sheet_id: int,
    *,
    wish: FillWish = USUAL_WISH,
    seconds: float = USUAL_SECONDS,
    progress: Progress = no_progress,
    on_better: Heard = unheard,
) -> Shortened:
    """Lays everything unlocked on the sheet anew, and the copies that lie nowhere yet, on the least length.

    Locked copies stay. Never longer than what lies there now, if that keeps gap and margin and nothing is
    missing; never shorter than the print limits allow. `seconds` is time by the clock, so two runs may
    differ. Raises LayoutError, before any search, for pieces too wide and for too many copies, and after
    it where the copies need more than the longest sheet; KeyError for an unknown sheet.
    """
    task = _Task(job, job.sheet(sheet_id), wish, on_better)
    task.check()
    task.take_present()
    is_complete = True
    try:
        for laid in task.layouts(seconds, progress):
            task.take(laid)
    except Cancelled:
        is_complete = False
        if task.best is None:
            raise
    if task.best is None:
        limit_mm = job.limits.sheet_length_most_mm
        raise LayoutError(
            f"the copies do not fit on a sheet of {limit_mm / MM_PER_IN:g} in, the longest there is;"
            " add a sheet and autopack"
        )
    return replace(task.best, is_complete=is_complete)


class _Task:
    """One sheet to be shortened, and the shortest layout until now."""

    def __init__(self, job: Job, sheet: Sheet, wish: FillWish, on_better: Heard) -> None:
        self.best: Shortened | None = None
        self._job, self._sheet, self._wish, self._on_better = job, sheet, wish, on_better
        outlines = placed_outlines(job, sheet)
        self._locked = tuple(outlines[p.placed_id] for p in sheet.placed if p.locked)
        self._ids: dict[int, list[int]] = defaultdict(list)
        for placed in sheet.placed:
            if not placed.locked:
                self._ids[placed.piece_id].append(placed.placed_id)
        self._missing = dict(unplaced_copies(job))
        self._menu = [
            menu_item(job, piece, count)
            for piece in job.pieces
            if (count := len(self._ids[piece.piece_id]) + self._missing.get(piece.piece_id, 0))
        ]
        self._items = {item.key: item for item in self._menu}
        self._floor_mm = max(
            [job.limits.sheet_length_least_mm, *(o.bounds[3] + sheet.margin_mm for o in self._locked)]
        )

    def check(self) -> None:
        """Raise LayoutError for what no search can lay."""
        job = self._job
        if not self._menu:
            raise LayoutError("nothing on this sheet may be moved, and nothing ordered is missing")
        copies = sum(item.most for item in self._menu)
        if copies > MOST_COPIES:
            raise LayoutError(f"{copies:,} copies are too many for one sheet; {MOST_COPIES:,} is the most")
        wide = misfits(self._on(job.limits.sheet_length_most_mm), self._menu, self._wish.angles_deg)
        if wide:
            names = ", ".join(job.piece(key).name for key in wide[:3])
            raise LayoutError(f"too large for the sheet, however it is turned: {names}")

    def take_present(self) -> None:
        """What lies there now is the first layout, if nothing is missing and it is sound."""
        if any(self._missing.values()):
            return
        laid = tuple(Laid(p.piece_id, p.pose) for p in self._sheet.placed if not p.locked)
        if not breaches(self._on(self._end_mm(laid)), laid, self._menu):
            self.best = self._cut(laid)

    def layouts(self, seconds: float, progress: Progress) -> Iterator[tuple[Laid, ...]]:
        """Layouts worth a look, until the time is up or no sheet may be shorter."""
        if self._is_least:
            return
        if self._locked or self._wish.straight_cuts:
            yield from self._by_filling(seconds, progress)
            return
        menu = [self._wished(item) for item in self._menu]

        def hear(strip: Strip) -> None:
            self.take(strip.laid)
            if self._is_least:
                raise Cancelled

        on = replace(self._on(1.0), obstacles=())
        strip = shortest_strip(on, menu, seconds=seconds, progress=progress, on_better=hear)
        yield strip.laid
        if not strip.is_complete and not self._is_least:
            raise Cancelled

    def take(self, laid: Sequence[Laid]) -> None:
        """Keep the layout if it holds everything, is sound and shorter."""
        end_mm = self._end_mm(laid)
        if len(laid) < sum(item.most for item in self._menu) or self._tidy_mm(end_mm) > self._most_mm:
            return
        if not breaches(self._on(end_mm), laid, self._menu):
            self.best = self._made(laid)
            self._on_better(self.best)

    @property
    def _is_least(self) -> bool:
        """Whether the sheet is as short as the limits and the locked copies allow."""
        return self.best is not None and self.best.length_mm <= self._tidy_mm(self._floor_mm)

    @property
    def _most_mm(self) -> float:
        """A layout longer than that is of no use."""
        if self.best is None:
            return self._job.limits.sheet_length_most_mm
        return self.best.length_mm - _STEP_MM / 2.0

    def _on(self, length_mm: float) -> FillSheet:
        sheet = self._sheet
        return FillSheet(sheet.width_mm, length_mm, sheet.margin_mm, sheet.gap_mm, self._locked)

    def _wished(self, item: MenuItem) -> MenuItem:
        """The item as the strip search sees it, which fills no sheet and knows no wishes."""
        if item.is_free:
            turns = tuple((a + 90.0 * q) % 360.0 for a in self._wish.angles_deg for q in range(4))
            item = replace(item, turns_deg=turns)
        return item if self._wish.use_holes else replace(item, outline=without_holes(item.outline))

    def _by_filling(self, seconds: float, progress: Progress) -> Iterator[tuple[Laid, ...]]:
        """Fills of ever shorter sheets, as long as they hold everything."""
        fill = engine_named("shapes", self._wish)
        menu = [replace(item, value=item.outline.area) for item in self._menu]
        clock, effort_s = _Clock(seconds, progress), seconds / _ROUNDS
        length_mm, shorter = self._most_mm, _SHORTER
        if self.best is not None:
            length_mm = max(self.best.length_mm * shorter, self._floor_mm)
        while not (clock.is_up or self._is_least):
            before = self.best
            yield fill(self._on(length_mm), menu, effort_s=effort_s, progress=clock.tick).laid
            if clock.is_stopped:
                raise Cancelled
            if self.best is None:
                return
            if self.best is before:
                shorter = (1.0 + shorter) / 2.0
            if shorter > _SHORTER_LEAST:
                shorter, effort_s = _SHORTER, 2.0 * effort_s
            length_mm = max(self.best.length_mm * shorter, self._floor_mm)

    def _end_mm(self, laid: Sequence[Laid]) -> float:
        ends = [float(laid_outline(self._items[one.key], one.pose).bounds[3]) for one in laid]
        return max([self._floor_mm, *(end + self._sheet.margin_mm for end in ends)])

    def _tidy_mm(self, length_mm: float) -> float:
        tidy_mm = math.ceil(length_mm / _STEP_MM - 1e-6) * _STEP_MM
        return min(tidy_mm, max(self._job.limits.sheet_length_most_mm, length_mm))

    def _cut(self, laid: Sequence[Laid]) -> Shortened:
        """The job with the sheet cut where that layout ends."""
        length_mm = self._tidy_mm(self._end_mm(laid))
        return Shortened(change_sheet(self._job, self._sheet.sheet_id, length_mm=length_mm), length_mm, ())

    def _made(self, laid: Sequence[Laid]) -> Shortened:
        """The job with that layout; copies that lie already keep their ids, piece by piece in order."""
        cut = self._cut(laid)
        job = cut.job
        ids = {piece_id: iter(known) for piece_id, known in self._ids.items()}
        homes = [(next(ids.get(one.key, iter(())), None), one) for one in laid]
        poses = {placed_id: one.pose for placed_id, one in homes if placed_id is not None}
        if poses:
            job = set_poses(job, poses)
        new = [(one.key, one.pose) for placed_id, one in homes if placed_id is None]
        if new:
            job = lay_out(job, self._sheet.sheet_id, new)
        return replace(cut, job=job, added=tuple(range(self._job.next_id, job.next_id)))


class _Clock:
    """Ends a fill when the time is up, and remembers whether it was Stop that ended it."""

    def __init__(self, seconds: float, progress: Progress) -> None:
        self.is_stopped = False
        self._start_s, self._seconds, self._progress = time.monotonic(), seconds, progress

    @property
    def is_up(self) -> bool:
        return self._share >= 1.0

    @property
    def _share(self) -> float:
        return (time.monotonic() - self._start_s) / self._seconds

    def tick(self, fraction: float, label: str) -> None:
        """A Progress that tells the share of the time."""
        try:
            self._progress(min(self._share, 1.0), _LABEL)
        except Cancelled:
            self.is_stopped = True
            raise
        if self.is_up:
            raise Cancelled
