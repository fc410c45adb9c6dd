"""The pieces of the job as a list model, with everything its painted row says also as text."""

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import (
    QAbstractListModel,
    QMimeData,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
)

from app.canvas.drops import PIECE_MIME, piece_mime
from app.panels.job_words import owner_words, piece_line, piece_tag
from app.widgets.marks import Mark
from app.widgets.plain_tip import plain_tip
from layout_core.art.artwork import Artwork
from layout_core.checks.findings import Finding
from layout_core.job.model import Job
from layout_core.units import Unit

Index = QModelIndex | QPersistentModelIndex
ROW_ROLE = int(Qt.ItemDataRole.UserRole)
ID_ROLE = ROW_ROLE + 1


@dataclass(frozen=True, slots=True)
class PieceRow:
    """What one row shows."""

    piece_id: int
    artwork: Artwork
    name: str
    line: str
    tag: str
    mark: Mark | None
    owner: str

    @property
    def spoken(self) -> str:
        warning = f", {self.mark.value}" if self.mark and self.mark.value not in self.tag else ""
        return f"{self.name}, {self.line}, {self.tag}{warning}, {self.owner}"


class PieceRows(QAbstractListModel):
    """One row a piece; rows keep their place while only their words change."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[PieceRow, ...] = ()

    def show_job(self, job: Job, findings: Sequence[Finding], unit: Unit) -> None:
        rows = tuple(
            PieceRow(
                piece.piece_id,
                job.artwork_of(piece),
                piece.name,
                piece_line(piece, unit),
                *piece_tag(job, piece, findings),
                owner_words(job, piece),
            )
            for piece in job.pieces
        )
        if rows == self._rows:
            return
        if [row.piece_id for row in rows] == [row.piece_id for row in self._rows]:
            self._rows = rows
            self.dataChanged.emit(self.index(0), self.index(len(rows) - 1))
            return
        self.beginResetModel()
        self._rows = rows
        self.endResetModel()

    def row_of(self, piece_id: int | None) -> int | None:
        return next((at for at, row in enumerate(self._rows) if row.piece_id == piece_id), None)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self._rows)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        if not index.isValid():
            return None
        row = self._rows[index.row()]
        if role == Qt.ItemDataRole.DisplayRole:
            return row.name
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return row.spoken
        if role == Qt.ItemDataRole.ToolTipRole:
            return plain_tip(f"{row.name}\n{row.line}\n{row.tag} · {row.owner}")
        if role == ID_ROLE:
            return row.piece_id
        return row if role == ROW_ROLE else None

    def flags(self, index: Index) -> Qt.ItemFlag:
        flags = super().flags(index)
        return flags | Qt.ItemFlag.ItemIsDragEnabled if index.isValid() else flags

    def mimeTypes(self) -> list[str]:
        return [PIECE_MIME]

    def mimeData(self, indexes: Sequence[QModelIndex]) -> QMimeData:
        return piece_mime(self._rows[indexes[0].row()].piece_id)

    def supportedDragActions(self) -> Qt.DropAction:
        return Qt.DropAction.CopyAction
