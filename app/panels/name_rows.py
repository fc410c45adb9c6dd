"""The rows of a list of names as a table that stays quick however long it is."""

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt
from PySide6.QtGui import QColor

from app.name_checks import CheckedName, NameChecks
from app.panels.job_words import bare_size, severity_words, worst
from app.tokens import Theme
from app.widgets.labels import capital
from app.widgets.plain_tip import plain_tip
from layout_core.checks.findings import Severity
from layout_core.units import Unit

_SIZE_COLUMN, CHECK_COLUMN = 4, 5
_HEADS = ("Row", "Name", "Number", "Copies", "Size", "Check")
_FIGURES = (0, 3)

Index = QModelIndex | QPersistentModelIndex


class NameRows(QAbstractTableModel):
    """Makes each cell only when it is looked at."""

    def __init__(self, checks: NameChecks, theme: Theme, unit: Unit, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._checks = checks
        self._theme = theme
        self._unit: Unit = unit
        checks.listed.connect(self._reset)
        checks.checked.connect(self._show_checked)

    def dress(self, theme: Theme, unit: Unit) -> None:
        """Other colours, or another unit of the sizes."""
        self._theme, self._unit = theme, unit
        if self.rowCount():
            self.dataChanged.emit(self.index(0, 0), self.index(self.rowCount() - 1, CHECK_COLUMN))
        self.headerDataChanged.emit(Qt.Orientation.Horizontal, _SIZE_COLUMN, _SIZE_COLUMN)

    def result(self, row: int) -> CheckedName | None:
        results = self._checks.results
        return results[row] if 0 <= row < len(results) else None

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self._checks.rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(_HEADS)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> object:
        if orientation is Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            return self._head(section)
        if orientation is Qt.Orientation.Horizontal and role == Qt.ItemDataRole.TextAlignmentRole:
            return _side(section)
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        if not index.isValid():
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return self._words(index.row(), index.column())
        if role == Qt.ItemDataRole.ToolTipRole:
            return plain_tip(self._words(index.row(), index.column()))
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{self._head(index.column())}: {self._words(index.row(), index.column())}"
        if role == Qt.ItemDataRole.ForegroundRole and index.column() == CHECK_COLUMN:
            return self._colour(self.result(index.row()))
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _side(index.column())
        return None

    def _head(self, column: int) -> str:
        """The unit of all sizes is said once, so that the columns find room."""
        return f"Size, {self._unit}" if column == _SIZE_COLUMN else _HEADS[column]

    def _words(self, row: int, column: int) -> str:
        entry, result = self._checks.rows[row], self.result(row)
        if column < 4:
            return (str(entry.row), entry.name, entry.number, f"{entry.copies:,}")[column]
        if result is None:
            return "" if column == 4 else "…"
        if result.report is None:
            return "" if column == 4 else capital(result.fault)
        return (
            bare_size(*result.report.size_mm, self._unit)
            if column == 4
            else capital(severity_words(result.report.findings))
        )

    def _colour(self, result: CheckedName | None) -> QColor | None:
        if result is None:
            return QColor(self._theme.muted)
        grade = Severity.STOP if result.report is None else worst(result.report.findings)
        token = {Severity.STOP: self._theme.stop, Severity.CAUTION: self._theme.caution}.get(
            grade or Severity.NOTE
        )
        return QColor(token) if token else None

    def _reset(self) -> None:
        self.beginResetModel()
        self.endResetModel()

    def _show_checked(self, first: int, last: int) -> None:
        self.dataChanged.emit(self.index(first, 4), self.index(last, CHECK_COLUMN))


def _side(column: int) -> Qt.AlignmentFlag:
    side = Qt.AlignmentFlag.AlignRight if column in _FIGURES else Qt.AlignmentFlag.AlignLeft
    return side | Qt.AlignmentFlag.AlignVCenter
