"""A calm table view: whole rows, no grid, as high as its rows."""

from PySide6.QtCore import QAbstractItemModel, QModelIndex, QPersistentModelIndex, QSize, Qt
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
    """Stretches one column; grows with its rows unless it is told to scroll."""

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
        head.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        head.setSectionResizeMode(stretched, QHeaderView.ResizeMode.Stretch)
        head.setMinimumSectionSize(64)
        if grows:
            self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
            model.modelReset.connect(self._fit)
            self._fit()

    def sizeHint(self) -> QSize:
        rows = self.model().rowCount()
        return QSize(400, self.horizontalHeader().sizeHint().height() + rows * ROW_PX + 4)

    def _fit(self) -> None:
        self.setFixedHeight(self.sizeHint().height())
