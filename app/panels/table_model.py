"""A small table: a head and rows of text, some cells of which can be edited."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from app.widgets.plain_tip import plain_tip

Index = QModelIndex | QPersistentModelIndex


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell: its text, whether it is a figure, and what an entry does (None: not editable)."""

    text: str
    is_figure: bool = False
    edit_value: object = None
    take: Callable[[object], bool] | None = None


class TableModel(QAbstractTableModel):
    """Shows rows of cells; a changed job brings new rows."""

    def __init__(
        self, heads: Sequence[str], figures: Sequence[int] = (), parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._heads = list(heads)
        self._figures = set(figures)
        self._rows: list[tuple[Cell, ...]] = []

    def set_heads(self, heads: Sequence[str]) -> None:
        """Other words over the same columns."""
        if list(heads) != self._heads:
            self._heads = list(heads)
            self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, len(self._heads) - 1)

    def show_rows(self, rows: Sequence[tuple[Cell, ...]]) -> None:
        if len(rows) == len(self._rows):
            self._rows = list(rows)
            if rows:
                self.dataChanged.emit(self.index(0, 0), self.index(len(rows) - 1, len(self._heads) - 1))
            return
        self.beginResetModel()
        self._rows = list(rows)
        self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self._heads)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> object:
        if orientation is not Qt.Orientation.Horizontal:
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return self._heads[section]
        if role == Qt.ItemDataRole.TextAlignmentRole:
            side = Qt.AlignmentFlag.AlignRight if section in self._figures else Qt.AlignmentFlag.AlignLeft
            return side | Qt.AlignmentFlag.AlignVCenter
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        if not index.isValid():
            return None
        cell = self._rows[index.row()][index.column()]
        if role == Qt.ItemDataRole.DisplayRole:
            return cell.text
        if role == Qt.ItemDataRole.ToolTipRole:
            return plain_tip(cell.text)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{self._heads[index.column()]}: {cell.text}"
        if role == Qt.ItemDataRole.EditRole:
            return cell.text if cell.edit_value is None else cell.edit_value
        if role == Qt.ItemDataRole.TextAlignmentRole:
            side = Qt.AlignmentFlag.AlignRight if cell.is_figure else Qt.AlignmentFlag.AlignLeft
            return side | Qt.AlignmentFlag.AlignVCenter
        return None

    def flags(self, index: Index) -> Qt.ItemFlag:
        flags = super().flags(index)
        if index.isValid() and self._rows[index.row()][index.column()].take is not None:
            flags |= Qt.ItemFlag.ItemIsEditable
        return flags

    def setData(self, index: Index, value: object, role: int = Qt.ItemDataRole.EditRole) -> bool:
        take = self._rows[index.row()][index.column()].take
        return take is not None and role == Qt.ItemDataRole.EditRole and take(value)
