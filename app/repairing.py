"""Repairs art in the background, as one undo step of the job, and keeps before and after in view."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QObject, Signal

from app.document import Document
from app.job_work import JobWork
from app.notices import Notices
from app.tasks import TaskRunner
from layout_core.art.artwork import Artwork
from layout_core.art.before_after import BeforeAfter, before_after
from layout_core.art.repair import Repair, repair_preview
from layout_core.errors import RepairError
from layout_core.job.edits_repair import repair_art, repairs_with, stronger, undo_repairs, unrepaired
from layout_core.job.model import Art, Job
from layout_core.progress import Progress, within


@dataclass(frozen=True, slots=True)
class Repaired:
    """What was done: the step's text, pictures of each art, and sentences on what changed and what not."""

    text: str
    pictures: tuple[BeforeAfter, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _One:
    """One art after its repairs."""

    art: Art
    repairs: tuple[Repair, ...]
    artwork: Artwork
    pictures: BeforeAfter
    notes: tuple[str, ...]


class Repairing(JobWork):
    """One repair at a time; a new one takes the place of what runs or is shown.

    `changed` follows every start, end and dismissal, `progressed(fraction)` the work. Of `task_id`, `done`
    and `fault` at most one is set.
    """

    progressed = Signal(float)

    def __init__(
        self, document: Document, tasks: TaskRunner, notices: Notices, parent: QObject | None = None
    ) -> None:
        super().__init__(document, tasks, notices, parent)
        self.text = ""
        self.task_id: int | None = None
        self.done: Repaired | None = None
        self.fault = ""
        self._step: int | None = None
        tasks.progressed.connect(self._tell_progress)
        document.undo_stack.indexChanged.connect(self._follow_steps)
        document.replaced.connect(self.dismiss)

    @property
    def can_undo(self) -> bool:
        """Whether the repair shown is still the last thing that was done."""
        return self._step is not None and self._document.undo_stack.index() == self._step

    def start(self, text: str, wanted: Mapping[int, Sequence[Repair]]) -> None:
        """Do the repairs to the arts, by art id; of a kind done before, the stronger counts."""
        self._stop_running()
        job = self._document.job
        arts = [(job.art(art_id), stronger(job.art(art_id), repairs)) for art_id, repairs in wanted.items()]

        def work(progress: Progress) -> tuple[_One, ...]:
            count = len(arts)
            return tuple(
                _repair_one(art, repairs, within(progress, number / count, (number + 1) / count))
                for number, (art, repairs) in enumerate(arts)
            )

        self._set(text=text)
        self.task_id = self._tasks.start("Repairing", work, self._take, self._fail, lane="art")
        self.changed.emit()

    def take_back(self, art_id: int) -> None:
        """The art as it was before any repair, as one undo step."""
        name = self._document.job.art(art_id).artwork.name
        self._stop_running()
        self.dismiss()
        self._document.apply(f"Take the repairs of {name} back", lambda job: undo_repairs(job, art_id))

    def stop(self) -> None:
        if self.task_id is not None:
            self._tasks.stop(self.task_id)

    def undo(self) -> None:
        """Undo the repair shown, if nothing was done since."""
        if self.can_undo:
            self._document.undo_stack.undo()

    def dismiss(self) -> None:
        """Show nothing any more; what runs goes on."""
        if self.done is not None or self.fault:
            self._set(text=self.text)
            self.changed.emit()

    def _stop_running(self) -> None:
        self.stop()
        self.task_id = None

    def _set(self, *, text: str, done: Repaired | None = None, fault: str = "") -> None:
        self.text, self.done, self.fault, self._step = text, done, fault, None

    def _tell_progress(self, task_id: int, fraction: float, label: str) -> None:
        if task_id == self.task_id:
            self.progressed.emit(fraction)

    def _end(self, task_id: int) -> None:
        """After Stop neither result nor failure comes."""
        if task_id == self.task_id:
            self.task_id = None
            self.changed.emit()

    def _take(self, made: tuple[_One, ...]) -> None:
        self.task_id = None
        if not self._document.apply(self.text, lambda job: _with_all(job, made)):
            self._fail(RepairError("Nothing changed: the art needs no such repair, or is another by now"))
            return
        notes = tuple(dict.fromkeys(note for one in made for note in one.notes))
        self._set(text=self.text, done=Repaired(self.text, tuple(one.pictures for one in made), notes))
        self._step = self._document.undo_stack.index()
        self.changed.emit()

    def _fail(self, error: Exception) -> None:
        self.task_id = None
        if isinstance(error, RepairError):
            self._set(text=self.text, fault=str(error))
        else:
            self._notices.tell_error(error, "repairing the art")
        self.changed.emit()

    def _follow_steps(self) -> None:
        """What is shown belongs to the newest step; after any other the pictures would lie."""
        if self.done is not None and self._step is not None and not self.can_undo:
            self.dismiss()


def _repair_one(art: Art, repairs: Sequence[Repair], progress: Progress) -> _One:
    preview = repair_preview(unrepaired(art), repairs_with(art, repairs), within(progress, 0.0, 0.9))
    told = set(art.artwork.notes)
    notes = tuple(note for note in preview.after.notes if note not in told)
    pictures = before_after(art.artwork, preview)
    progress(1.0, "Repaired")
    return _One(art, tuple(repairs), preview.after, pictures, notes)


def _with_all(job: Job, made: Iterable[_One]) -> Job:
    """Only into the very art it was made from: one that changed meanwhile is repaired on a new click."""
    for one in made:
        if any(art is one.art for art in job.arts):
            job = repair_art(job, one.art.art_id, one.repairs, one.artwork)
    return job
