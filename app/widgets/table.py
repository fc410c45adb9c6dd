"""A calm table view: whole rows, no grid, as high as its rows, never wider than its place."""

from collections.abc import Sequence

from PySide6.QtCore import QAbstractItemModel, QEvent, QModelIndex, QPersistentModelIndex, QSize, Qt, QTimer
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QSpinBox,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

ROW_PX = 36
_LEAST_PX = 40


def shares(wishes: Sequence[int], room: int, stretched: int) -> list[int]:
    """The width of each column: what it wishes and the rest to one; where room lacks, the widest give way.

    Whole pixels that add up to the room, none below a least width.
    """
    left = room - sum(wishes)
    if left >= 0:
        return [wish + (left if at == stretched else 0) for at, wish in enumerate(wishes)]
    given = list(wishes)
    order = sorted(range(len(wishes)), key=lambda at: wishes[at])
    remaining = room
    for number, at in enumerate(order):
        fair = remaining // (len(order) - number)
        given[at] = max(min(wishes[at], fair), min(wishes[at], _LEAST_PX))
        remaining -= given[at]
    return given


class _Editors(QStyledItemDelegate):
    """Whole numbers are edited in a spin box that goes as high as a run may."""

    def createEditor(
        self, parent: QWidget, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QWidget:
        editor = super().createEditor(parent, option, index)
        if isinstance(editor, QSpinBox):
            editor.setRange(1, 1_000_000)
        return editor


class Table(QTableView):
    """Stretches one column; grows with its rows unless it is told to scroll.

    Where not every column has its width, the widest are shortened; a cell's tool tip tells its whole text.
    """

    def __init__(
        self, name: str, model: QAbstractItemModel, *, stretched: int = 0, grows: bool = True
    ) -> None:
        super().__init__()
        self._grows = grows
        self.setModel(model)
        self.setItemDelegate(_Editors(self))
        self.setAccessibleName(name)
        self.setProperty("look", "table")
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setTabKeyNavigation(False)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(
            QAbstractItemView.EditTrigger.DoubleClicked
            | QAbstractItemView.EditTrigger.SelectedClicked
            | QAbstractItemView.EditTrigger.EditKeyPressed
            | QAbstractItemView.EditTrigger.AnyKeyPressed
        )
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(ROW_PX)
        head = self.horizontalHeader()
        head.setHighlightSections(False)
        head.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        head.setMinimumSectionSize(_LEAST_PX)
        # Only the rows in sight are measured: a thousand at each change would hold up the window.
        head.setResizeContentsPrecision(0)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._stretched = stretched
        self._rest = QTimer(self, singleShot=True, interval=0)
        self._rest.timeout.connect(self.share_out)
        for signal in (model.modelReset, model.dataChanged, model.headerDataChanged):
            signal.connect(self._rest.start)
        self.verticalScrollBar().valueChanged.connect(self._rest.start)
        if grows:
            self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
            model.modelReset.connect(self._fit)
            self._fit()

    def sizeHint(self) -> QSize:
        rows = self.model().rowCount()
        return QSize(400, self.horizontalHeader().sizeHint().height() + rows * ROW_PX + 4)

    def share_out(self) -> None:
        """Give every column its width for what is in sight."""
        head = self.horizontalHeader()
        wishes = [
            max(self.sizeHintForColumn(at), head.sectionSizeHint(at))
            for at in range(self.model().columnCount())
        ]
        for at, width in enumerate(shares(wishes, self.viewport().width(), self._stretched)):
            head.resizeSection(at, width)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.share_out()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() in (QEvent.Type.StyleChange, QEvent.Type.FontChange):
            self._rest.start()

    def _fit(self) -> None:
        self.setFixedHeight(self.sizeHint().height())
