"""Reads art files in the background and adds them to the job as one undo step."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from app.arrivals import DropPoint, with_arrivals
from app.document import Document
from app.messages import Message, message_for
from app.notices import Notices
from app.selection import Selection
from app.tasks import TaskRunner
from layout_core.art.artwork import Artwork
from layout_core.art.intake import read_art, read_art_bytes
from layout_core.errors import ArtError
from layout_core.job.model import Job
from layout_core.progress import Progress, within

MOST_NAMED = 4
"""So many refused files are told one by one; of more, the number."""

Reader = Callable[[Progress], Artwork]


@dataclass(frozen=True, slots=True)
class _Arrived:
    """What was read, what was refused, and the job it makes of the one it was computed from."""

    base: Job
    made: Job
    artworks: tuple[Artwork, ...]
    refused: tuple[ArtError, ...]


class ArtImport(QObject):
    """Adds art to the job. Files that cannot be used are told in one message; the others still come in.

    `added(piece_ids)` follows a successful import; the new copies are then chosen.
    """

    added = Signal(object)

    def __init__(
        self, document: Document, selection: Selection, tasks: TaskRunner, notices: Notices,
        parent: QObject | None = None,
    ) -> None:  # fmt: skip
        super().__init__(parent)
        self._document = document
        self._selection = selection
        self._tasks = tasks
        self._notices = notices

    def add_files(self, paths: Sequence[Path], where: DropPoint | None = None) -> int | None:
        """The id of the task that reads the files and adds them, at a point or where there is room."""
        readers = [(path.name, _file_reader(path)) for path in paths]
        return self._start(readers, where) if readers else None

    def add_bytes(self, named: Sequence[tuple[str, bytes]], where: DropPoint | None = None) -> int | None:
        """As `add_files`, for files that are not on disk: (name with suffix, content)."""
        readers = [(name, _bytes_reader(name, data)) for name, data in named]
        return self._start(readers, where) if readers else None

    def _start(self, readers: Sequence[tuple[str, Reader]], where: DropPoint | None) -> int:
        base = self._document.job

        def work(progress: Progress) -> _Arrived:
            artworks: list[Artwork] = []
            refused: list[ArtError] = []
            for number, (name, read) in enumerate(readers):
                progress(number / len(readers), f"Reading {name}")
                try:
                    artworks.append(
                        read(within(progress, number / len(readers), (number + 1) / len(readers)))
                    )
                except ArtError as error:
                    refused.append(error)
            return _Arrived(base, with_arrivals(base, artworks, where), tuple(artworks), tuple(refused))

        def done(arrived: _Arrived) -> None:
            self._take(arrived, where)

        label = f"Reading {readers[0][0]}" if len(readers) == 1 else f"Reading {len(readers)} files"
        return self._tasks.start(
            label, work, done, lambda error: self._notices.tell_error(error, "adding art")
        )

    def _take(self, arrived: _Arrived, where: DropPoint | None) -> None:
        old, artworks = self._document.job, arrived.artworks
        if where is not None and all(sheet.sheet_id != where.sheet_id for sheet in old.sheets):
            where = None

        def edit(job: Job) -> Job:
            # The placing done in the background counts only for the job it was done for.
            return arrived.made if job is arrived.base else with_arrivals(job, artworks, where)

        name = artworks[0].name if len(artworks) == 1 else f"{len(artworks)} files"
        if artworks and self._document.apply(f"Add {name}", edit):
            self._show_added(old, self._document.job)
        if arrived.refused:
            self._notices.tell(refusal_message(arrived.refused, len(artworks)), "stop")

    def _show_added(self, old: Job, new: Job) -> None:
        known = {piece.piece_id for piece in old.pieces}
        pieces = tuple(piece.piece_id for piece in new.pieces if piece.piece_id not in known)
        placed = [p for sheet in new.sheets for p in sheet.placed if p.piece_id in pieces]
        if placed:
            self._selection.choose_placed(p.placed_id for p in placed)
        else:
            self._selection.choose_piece(pieces[0])
        waiting = len(pieces) - len(placed)
        if waiting:
            count = "1 piece" if waiting == 1 else f"{waiting} pieces"
            self._notices.tell(
                Message(
                    f"{count} found no free spot", "on the sheets", "Add a sheet, or make room, then autopack"
                ),
                "caution",
            )
        self.added.emit(pieces)


def refusal_message(refused: Sequence[ArtError], added: int) -> Message:
    """One message for all files that could not be used, naming each with its reason."""
    if len(refused) == 1:
        message = message_for(refused[0])
        others = f"{added} other{'s' if added > 1 else ''} came in. " if added else ""
        return Message(message.what, message.where, f"{others}{message.next_step}")
    named = "; ".join(str(error) for error in refused[:MOST_NAMED])
    rest = len(refused) - MOST_NAMED
    more = f"; and {rest} more" if rest > 0 else ""
    what = f"{len(refused)} files could not be used: {named}{more}"
    kept = f"{added} came in. " if added else ""
    return Message(what, refused[0].file_name, f"{kept}Export these again as plain SVG or PNG and add them")


def _file_reader(path: Path) -> Reader:
    return lambda progress: read_art(path, progress)


def _bytes_reader(name: str, data: bytes) -> Reader:
    return lambda progress: read_art_bytes(name, data, progress)
