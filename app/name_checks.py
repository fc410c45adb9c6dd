"""Reads a list of names and sets and checks each of them in the background, row by row."""

from collections import deque
from collections.abc import Mapping
from dataclasses import dataclass

from PySide6.QtCore import QObject, QTimer, Signal

from app.document import Document
from app.tasks import TaskRunner
from layout_core.art.artwork import Artwork
from layout_core.art.lettering import Lettering, lettering_artwork
from layout_core.checks.report import ArtReport
from layout_core.checks.run import check_artwork
from layout_core.errors import LetteringError, NameListError
from layout_core.job.bounds import MOST_ARTS
from layout_core.job.edits_made import named_lettering
from layout_core.job.limits import PrintLimits
from layout_core.job.name_list import MOST_LISTED, MOST_ROWS, NameList, NameRow, names_from_bytes
from layout_core.progress import Progress

PAUSE_MS = 250
LIST_NAME = "the list"


@dataclass(frozen=True, slots=True)
class CheckedName:
    """One row set and checked: its art and report, or the fault that keeps it out."""

    words: Lettering | None
    artwork: Artwork | None
    report: ArtReport | None
    fault: str = ""


class NameChecks(QObject):
    """Follows the text of a list and how its names are set; the newest of both counts.

    `listed` follows each reading of the list, `checked(first, last)` the rows checked since, `ended` the end.
    """

    listed = Signal()
    checked = Signal(int, int)
    ended = Signal()

    def __init__(self, document: Document, tasks: TaskRunner, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._tasks = tasks
        self._task_id: int | None = None
        self._text, self._lettering = "", Lettering("{name}")
        self._arriving: deque[CheckedName] = deque()
        self._held: dict[tuple[Lettering, PrintLimits], CheckedName] = {}
        self._pause = QTimer(self, singleShot=True, interval=PAUSE_MS)
        self._pause.timeout.connect(self._start)
        self.rows: tuple[NameRow, ...] = ()
        self.results: list[CheckedName] = []
        self.fault = ""
        tasks.progressed.connect(lambda task_id, _fraction, _label: self._collect(task_id))
        tasks.ended.connect(self._end)

    @property
    def is_busy(self) -> bool:
        return self._pause.isActive() or self._task_id is not None

    @property
    def room(self) -> int:
        """How many names the job can still take at once."""
        return min(MOST_ROWS, MOST_ARTS - len(self._document.job.arts))

    def follow(self, text: str, lettering: Lettering) -> None:
        """Read and check this in place of whatever came before."""
        if (text, lettering) == (self._text, self._lettering):
            return
        if lettering != self._lettering:
            self._held = {}
        self._text, self._lettering = text, lettering
        self.stop()
        self._pause.start()

    def stop(self) -> None:
        """Leave the rest unchecked."""
        self._pause.stop()
        if self._task_id is not None:
            self._tasks.stop(self._task_id)
            self._task_id = None
            self.ended.emit()

    def good(self) -> tuple[tuple[NameRow, CheckedName], ...]:
        """The checked rows that can be added now, in the order of the list, as many as there is room for."""
        taken: list[tuple[NameRow, CheckedName]] = []
        room = self.room
        for row, result in zip(self.rows, self.results, strict=False):
            if len(taken) >= room:
                break
            if result.artwork is not None:
                taken.append((row, result))
        return tuple(taken)

    def _start(self) -> None:
        self.rows, self.results, self.fault = (), [], ""
        arriving: deque[CheckedName] = deque()
        self._arriving = arriving
        if self._text.strip():
            try:
                found = names_from_bytes(LIST_NAME, self._text.encode("utf-8", "replace"), MOST_LISTED)
            except NameListError as error:
                self.fault = str(error)
            else:
                self.rows = found.rows
                self._check(found, arriving)
        self.listed.emit()

    def _check(self, names: NameList, arriving: deque[CheckedName]) -> None:
        lettering, limits, held, room = self._lettering, self._document.job.limits, self._held, self.room

        def work(progress: Progress) -> None:
            kept = 0
            for number, row in enumerate(names.rows):
                progress(number / len(names.rows), row.words)
                result = _checked(row, lettering, limits, held, kept < room)
                kept += result.artwork is not None
                arriving.append(result)

        self._task_id = self._tasks.start("Checking the names", work, lambda _none: None, lane="names")

    def _collect(self, task_id: int) -> None:
        if task_id != self._task_id or not self._arriving:
            return
        first = len(self.results)
        while self._arriving:
            self.results.append(self._arriving.popleft())
        self.checked.emit(first, len(self.results) - 1)

    def _end(self, task_id: int) -> None:
        if task_id == self._task_id:
            self._collect(task_id)
            self._task_id = None
            self.ended.emit()


def _checked(
    row: NameRow,
    lettering: Lettering,
    limits: PrintLimits,
    held: dict[tuple[Lettering, PrintLimits], CheckedName],
    keeps_artwork: bool,
) -> CheckedName:
    """The row set and checked; the same words are looked at once. Art beyond the room is not kept."""
    try:
        words = named_lettering(lettering, row)
        known = held.get((words, limits))
        if known is not None and (known.artwork is not None or not keeps_artwork):
            return known
        artwork = lettering_artwork(words)
        report = check_artwork(artwork, artwork.width_mm, limits)
    except LetteringError as error:
        return CheckedName(None, None, None, str(error))
    result = CheckedName(words, artwork if keeps_artwork else None, report)
    held[words, limits] = result
    return result


def artworks_by_text(checked: tuple[tuple[NameRow, CheckedName], ...]) -> Mapping[str, Artwork]:
    """The art of each different text, as `add_name_list` takes it."""
    return {
        one.words.text: one.artwork for _, one in checked if one.words is not None and one.artwork is not None
    }
