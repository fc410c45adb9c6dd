"""The art station: the chosen piece on the light table or an editor of made art, the orders beneath."""

from typing import TypeVar

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QSplitter, QStackedWidget, QVBoxLayout, QWidget

from app.made_art import made_of
from app.panels.art_tools import ArtTools
from app.panels.lettering_editor import LetteringEditor
from app.panels.light_table import LightTable
from app.panels.made_editor import MadeEditor
from app.panels.names_editor import NamesEditor
from app.panels.orders_panel import OrdersPanel
from app.panels.shape_editor import ShapeEditor
from app.widgets.empty_state import EmptyState
from app.wiring import Workbench
from layout_core.art.lettering import Lettering

E = TypeVar("E", LetteringEditor, ShapeEditor, NamesEditor)


class ArtPage(QWidget):
    """A splitter of the two; the light table gives way to an editor, or to a sentence without art."""

    def __init__(self, bench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self.table = LightTable(bench)
        self.orders = OrdersPanel(bench)
        self.orders.setProperty("look", "panel")
        self.orders.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.empty = EmptyState(
            "Drop SVG, PDF, PNG or JPEG files anywhere on the window; each becomes a piece to size and lay.",
            "Add art",
            title="No art yet",
        )
        self.tools = ArtTools(
            bench,
            {
                "lettering": self.add_lettering,
                "shape": self.add_shape,
                "names": self.add_names,
                "change": self.change_made,
            },
        )
        self._editors: dict[type[QWidget], QWidget] = {}
        self._stack = QStackedWidget()
        self._stack.setProperty("look", "matte")
        for page in (self.empty, self.table):
            self._stack.addWidget(page)
        self._lay_out()
        self.table.change_asked.connect(self.change_made)
        bench.document.job_changed.connect(self.refresh)
        bench.document.replaced.connect(self.show_table)
        self.show_table()

    @property
    def lettering(self) -> LetteringEditor:
        return self._made(LetteringEditor)

    @property
    def shape(self) -> ShapeEditor:
        return self._made(ShapeEditor)

    @property
    def names(self) -> NamesEditor:
        return self._made(NamesEditor)

    @property
    def editor(self) -> QWidget | None:
        """The editor in view."""
        shown = self._stack.currentWidget()
        return shown if isinstance(shown, MadeEditor | NamesEditor) else None

    def refresh(self) -> None:
        if self.editor is None:
            self._stack.setCurrentIndex(1 if self._bench.document.job.pieces else 0)

    def show_table(self) -> None:
        """Put the light table back in the place of an editor."""
        had_editor = self.editor is not None
        self._stack.setCurrentIndex(1 if self._bench.document.job.pieces else 0)
        self.orders.show()
        if had_editor:
            self.tools.lettering.setFocus()

    def add_lettering(self) -> None:
        self.lettering.begin(None)
        self._show_editor(self.lettering, self.lettering.words)

    def add_shape(self) -> None:
        self.shape.begin(None)
        self._show_editor(self.shape, self.shape.kinds)

    def add_names(self) -> None:
        self.names.begin()
        self._show_editor(self.names, self.names.list)

    def change_made(self) -> None:
        """Open the editor of the chosen piece's art, if the program made it."""
        job, piece_id = self._bench.document.job, self._bench.selection.piece_id
        if piece_id is None:
            return
        art = job.art(job.piece(piece_id).art_id)
        made = made_of(art)
        if isinstance(made, Lettering):
            self.lettering.begin(art)
            self._show_editor(self.lettering, self.lettering.words)
        elif made is not None:
            self.shape.begin(art)
            self._show_editor(self.shape, self.shape.kinds)

    def _made(self, kind: type[E]) -> E:
        """The editor of a kind, built when it is first asked for: most jobs need none."""
        found = self._editors.get(kind)
        if not isinstance(found, kind):
            found = self._editors[kind] = kind(self._bench)
            found.closed.connect(self.show_table)
            self._stack.addWidget(found)
        return found

    def _show_editor(self, editor: QWidget, first: QWidget) -> None:
        """The editor takes the whole station, so that its preview is large."""
        self._stack.setCurrentWidget(editor)
        self.orders.hide()
        first.setFocus()

    def _lay_out(self) -> None:
        top = QWidget()
        upper = QVBoxLayout(top)
        upper.setContentsMargins(0, 0, 0, 0)
        upper.setSpacing(0)
        upper.addWidget(self.tools)
        upper.addWidget(self._stack, 1)
        self.splitter = QSplitter(Qt.Orientation.Vertical)
        self.splitter.setObjectName("art_page")
        self.splitter.setChildrenCollapsible(False)
        self.splitter.addWidget(top)
        self.splitter.addWidget(self.orders)
        self.splitter.setStretchFactor(0, 3)
        self.splitter.setStretchFactor(1, 2)
        self.splitter.setSizes([400, 350])
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.splitter)
