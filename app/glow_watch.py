"""Works out in the background how far each piece is seen, after each change that matters to it."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QObject, Signal

from app.document import Document
from app.tasks import TaskRunner
from layout_core.checks.cache import Remembered
from layout_core.errors import DuskwrightError
from layout_core.glow.bands import Bands, garment_colours, piece_elements, scene_bands
from layout_core.glow.elements import Elements
from layout_core.glow.scene import Scene, scene_of, usual_lighting
from layout_core.job.lighting import Lighting
from layout_core.job.model import Job, Piece
from layout_core.progress import Progress, within

Floats = NDArray[np.float64]

_MOST_ARTS = 500


@dataclass(frozen=True, slots=True, eq=False)
class PieceGlow:
    """What the light needs to know of a piece: its elements at its size, its scene, its bands over time."""

    elements: Elements
    scene: Scene
    bands: Bands

    def reads_m(self, minutes: float) -> float:
        """How far (m) it reads so long after lights-out."""
        return float(self.reads_at(np.array([minutes]))[0])

    def shape_m(self, minutes: float) -> float:
        """How far (m) it is seen as a shape."""
        return float(self.shape_at(np.array([minutes]))[0])

    def is_dim(self, minutes: float) -> bool:
        """Whether light, and not the fineness of its detail, ends its reading."""
        detail_m = float(_at(self.bands, self.bands.detail_m, np.array([minutes]))[0])
        return self.reads_m(minutes) < 0.99 * detail_m

    def reads_at(self, minutes: Floats) -> Floats:
        """The same at several moments."""
        return _at(self.bands, self.bands.reads_m, minutes)

    def shape_at(self, minutes: Floats) -> Floats:
        return _at(self.bands, self.bands.shape_m, minutes)


@dataclass(frozen=True, slots=True, eq=False)
class GlowState:
    """The job that was looked at, the lighting it is judged in, and each piece by its id."""

    job: Job
    lighting: Lighting
    pieces: Mapping[int, PieceGlow]


class GlowWatch(QObject):
    """`state` is that of the last job that could be worked out; `changed` tells of a newer one.

    While the shop's tables hold a mistake, or the job's lighting does, the last good state stands and
    `trouble` says what is wrong.
    """

    changed = Signal()
    failed = Signal(object)

    def __init__(self, document: Document, tasks: TaskRunner, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._tasks = tasks
        self._glows: Remembered[PieceGlow] = Remembered(_MOST_ARTS)
        self._task_id: int | None = None
        self._asked: Job | None = None
        self.state: GlowState | None = None
        self.trouble = ""
        document.job_changed.connect(self._follow)
        self.look_again()

    def glow_of(self, piece_id: int | None) -> PieceGlow | None:
        """The glow of a piece; None until it has been worked out."""
        return None if self.state is None or piece_id is None else self.state.pieces.get(piece_id)

    def look_again(self) -> None:
        """Work it out anew, as after a change of the shop's tables."""
        if self._task_id is not None:
            self._tasks.stop(self._task_id)
        job = self._asked = self._document.job
        self._task_id = self._tasks.start(
            "Looking in the dark",
            lambda progress: self._state_of(job, progress),
            self._take,
            self._tell_failure,
            lane="glow",
        )

    def _follow(self, old: Job, new: Job) -> None:
        if self._asked is None or _matters(self._asked) != _matters(new):
            self.look_again()

    def _state_of(self, job: Job, progress: Progress) -> GlowState:
        lighting = usual_lighting() if job.lighting is None else job.lighting
        glows = {}
        for number, piece in enumerate(job.pieces):
            tick = within(progress, number / len(job.pieces), (number + 1) / len(job.pieces))
            glows[piece.piece_id] = self._glow(job, piece, lighting, tick)
        return GlowState(job, lighting, glows)

    def _glow(self, job: Job, piece: Piece, lighting: Lighting, progress: Progress) -> PieceGlow:
        artwork, colour = job.artwork_of(piece), garment_colours(job, piece)[0]

        def make() -> PieceGlow:
            elements = piece_elements(job, piece)
            scene = scene_of(lighting, colour)
            return PieceGlow(elements, scene, scene_bands(elements, scene, MINUTES))

        progress(0.0, f"Looking at {piece.name}")
        return self._glows.get((artwork.digest, piece.width_mm, lighting, colour), make)

    def _take(self, state: GlowState) -> None:
        self.state, self.trouble = state, ""
        self.changed.emit()

    def _tell_failure(self, error: Exception) -> None:
        self.trouble = str(error) if isinstance(error, DuskwrightError) else "It cannot be worked out"
        self.failed.emit(error)
        self.changed.emit()


def _matters(job: Job) -> tuple[object, ...]:
    """What of a job its look in the dark depends on, by identity: comparing outlines would take long."""
    return (
        id(job.lighting), job.garment_colour, tuple(map(id, job.arts)), tuple(map(id, job.pieces)),
        tuple(map(id, job.orders)),
    )  # fmt: skip


def _at(bands: Bands, values: Floats, minutes: Floats) -> Floats:
    # between the moments as on the strip, whose time axis is the logarithm of 1 + t
    return np.interp(np.log1p(minutes), np.log1p(bands.minutes), values)


MINUTES = np.expm1(np.linspace(0.0, np.log1p(480.0), 97))
"""The moments at which bands are worked out: from lights-out to 8 hours, denser at first."""
