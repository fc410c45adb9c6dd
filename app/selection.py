"""What is chosen: placed pieces on the sheets, or one piece of the list. Never undoable."""

from collections.abc import Iterable

from PySide6.QtCore import QObject, Signal

from app.document import Document
from layout_core.job.model import Job


class Selection(QObject):
    """The chosen ids; those that leave the job leave the selection too."""

    changed = Signal()

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._placed_ids: frozenset[int] = frozenset()
        self._piece_id: int | None = None
        document.job_changed.connect(self._forget_the_gone)

    @property
    def placed_ids(self) -> frozenset[int]:
        return self._placed_ids

    @property
    def piece_id(self) -> int | None:
        """The piece that was chosen, or the one that all chosen placed pieces are copies of."""
        return self._piece_id

    def choose_placed(self, ids: Iterable[int]) -> None:
        """Choose these placed pieces and nothing else; ids that lie on no sheet are passed over."""
        wanted = frozenset(ids)
        self._set(*_known(self._document.job, wanted, None))

    def choose_piece(self, piece_id: int | None) -> None:
        """Choose one piece of the list and none of its copies."""
        self._set(*_known(self._document.job, frozenset(), piece_id))

    def clear(self) -> None:
        self._set(frozenset(), None)

    def _forget_the_gone(self, old: Job, new: Job) -> None:
        self._set(*_known(new, self._placed_ids, self._piece_id))

    def _set(self, placed_ids: frozenset[int], piece_id: int | None) -> None:
        if (placed_ids, piece_id) != (self._placed_ids, self._piece_id):
            self._placed_ids, self._piece_id = placed_ids, piece_id
            self.changed.emit()


def _known(job: Job, placed_ids: frozenset[int], piece_id: int | None) -> tuple[frozenset[int], int | None]:
    """What of the two still stands in the job; the copies, where there are any, say which piece it is."""
    piece_of = {
        placed.placed_id: placed.piece_id
        for sheet in job.sheets
        for placed in sheet.placed
        if placed.placed_id in placed_ids
    }
    if piece_of:
        pieces = set(piece_of.values())
        return frozenset(piece_of), pieces.pop() if len(pieces) == 1 else None
    is_there = any(piece.piece_id == piece_id for piece in job.pieces)
    return frozenset(), piece_id if is_there else None
