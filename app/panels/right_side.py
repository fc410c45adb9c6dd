"""The right side: the panel that belongs to the station in view."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from app.panels.current_sheet import CurrentSheet
from app.panels.findings_panel import FindingsPanel
from app.panels.hand_off_panel import HandOffPanel
from app.panels.ink_panel import InkPanel
from app.panels.piece_panel import PiecePanel
from app.panels.proof_maker import ProofMaker
from app.panels.repair_card import RepairCard
from app.panels.sheet_panel import SheetPanel
from app.widgets.empty_state import EmptyState
from app.widgets.segmented import Segmented
from app.wiring import Workbench

WIDTH_PX = 300


class RightSide(QWidget):
    """On the sheets the chosen piece or the sheet, by what was chosen last or by the switch above.

    At the art station the chosen piece or its ink, by a switch of its own.
    """

    show_asked = Signal(object)
    refused = Signal(str)

    def __init__(
        self, bench: Workbench, current: CurrentSheet, maker: ProofMaker, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._bench = bench
        self._station = "sheets"
        self.setProperty("look", "panel")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setMinimumWidth(WIDTH_PX)
        self.piece = PiecePanel(bench)
        self.sheet = SheetPanel(bench, current)
        self.ink = InkPanel(bench)
        self.findings = FindingsPanel(bench)
        self.hand_off = HandOffPanel(bench, maker)
        self.no_piece = EmptyState("Choose a piece to see its size, its findings and its order.")
        self.switch = Segmented("Panel", [("piece", "Piece"), ("sheet", "Sheet")])
        self.art_switch = Segmented("Panel", [("piece", "Piece"), ("ink", "Ink")])
        self.repair = RepairCard(bench)
        self._stack = QStackedWidget()
        for panel in (self.piece, self.ink, self.sheet, self.findings, self.hand_off, self.no_piece):
            self._stack.addWidget(panel)
        self._head = QWidget()
        row = QHBoxLayout(self._head)
        row.setContentsMargins(16, 12, 16, 8)
        row.addWidget(self.switch)
        row.addWidget(self.art_switch)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self._head)
        column.addWidget(self.repair)
        column.addWidget(self._stack, 1)
        self.switch.chosen.connect(self._show)
        self.art_switch.chosen.connect(self._show)
        bench.selection.changed.connect(self._follow_selection)
        for panel in (self.piece, self.findings, self.hand_off):
            panel.show_asked.connect(self.show_asked)
        for panel in (self.piece, self.sheet, self.hand_off):
            panel.refused.connect(self.refused)
        self.show_station("sheets")

    @property
    def panel(self) -> QWidget | None:
        """The panel in view."""
        return self._stack.currentWidget()

    def show_station(self, station: str) -> None:
        self._station = station
        self._follow_selection()

    def show_sheet(self) -> None:
        """Bring the sheet's panel forward, where the station has one."""
        self.switch.set_current("sheet")
        self._show()

    def show_ink(self) -> None:
        """Bring the ink of the chosen piece forward, at the art station."""
        self.art_switch.set_current("ink")
        self._show()

    def _follow_selection(self) -> None:
        self.switch.set_current("sheet" if self._bench.selection.piece_id is None else "piece")
        self._show()

    def _show(self) -> None:
        self._head.setVisible(self._station in ("art", "sheets"))
        self.switch.setVisible(self._station == "sheets")
        self.art_switch.setVisible(self._station == "art")
        self._stack.setCurrentWidget(self._wanted())

    def _wanted(self) -> QWidget:
        if self._station == "findings":
            return self.findings
        if self._station == "hand-off":
            return self.hand_off
        if self._station == "plan":
            return self.sheet
        if self._station == "sheets" and self.switch.current == "sheet":
            return self.sheet
        if self._bench.selection.piece_id is None:
            return self.no_piece
        return self.ink if self._station == "art" and self.art_switch.current == "ink" else self.piece
