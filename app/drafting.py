"""Makes what an editor shows, off the window's thread: first the outline, then its checks."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypeVar

from PySide6.QtCore import QObject, QTimer, Signal

from app.document import Document
from app.made_art import Made
from app.tasks import TaskRunner
from layout_core.art.artwork import Artwork
from layout_core.art.fonts import face_named
from layout_core.art.lettering import Lettering, lettering_artwork
from layout_core.art.stock import StockShape, stock_artwork
from layout_core.checks.report import ArtReport
from layout_core.checks.run import check_artwork
from layout_core.checks.smallest_size import SmallestSize, smallest_cap_height
from layout_core.errors import LetteringError
from layout_core.progress import Progress

T = TypeVar("T")

PAUSE_MS = 90
"""What is typed within this time is made once."""


@dataclass(frozen=True, slots=True)
class Smallest:
    """The least cap height that passes, whatever the setting's own; `size` None: none does."""

    setting: Lettering
    size: SmallestSize | None


class Drafting(QObject):
    """What is wished for, and what has been made of it so far; the newest wish counts.

    `artwork` belongs to `made_of`; after a fault there is none. `report` and `smallest` come later.
    `changed` follows each step. Without
    `finds_smallest` the size is not looked for.
    """

    changed = Signal()

    def __init__(
        self,
        document: Document,
        tasks: TaskRunner,
        parent: QObject | None = None,
        *,
        finds_smallest: bool = True,
    ) -> None:
        super().__init__(parent)
        self._finds_smallest = finds_smallest
        self._document = document
        self._tasks = tasks
        self._task_id: int | None = None
        self._pause = QTimer(self, singleShot=True, interval=PAUSE_MS)
        self._pause.timeout.connect(self._make)
        self.wish: Made | None = None
        self.made_of: Made | None = None
        self.artwork: Artwork | None = None
        self.report: ArtReport | None = None
        self.smallest: Smallest | None = None
        self.fault: LetteringError | None = None
        tasks.ended.connect(self._end)

    @property
    def is_ready(self) -> bool:
        """Whether the artwork is that of the wish."""
        return self.artwork is not None and self.made_of == self.wish and self.fault is None

    @property
    def is_busy(self) -> bool:
        return self._pause.isActive() or self._task_id is not None

    def want(self, wish: Made | None) -> None:
        """Make this in place of whatever was wished for before; None shows nothing."""
        if wish == self.wish:
            return
        self.wish = wish
        self._stop()
        if wish is None:
            self._pause.stop()
            self.made_of = self.artwork = self.report = self.fault = None
            self.changed.emit()
        else:
            self._pause.start()

    def smallest_of(self, lettering: Lettering) -> Smallest | None:
        """The answer for this setting, if it is known; its own cap height plays no part."""
        found = self.smallest
        return found if found is not None and found.setting == _setting(lettering) else None

    def _make(self) -> None:
        wish = self.wish
        if wish is not None:
            self._start("Drawing the preview", lambda _progress: _artwork_of(wish), self._take_artwork)

    def _take_artwork(self, artwork: Artwork) -> None:
        self.made_of, self.artwork, self.report, self.fault = self.wish, artwork, None, None
        limits = self._document.job.limits

        def check(progress: Progress) -> ArtReport:
            return check_artwork(artwork, artwork.width_mm, limits, progress=progress)

        self._start("Checking the preview", check, self._take_report)
        self.changed.emit()

    def _take_report(self, report: ArtReport) -> None:
        self.report, self._task_id = report, None
        wish, limits = self.wish, self._document.job.limits
        if self._finds_smallest and isinstance(wish, Lettering) and self.smallest_of(wish) is None:

            def search(progress: Progress) -> Smallest:
                return Smallest(_setting(wish), smallest_cap_height(wish, limits, progress))

            self._start("Looking for the smallest size", search, self._take_smallest)
        self.changed.emit()

    def _take_smallest(self, found: Smallest) -> None:
        self.smallest, self._task_id = found, None
        self.changed.emit()

    def _fail(self, error: Exception) -> None:
        self._task_id = None
        self.made_of = self.artwork = self.report = None
        self.fault = error if isinstance(error, LetteringError) else LetteringError(str(error))
        self.changed.emit()

    def _start(self, label: str, work: Callable[[Progress], T], done: Callable[[T], None]) -> None:
        self._stop()
        self._task_id = self._tasks.start(label, work, done, self._fail, lane="art")

    def _stop(self) -> None:
        if self._task_id is not None:
            self._tasks.stop(self._task_id)
            self._task_id = None

    def _end(self, task_id: int) -> None:
        """After Stop neither result nor failure comes."""
        if task_id == self._task_id:
            self._task_id = None
            self.changed.emit()


def _artwork_of(wish: Made) -> Artwork:
    if isinstance(wish, StockShape):
        return stock_artwork(wish)
    face_named(wish.font)
    return lettering_artwork(wish)


def _setting(lettering: Lettering) -> Lettering:
    return replace(lettering, cap_height_mm=Lettering("x").cap_height_mm)
