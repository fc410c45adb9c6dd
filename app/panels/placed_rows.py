"""Everything that lies on a sheet as rows of text: what a screen reader and the keyboard can reach."""

from dataclasses import dataclass

from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from app.widgets.plain_tip import plain_tip
from layout_core.job.model import Job, Sheet
from layout_core.units import Unit, write_number

Index = QModelIndex | QPersistentModelIndex
PLACED_ID = int(Qt.ItemDataRole.UserRole)


@dataclass(frozen=True, slots=True)
class PlacedRow:
    placed_id: int
    text: str


class PlacedRows(QAbstractListModel):
    """One row a placed copy, from the top of the sheet down, then from left to right."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[PlacedRow, ...] = ()

    @property
    def rows(self) -> tuple[PlacedRow, ...]:
        return self._rows

    def show_sheet(self, job: Job, sheet: Sheet, unit: Unit) -> None:
        rows = placed_rows(job, sheet, unit)
        if rows == self._rows:
            return
        if [row.placed_id for row in rows] == [row.placed_id for row in self._rows]:
            self._rows = rows
            self.dataChanged.emit(self.index(0), self.index(len(rows) - 1))
            return
        self.beginResetModel()
        self._rows = rows
        self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self._rows)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        if not index.isValid():
            return None
        row = self._rows[index.row()]
        if role == Qt.ItemDataRole.DisplayRole:
            return row.text
        if role == Qt.ItemDataRole.ToolTipRole:
            return plain_tip(row.text)
        return row.placed_id if role == PLACED_ID else None


def placed_rows(job: Job, sheet: Sheet, unit: Unit) -> tuple[PlacedRow, ...]:
    """Name, middle from left and top, turn and lock of every copy on the sheet."""
    names = {piece.piece_id: piece.name for piece in job.pieces}
    decimals = 2 if unit == "in" else 0
    rows = []
    for placed in sorted(sheet.placed, key=lambda p: (p.pose.y_mm, p.pose.x_mm, p.placed_id)):
        pose = placed.pose
        place = ", ".join(write_number(value, unit, decimals) for value in (pose.x_mm, pose.y_mm))
        words = [names[placed.piece_id], f"{place} {unit}"]
        if pose.turn_deg:
            words.append(f"{pose.turn_deg:g}°")
        if placed.locked:
            words.append("locked")
        rows.append(PlacedRow(placed.placed_id, " · ".join(words)))
    return tuple(rows)
