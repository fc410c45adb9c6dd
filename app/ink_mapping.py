"""Which colours of an art print: reads them in the background, previews a choice at once, then applies it."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypeVar

import shapely
from PySide6.QtCore import QObject, Signal
from shapely import MultiPolygon

from app.document import Document
from app.job_work import JobWork
from app.notices import Notices
from app.tasks import TaskRunner
from layout_core.art.artwork import Artwork
from layout_core.art.ink_layers import InkLayers, inked
from layout_core.art.ink_map import InkMap, checked_ink_map, with_prints
from layout_core.art.intake import read_ink_layers, read_with_ink_map
from layout_core.errors import ArtError, InkMapError, LayoutError
from layout_core.job.edits import change_ink_map
from layout_core.job.edits_repair import unrepaired
from layout_core.job.model import Art, Job
from layout_core.progress import Progress, within

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class _Chosen:
    """The art under a map, and the job it makes of the one it was made for."""

    art: Art
    ink_map: InkMap | None
    artwork: Artwork
    base: Job
    made: Job


class InkMapping(JobWork):
    """The ink map of one art at a time. `changed` follows whatever is to be shown anew.

    A choice shows at once; the job follows a moment later, as one undo step. `fault` is a sentence on a
    choice that cannot be, and the map is as it was.
    """

    progressed = Signal(float)

    def __init__(
        self, document: Document, tasks: TaskRunner, notices: Notices, parent: QObject | None = None
    ) -> None:
        super().__init__(document, tasks, notices, parent)
        self._art_id: int | None = None
        self._source_digest = ""
        self._layers: dict[float, InkLayers] = {}
        self._proposed: InkMap | None = None
        self._wanted: InkMap | None = None
        self._preview: MultiPolygon | None = None
        self._task_ids: tuple[int, ...] = ()
        self.fault = ""
        document.job_changed.connect(self._follow_job)
        tasks.progressed.connect(self._tell_progress)

    @property
    def art(self) -> Art | None:
        """The art whose colours are shown; None when none is, or it has been removed."""
        return next((art for art in self._document.job.arts if art.art_id == self._art_id), None)

    @property
    def shown(self) -> InkMap | None:
        """The map as chosen so far; None while the colours are still being read, or there are none."""
        art = self.art
        if art is None or is_made(art):
            return None
        return self._wanted or art.ink_map or self._proposed

    @property
    def is_busy(self) -> bool:
        return bool(self._task_ids)

    def look_at(self, art_id: int | None) -> None:
        """Show the colours of an art; they are read once for each source."""
        if art_id != self._art_id:
            self.stop()
            self._art_id, self.fault = art_id, ""
            self._follow_job()

    def preview(self, art_id: int) -> MultiPolygon | None:
        """What would print of the art, in mm at natural size from (0, 0), until the job has followed."""
        return self._preview if art_id == self._art_id else None

    def choose(self, colour: str, prints: bool) -> None:
        """Let a colour print, or knock it out."""
        if self.shown is not None:
            self._wish(with_prints(self.shown, colour, prints))

    def set_threshold(self, threshold: float) -> None:
        """How opaque (0 to 1) paint must be to print; what is fainter does not."""
        if self.shown is not None and threshold != self.shown.threshold:
            self._wish(replace(self.shown, threshold=threshold))

    def propose(self) -> None:
        """Back to the map that art comes in with."""
        art = self.art
        if art is not None and art.ink_map is not None:
            self.stop()
            self.fault = ""
            self._apply(art, None)
            self.changed.emit()

    def stop(self) -> None:
        """Give up what runs; the map is again that of the job."""
        for task_id in self._task_ids:
            self._tasks.stop(task_id)
        self._task_ids = ()
        self._wanted = self._preview = None

    def _wish(self, wanted: InkMap) -> None:
        art = self.art
        if art is None:
            return
        try:
            checked_ink_map(wanted)
        except InkMapError as error:
            words = str(error)
            self.fault = f"{words[:1].upper()}{words[1:]}."
            self.changed.emit()
            return
        self.stop()
        self._wanted, self.fault = wanted, ""
        self._start_preview(art, wanted)
        self._apply(art, wanted)
        self.changed.emit()

    def _start_reading(self, art: Art) -> None:
        """The colours of the art, and what is proposed for them."""
        source = unrepaired(art)

        def done(layers: InkLayers) -> None:
            self._layers = {layers.ink_map.threshold: layers}
            self._proposed = layers.ink_map
            self.changed.emit()

        self._start(
            "Telling the colours apart", lambda progress: read_ink_layers(source, None, progress), done
        )

    def _start_preview(self, art: Art, wanted: InkMap) -> None:
        source, known = unrepaired(art), self._layers.get(wanted.threshold)

        def work(progress: Progress) -> tuple[InkLayers, MultiPolygon]:
            layers = read_ink_layers(source, wanted, progress) if known is None else known
            return layers, _at_origin(inked(layers, wanted))

        def done(result: tuple[InkLayers, MultiPolygon]) -> None:
            layers, self._preview = result
            self._layers[layers.ink_map.threshold] = layers
            self.changed.emit()

        self._start("Showing the colours chosen", work, done)

    def _apply(self, art: Art, wanted: InkMap | None) -> None:
        base = self._document.job

        def work(progress: Progress) -> _Chosen:
            artwork, held = read_with_ink_map(unrepaired(art), wanted, within(progress, 0.0, 0.5))
            ink_map = None if wanted is None else held
            made = change_ink_map(base, art.art_id, ink_map, artwork, within(progress, 0.5, 1.0))
            return _Chosen(art, ink_map, artwork, base, made)

        self._start("Printing the colours chosen", work, self._take)

    def _take(self, chosen: _Chosen) -> None:
        art = chosen.art

        def edit(job: Job) -> Job:
            if job is chosen.base:
                return chosen.made
            is_same = any(other is art for other in job.arts)
            return change_ink_map(job, art.art_id, chosen.ink_map, chosen.artwork) if is_same else job

        self._document.apply(f"Ink map of {art.artwork.name}", edit)

    def _start(self, label: str, work: Callable[[Progress], T], done: Callable[[T], None]) -> None:
        task_id = self._tasks.start(label, work, done, self._fail, lane="art")
        self._task_ids = (*self._task_ids, task_id)

    def _end(self, task_id: int) -> None:
        """After the last task the map shown is that of the job, whether it was done, stopped or refused."""
        if task_id in self._task_ids:
            self._task_ids = tuple(other for other in self._task_ids if other != task_id)
            if not self._task_ids:
                self._wanted = self._preview = None
            self.changed.emit()

    def _fail(self, error: Exception) -> None:
        if isinstance(error, ArtError | InkMapError | LayoutError):
            self.fault = str(error)
        else:
            self._notices.tell_error(error, "choosing what prints")

    def _tell_progress(self, task_id: int, fraction: float, label: str) -> None:
        if task_id in self._task_ids:
            self.progressed.emit(fraction)

    def _follow_job(self) -> None:
        art = self.art
        if art is not None and not is_made(art) and art.artwork.source_digest != self._source_digest:
            self.stop()
            self._source_digest, self._layers, self._proposed = art.artwork.source_digest, {}, None
            self._start_reading(art)
        self.changed.emit()


def is_made(art: Art) -> bool:
    """Whether the program made the art itself, in the one ink."""
    return art.lettering is not None or art.stock is not None


def _at_origin(outline: MultiPolygon) -> MultiPolygon:
    """The outline moved so that its bounds begin at (0, 0)."""
    x0, y0, _, _ = outline.bounds
    return shapely.transform(outline, lambda xy: xy - (x0, y0))
