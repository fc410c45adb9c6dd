"""Keeps the dark view up to date: new tiles when the moment, the distance, the zoom or the job moves."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from PySide6.QtCore import QObject, Signal

from app.canvas.dark_plates import DarkPiece, DarkPlates, DarkTile, plate_scale
from app.canvas.scene import SheetScene
from app.document import Document
from app.glow_watch import GlowWatch
from app.tasks import TaskRunner
from app.viewing import Viewing
from layout_core.progress import Progress

LABEL = "Drawing the dark view"


@dataclass(frozen=True, slots=True)
class _Frame:
    """What was drawn for what: a frame is out of date when its key is another one."""

    key: tuple[object, ...]
    tiles: Mapping[int, DarkTile | None]


class DarkLayer(QObject):
    """One frame at a time is drawn off the GUI thread; what was asked meanwhile becomes the next frame.

    `shown` follows each frame that reached the sheets.
    """

    shown = Signal()

    def __init__(
        self,
        scene: SheetScene,
        px_per_mm: Callable[[], float],
        document: Document,
        viewing: Viewing,
        glow: GlowWatch,
        tasks: TaskRunner,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._scene = scene
        self._px_per_mm = px_per_mm
        self._document = document
        self._viewing = viewing
        self._glow = glow
        self._tasks = tasks
        self._plates = DarkPlates()
        self._task_id: int | None = None
        self._wanted: tuple[object, ...] = ()
        self._drawn: tuple[object, ...] = ()
        tasks.ended.connect(self._end)
        viewing.moved.connect(self.refresh)
        glow.changed.connect(self.refresh)

    def refresh(self) -> None:
        """Bring the sheets in line with the moment; nothing while they are not looked at in the dark."""
        if self._viewing.view != "dark" or self._glow.state is None:
            return
        self._wanted = self._key()
        if self._task_id is None and self._wanted != self._drawn:
            self._draw()

    def _key(self) -> tuple[object, ...]:
        """What a frame depends on."""
        viewing = self._viewing
        zoom = plate_scale(self._px_per_mm(), 1.0)
        return viewing.minutes, viewing.distance_m, zoom, self._glow.state, self._laid()

    def _laid(self) -> frozenset[int]:
        return frozenset(p.piece_id for sheet in self._document.job.sheets for p in sheet.placed)

    def _draw(self) -> None:
        pieces, plates, key = self._pieces(), self._plates, self._wanted
        minutes, distance_m, scale = self._viewing.minutes, self._viewing.distance_m, self._px_per_mm()

        def work(progress: Progress) -> _Frame:
            return _Frame(key, plates.tiles(pieces, minutes, distance_m, scale, progress))

        self._task_id = self._tasks.start(LABEL, work, self._take, self._fail, lane="dark")

    def _pieces(self) -> dict[int, DarkPiece]:
        state = self._glow.state
        if state is None:
            return {}
        job, laid = state.job, self._laid()
        return {
            piece.piece_id: DarkPiece(job.artwork_of(piece), piece.width_mm, glow.elements, glow.scene)
            for piece in job.pieces
            if piece.piece_id in laid and (glow := state.pieces.get(piece.piece_id)) is not None
        }

    def _take(self, frame: _Frame) -> None:
        self._task_id = None
        self._drawn = frame.key
        self._scene.show_tiles(frame.tiles)
        self.shown.emit()
        self.refresh()

    def _fail(self, error: Exception) -> None:
        self._tasks.went_wrong.emit(LABEL, error)

    def _end(self, task_id: int) -> None:
        # A frame that was stopped or broke is not tried again until something moves.
        if task_id == self._task_id:
            self._task_id = None
