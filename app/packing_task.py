"""Runs autopack and the shortest sheet in the background; what they find is one undo step in the job."""

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtWidgets import QApplication

from app.document import Document
from app.messages import Message
from app.notices import Notices
from app.packing_words import laid_words, large_words, length_words, outcome_message, shortened_message
from app.settings import Settings
from app.tasks import TaskRunner
from layout_core.job.edits import change_sheet, lay_out, set_poses
from layout_core.job.model import Job
from layout_core.packing.autopack import PackResult, autopack, too_large_pieces, unplaced_copies
from layout_core.packing.shorten import Shortened, shorten
from layout_core.progress import Progress, within

FIRST_SHARE = 0.05
"""How much of the bar the boxes answer takes; it is there long before true outlines are."""
SHOWN_EVERY_S = 0.8
"""Better layouts come by the dozen; the sheets change no more often than an eye can follow."""
LEAST_SHORTEN_S = 10.0


@dataclass(frozen=True, slots=True)
class Outcome:
    """The job with the best layout, and whether the search came to its own end."""

    job: Job
    is_complete: bool


@dataclass(slots=True)
class _Search:
    """One search: the job it began with, and the layout of it that lies in the document now."""

    number: int
    name: str
    base: Job
    tell: Callable[[Outcome], None]
    result: Job | None = None
    shown: Job | None = None
    is_putting: bool = False


class PackingTask(QObject):
    """Starts and stops a search. Its first layout goes into the job at once, better ones take its place.

    All of them together are one undo step, and Stop keeps the best. `packed(placed_ids)` follows the first
    layout, so that the view can show what came. `running_changed` follows start and end. When the sheets
    are changed by hand meanwhile the search ends and nothing of it is laid over that.
    """

    packed = Signal(object)
    running_changed = Signal()
    _found = Signal(int, object)
    _too_large = Signal(int, object)

    def __init__(
        self,
        document: Document,
        tasks: TaskRunner,
        notices: Notices,
        settings: Settings,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._tasks = tasks
        self._notices = notices
        self._settings = settings
        self._task_id: int | None = None
        self._search = _Search(0, "", document.job, lambda outcome: None)
        self._found.connect(self._show_found, Qt.ConnectionType.QueuedConnection)
        self._too_large.connect(self._tell_too_large, Qt.ConnectionType.QueuedConnection)
        document.job_changed.connect(self._follow)
        tasks.ended.connect(self._end)

    @property
    def is_running(self) -> bool:
        return self._task_id is not None

    @property
    def name(self) -> str:
        """What the search that runs, or ran last, is called."""
        return self._search.name

    def start(self, sheet_ids: Sequence[int] | None = None) -> None:
        """Fill these sheets, or all; while a search runs already, nothing happens."""
        if self.is_running:
            return
        search = self._begun("Autopack", self._tell_packed)
        wish, seconds, unit = self._settings.pack_wish, self._settings.pack_seconds, self._settings.unit

        def work(progress: Progress) -> Outcome:
            if large := too_large_pieces(search.base, sheet_ids, wish):
                self._too_large.emit(search.number, large)
            live = _Live(lambda job: self._found.emit(search.number, job))
            tick = within(live.telling(progress), 0.0, FIRST_SHARE)
            first = autopack(search.base, sheet_ids=sheet_ids, engine="boxes", wish=wish, progress=tick)
            if not first.is_complete or not _may_be_bettered(first):
                return Outcome(first.job, first.is_complete)
            best, worth = first.job, _worth(search.base, first.job)
            live.show(best, laid_words(search.base, best, unit))

            def hear(job: Job) -> None:
                nonlocal best, worth
                if (found := _worth(search.base, job)) > worth:
                    best, worth = job, found
                    live.show(job, laid_words(search.base, job, unit))

            second = autopack(
                search.base,
                sheet_ids=sheet_ids,
                engine="shapes",
                wish=wish,
                seconds=seconds,
                progress=within(live.telling(progress), FIRST_SHARE, 1.0),
                on_better=hear,
            )
            hear(second.job)
            return Outcome(best, second.is_complete)

        self._run(work, "autopacking")

    def shorten(self, sheet_id: int) -> None:
        """Rearrange everything unlocked on the sheet, and what is still ordered, on the least length."""
        if self.is_running:
            return
        search = self._begun("Shortest sheet", lambda outcome: self._tell_shortened(outcome, sheet_id))
        wish, seconds, unit = self._settings.pack_wish, self._settings.pack_seconds, self._settings.unit
        before_mm = search.base.sheet(sheet_id).length_mm

        def work(progress: Progress) -> Outcome:
            live = _Live(lambda job: self._found.emit(search.number, job))

            def hear(found: Shortened) -> None:
                live.show(found.job, length_words(found.length_mm, before_mm, unit))

            found = shorten(
                search.base,
                sheet_id,
                wish=wish,
                seconds=max(seconds, LEAST_SHORTEN_S),
                progress=live.telling(progress),
                on_better=hear,
            )
            return Outcome(found.job, found.is_complete)

        self._run(work, "shortening the sheet")

    def stop(self) -> None:
        """End the search; the best layout so far stays in the job."""
        if self._task_id is not None:
            self._tasks.stop(self._task_id)

    def _begun(self, name: str, tell: Callable[[Outcome], None]) -> _Search:
        self._search = _Search(self._search.number + 1, name, self._document.job, tell)
        return self._search

    def _run(self, work: Callable[[Progress], Outcome], doing: str) -> None:
        self._task_id = self._tasks.start(
            self._search.name,
            work,
            self._take,
            lambda error: self._notices.tell_error(error, doing),
            keeps_partial=True,
        )
        self.running_changed.emit()

    def _show_found(self, number: int, job: Job) -> None:
        # A layout that comes while something is carried by the pointer would pull it from under the hand.
        is_carrying = QApplication.mouseButtons() != Qt.MouseButton.NoButton
        is_wanted = number == self._search.number and self.is_running and not is_carrying
        if is_wanted and self._still_fits(self._document.job):
            self._put(job)

    def _take(self, outcome: Outcome) -> None:
        if self._put(outcome.job):
            self._search.tell(outcome)

    def _put(self, result: Job) -> bool:
        """Lay this out in place of the layout before; False, and a word, when the sheets changed."""
        search, now = self._search, self._document.job
        if not self._still_fits(now):
            self._tell_changed()
            return False
        if (search.result or search.base).sheets == result.sheets:
            return True
        is_ours, is_first = now is (search.shown or search.base), search.shown is None
        search.is_putting = True
        try:
            self._document.apply(
                search.name,
                lambda job: result if is_ours else _grafted(job, search.base, result),
                f"{search.name} {search.number}",
            )
        finally:
            search.is_putting = False
        search.result, search.shown = result, self._document.job
        if is_first:
            known = _placed_ids(search.base)
            self.packed.emit(tuple(sorted(_placed_ids(self._document.job) - known)))
        return True

    def _still_fits(self, now: Job) -> bool:
        """Whether a layout of the search is as good for this job: same sheets, same pieces."""
        search = self._search
        known = search.shown or search.base
        return now is known or (
            now.sheets == known.sheets and now.pieces == known.pieces and now.arts == known.arts
        )

    def _follow(self, _old: Job, new: Job) -> None:
        if self.is_running and not self._search.is_putting and not self._still_fits(new):
            self.stop()

    def _tell_changed(self) -> None:
        name, has_shown = self._search.name.lower(), self._search.shown is not None
        what = f"The sheets changed while {name} ran, so its layout was not used"
        if has_shown:
            what = f"The sheets changed while {name} ran, so the search has ended"
        self._notices.tell(Message(what, "on the sheets", "Start it again"), "caution")

    def _tell_packed(self, outcome: Outcome) -> None:
        message, grade = outcome_message(
            self._search.base, outcome.job, is_complete=outcome.is_complete, is_laid=self._is_laid
        )
        if message is not None:
            self._notices.tell(message, grade)

    def _tell_shortened(self, outcome: Outcome, sheet_id: int) -> None:
        before, after = self._search.base.sheet(sheet_id), outcome.job.sheet(sheet_id)
        unit = self._settings.unit
        self._notices.tell(shortened_message(before, after, unit, is_complete=outcome.is_complete))

    def _tell_too_large(self, number: int, piece_ids: Sequence[int]) -> None:
        if number == self._search.number:
            message = large_words(self._search.base, piece_ids, self._settings.unit)
            self._notices.tell(message, "caution")

    @property
    def _is_laid(self) -> bool:
        return self._search.shown is not None

    def _end(self, task_id: int) -> None:
        if task_id == self._task_id:
            self._task_id = None
            self.running_changed.emit()


class _Live:
    """In the worker: what the bar says of the best layout, and which of the layouts are worth showing."""

    def __init__(self, send: Callable[[Job], None]) -> None:
        self._send = send
        self._words = ""
        self._sent_s = float("-inf")

    def show(self, job: Job, words: str) -> None:
        self._words = words
        now = time.monotonic()
        if now - self._sent_s >= SHOWN_EVERY_S:
            self._sent_s = now
            self._send(job)

    def telling(self, progress: Progress) -> Progress:
        """Progress with the figures of the best layout for a label."""

        def tick(fraction: float, label: str) -> None:
            progress(fraction, self._words or label)

        return tick


def _may_be_bettered(result: PackResult) -> bool:
    """Whether copies found no room, or fillers could use more film."""
    return bool(result.unplaced) or any(piece.filler for piece in result.job.pieces)


def _worth(base: Job, job: Job) -> tuple[int, float]:
    """More ordered copies first, then more worth of everything that was added, as autopack counts it."""
    known = _placed_ids(base)
    laid = [p for sheet in job.sheets for p in sheet.placed if p.placed_id not in known]
    sizes = (job.size_of(job.piece(one.piece_id)) for one in laid)
    return -sum(count for _, count in unplaced_copies(job)), sum(width * height for width, height in sizes)


def _placed_ids(job: Job) -> set[int]:
    return {placed.placed_id for sheet in job.sheets for placed in sheet.placed}


def _grafted(now: Job, base: Job, result: Job) -> Job:
    """The job of now, which has had its own edits, with the sheets of the result; new copies get new ids."""
    known = _placed_ids(base)
    job = replace(now, sheets=base.sheets)
    for sheet in result.sheets:
        old = base.sheet(sheet.sheet_id)
        if sheet.length_mm != old.length_mm:
            job = change_sheet(job, sheet.sheet_id, length_mm=sheet.length_mm)
        lay = {placed.placed_id: placed.pose for placed in old.placed}
        moved = {p.placed_id: p.pose for p in sheet.placed if lay.get(p.placed_id, p.pose) != p.pose}
        if moved:
            job = set_poses(job, moved)
        added = [(p.piece_id, p.pose) for p in sheet.placed if p.placed_id not in known]
        if added:
            job = lay_out(job, sheet.sheet_id, added)
    return job
