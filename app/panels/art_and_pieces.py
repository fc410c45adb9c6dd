"""The left panel: every piece of the job with its picture, and the way in for more art."""

from PySide6.QtCore import QAbstractItemModel, QItemSelectionModel, QModelIndex, QPoint, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QListView,
    QMenu,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.made_art import made_of
from app.panels.art_menu import add_repairs
from app.panels.piece_row_painter import PieceRowPainter
from app.panels.piece_rows import ID_ROLE, PieceRows
from app.tokens import Theme
from app.widgets.empty_state import EmptyState
from app.widgets.labels import label
from app.widgets.themed import Themed
from app.wiring import Workbench
from layout_core.art.lettering import Lettering
from layout_core.job.edits import remove_piece

WIDTH_PX = 268


class PieceList(Themed, QListView):
    """The list itself: drags a piece onto a sheet; Enter or a double click lays a copy."""

    lay_asked = Signal(int)

    def __init__(self, theme: Theme, model: PieceRows) -> None:
        super().__init__()
        self._painter = PieceRowPainter(self)
        self._painter.theme = self.theme = theme
        self.setModel(model)
        self.setItemDelegate(self._painter)
        self.setAccessibleName("Pieces")
        self.setProperty("look", "cards")
        self.setMouseTracking(True)
        self.setUniformItemSizes(True)
        self.setDragEnabled(True)
        self.setDragDropMode(QAbstractItemView.DragDropMode.DragOnly)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.doubleClicked.connect(lambda index: self.lay_asked.emit(index.data(ID_ROLE)))

    def set_theme(self, theme: Theme) -> None:
        self._painter.theme = self.theme = theme
        self.viewport().update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        index = self.currentIndex()
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and index.isValid():
            self.lay_asked.emit(index.data(ID_ROLE))
        else:
            super().keyPressEvent(event)


class ArtAndPieces(QWidget):
    """Lists the pieces and follows the selection both ways."""

    add_art_asked = Signal()
    lay_asked = Signal(int)
    ink_asked = Signal()
    change_asked = Signal()

    def __init__(self, bench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self.setProperty("look", "panel")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setMinimumWidth(216)
        self._model = PieceRows(self)
        self.list = PieceList(bench.theme, self._model)
        self.list.lay_asked.connect(self.lay_asked)
        self.list.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        self.list.customContextMenuRequested.connect(self._open_menu)
        self.list.selectionModel().currentChanged.connect(self._choose)
        self.add_button = QPushButton("Add art")
        self.add_button.setProperty("look", "tonal")
        self.add_button.clicked.connect(self.add_art_asked)
        self._empty = EmptyState("Drop SVG, PDF, PNG or JPEG files here, or press Add art.")
        self._lay_out()
        bench.document.job_changed.connect(self.refresh)
        bench.checker.findings_changed.connect(self.refresh)
        bench.settings.changed.connect(self.refresh)
        bench.selection.changed.connect(self._show_choice)
        self.refresh()

    def refresh(self) -> None:
        """Bring the rows in line with the job; the chosen row stays chosen."""
        bench = self._bench
        self._model.show_job(bench.document.job, bench.checker.findings, bench.settings.unit)
        self._empty.setVisible(not bench.document.job.pieces)
        self.list.setVisible(bool(bench.document.job.pieces))
        self._show_choice()

    @property
    def model(self) -> QAbstractItemModel:
        return self._model

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(10, 12, 8, 8)
        column.setSpacing(10)
        head = QHBoxLayout()
        head.setContentsMargins(10, 0, 6, 0)
        head.addWidget(label("Art and pieces", "title"), 1)
        head.addWidget(self.add_button)
        column.addLayout(head)
        column.addWidget(self._empty, 1)
        column.addWidget(self.list, 1)

    def _choose(self, current: QModelIndex, previous: QModelIndex) -> None:
        piece_id = current.data(ID_ROLE) if current.isValid() else None
        if piece_id is not None and piece_id != self._bench.selection.piece_id:
            self._bench.selection.choose_piece(piece_id)

    def _show_choice(self) -> None:
        row = self._model.row_of(self._bench.selection.piece_id)
        selection = self.list.selectionModel()
        if row is None:
            selection.clear()
        elif self.list.currentIndex().row() != row or not selection.hasSelection():
            flags = QItemSelectionModel.SelectionFlag.ClearAndSelect
            selection.setCurrentIndex(self._model.index(row), flags)
            self.list.scrollTo(self._model.index(row))

    def _open_menu(self, at: QPoint) -> None:
        index = self.list.indexAt(at)
        if index.isValid():
            self.menu_of(index.data(ID_ROLE)).popup(self.list.viewport().mapToGlobal(at))

    def menu_of(self, piece_id: int) -> QMenu:
        """A new menu of what can be done with a piece and its art; it is gone once closed."""
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.addAction("Lay a copy on the sheet", lambda: self.lay_asked.emit(piece_id))
        menu.addAction("Remove from the job", lambda: self.remove(piece_id))
        menu.addSeparator()
        job = self._bench.document.job
        made = made_of(job.art(job.piece(piece_id).art_id))
        if made is not None:
            words = "Change lettering" if isinstance(made, Lettering) else "Change shape"
            menu.addAction(words, lambda: self._change_made(piece_id))
        menu.addAction("Ink and repairs", lambda: self._show_ink(piece_id))
        add_repairs(menu, self._bench, self._bench.document.job.piece(piece_id))
        return menu

    def _change_made(self, piece_id: int) -> None:
        self._bench.selection.choose_piece(piece_id)
        self.change_asked.emit()

    def _show_ink(self, piece_id: int) -> None:
        self._bench.selection.choose_piece(piece_id)
        self.ink_asked.emit()

    def remove(self, piece_id: int) -> None:
        """Take a piece and its copies out of the job, as one undo step."""
        name = self._bench.document.job.piece(piece_id).name
        self._bench.document.apply(f"Remove {name}", lambda job: remove_piece(job, piece_id))
