"""The art station: the chosen piece on the light table, the orders beneath."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QSplitter, QStackedWidget, QVBoxLayout, QWidget

from app.panels.light_table import LightTable
from app.panels.orders_panel import OrdersPanel
from app.widgets.empty_state import EmptyState
from app.wiring import Workbench


class ArtPage(QWidget):
    """A splitter of the two; the light table gives way to a sentence while there is no art."""

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
        self._stack = QStackedWidget()
        self._stack.setProperty("look", "matte")
        self._stack.addWidget(self.empty)
        self._stack.addWidget(self.table)
        self.splitter = QSplitter(Qt.Orientation.Vertical)
        self.splitter.setObjectName("art_page")
        self.splitter.setChildrenCollapsible(False)
        self.splitter.addWidget(self._stack)
        self.splitter.addWidget(self.orders)
        self.splitter.setStretchFactor(0, 3)
        self.splitter.setStretchFactor(1, 2)
        self.splitter.setSizes([460, 290])
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.splitter)
        bench.document.job_changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        self._stack.setCurrentIndex(1 if self._bench.document.job.pieces else 0)
