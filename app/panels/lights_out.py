"""The lights-out strip below the sheets: the cursor of the dark view over each piece's visibility."""

from PySide6.QtCore import Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QStackedWidget, QVBoxLayout, QWidget

from app.glow_watch import PieceGlow
from app.panels.lights_chart import Band, LightsChart
from app.panels.seen_words import CAUTION, SHORT_CAUTION, light_words, reach_words, state_word
from app.panels.table_model import Cell, TableModel
from app.viewing import LEAST_M, MOST_M, MOST_MINUTES, minutes_words
from app.widgets.labels import ElidedLabel, label
from app.widgets.quiet import QuietDecimal
from app.widgets.seen import WhenSeen
from app.widgets.table import Table
from app.wiring import Workbench
from layout_core.glow.visibility import shown_m

HEIGHT_PX = 186
_TABLE_MINUTES = (0.0, 1.0, 2.0, 5.0, 10.0, 20.0, 30.0, 60.0, 120.0, 240.0, 480.0)
_USUAL_MINUTES = 20.0
"""When pieces are ranked: a moment of its own, or the rows would jump under the cursor."""
_LIGHT_FROM_PX, _FIELDS_FROM_PX, _LIGHTING_FROM_PX = 520, 440, 640
_EDGE_PX, _NO_LIMIT_PX = 16, 16_777_215


class LightsOut(WhenSeen, QWidget):
    """Follows the chosen piece, or shows all; `light_asked` is the wish to change the light."""

    light_asked = Signal()
    hide_asked = Signal()

    def __init__(self, bench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self.setProperty("look", "panel")
        self.setFixedHeight(HEIGHT_PX)
        self.setAccessibleName("Lights out")
        self.chart = LightsChart(bench.viewing, bench.theme)
        self.model = TableModel(("", "Reads to", "Seen as a shape to", ""), figures=(1, 2), parent=self)
        self.table = Table("How far it is seen", self.model, stretched=0, grows=False)
        self.minutes = QuietDecimal("Minutes after lights-out", 0.0, MOST_MINUTES, " min")
        self.distance = QuietDecimal("Distance in metres", LEAST_M, MOST_M, " m")
        for field in (self.minutes, self.distance):
            field.setFixedWidth(112)
        self.as_table = QPushButton("Table")
        self.as_table.setCheckable(True)
        self.as_table.setToolTip("Show the strip as a table")
        self.light = QPushButton("Light…")
        self.light.setToolTip(
            "Say how the prints are charged, where they are seen and what is promised (Ctrl+L)"
        )
        self.lighting = ElidedLabel("", "small")
        self._lay_out()
        self._join()
        self.refresh()

    def _lay_out(self) -> None:
        for button in (self.as_table, self.light):
            button.setProperty("look", "compact")
        head = QHBoxLayout()
        head.setSpacing(10)
        head.addWidget(label("Lights out", "title"))
        head.addWidget(self.lighting, 1)
        head.addStretch(0)
        for widget in (self.minutes, self.distance, self.light, self.as_table):
            head.addWidget(widget)
        self._stack = QStackedWidget()
        self._stack.addWidget(self.chart)
        self._stack.addWidget(self.table)
        self.caution = ElidedLabel(CAUTION, "small")
        column = QVBoxLayout(self)
        column.setContentsMargins(_EDGE_PX, 6, _EDGE_PX, 4)
        column.setSpacing(2)
        column.addLayout(head)
        column.addWidget(self._stack, 1)
        column.addWidget(self.caution)

    def _join(self) -> None:
        bench = self._bench
        for signal in (bench.glow.changed, bench.selection.changed, bench.document.job_changed):
            signal.connect(self.follow)
        bench.viewing.moved.connect(self._show_cursor)
        self.minutes.valueChanged.connect(lambda minutes: bench.viewing.move_to(minutes=minutes))
        self.distance.valueChanged.connect(lambda metres: bench.viewing.move_to(distance_m=metres))
        self.light.clicked.connect(self.light_asked)
        self.as_table.toggled.connect(lambda on: self._stack.setCurrentIndex(1 if on else 0))

    @property
    def chosen(self) -> Band | None:
        """The chosen piece, once it has been looked at."""
        bench = self._bench
        glow = bench.glow.glow_of(bench.selection.piece_id)
        if glow is None or bench.selection.piece_id is None:
            return None
        return Band(bench.document.job.piece(bench.selection.piece_id).name, glow)

    @property
    def all_bands(self) -> tuple[Band, ...]:
        """Every piece; what is first to go stands first."""
        glow = self._bench.glow
        found = ((piece, glow.glow_of(piece.piece_id)) for piece in self._bench.document.job.pieces)
        bands = [Band(piece.name, known) for piece, known in found if known is not None]
        at = _USUAL_MINUTES
        return tuple(sorted(bands, key=lambda band: (band.glow.shape_m(at), band.glow.reads_m(at))))

    def refresh(self) -> None:
        state, chosen = self._bench.glow.state, self.chosen
        bands = self.all_bands if chosen is None else (chosen,)
        lighting = self._bench.document.job.lighting
        promise = None if lighting is None else lighting.promise
        self.chart.show_bands(bands, is_one=chosen is not None, promise=promise)
        trouble = self._bench.glow.trouble
        self.lighting.setText(trouble or ("" if state is None else light_words(state.lighting)))
        self._show_cursor()

    def _show_cursor(self) -> None:
        viewing = self._bench.viewing
        for field, value in ((self.minutes, viewing.minutes), (self.distance, viewing.distance_m)):
            held = field.blockSignals(True)
            field.setValue(value)
            field.blockSignals(held)
        self.minutes.setSingleStep(0.5 if viewing.minutes < 2.0 else 1.0 if viewing.minutes < 20.0 else 5.0)
        self.distance.setSingleStep(
            0.1 if viewing.distance_m < 2.0 else 0.5 if viewing.distance_m < 10 else 1.0
        )
        self._fill_table()

    def _fill_table(self) -> None:
        viewing, chosen = self._bench.viewing, self.chosen
        minutes, distance_m = viewing.minutes, viewing.distance_m
        self.model.set_heads(
            (
                "Piece" if chosen is None else f"{chosen.name}, after",
                "Reads to",
                "Seen as a shape to",
                f"At {shown_m(distance_m)}" + (f" after {minutes_words(minutes)}" if chosen is None else ""),
            )
        )
        if chosen is None:
            rows = [_row(band.name, band.glow, minutes, distance_m) for band in self.all_bands]
        else:
            moments = sorted({*_TABLE_MINUTES, minutes})
            rows = [_row(minutes_words(at), chosen.glow, at, distance_m) for at in moments]
        self.model.show_rows(rows)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """What the keys and the menu do too gives way first."""
        super().resizeEvent(event)
        width = event.size().width()
        self.light.setVisible(width >= _LIGHT_FROM_PX)
        room = width - 2 * _EDGE_PX
        fits = self.caution.fontMetrics().horizontalAdvance(CAUTION) <= room
        self.caution.setText(CAUTION if fits else SHORT_CAUTION)
        # Three letters and an ellipsis say nothing: the Light dialog tells it whole.
        self.lighting.setMaximumWidth(_NO_LIMIT_PX if width >= _LIGHTING_FROM_PX else 0)
        for field in (self.minutes, self.distance):
            field.setVisible(width >= _FIELDS_FROM_PX)


def _row(name: str, glow: PieceGlow, minutes: float, distance_m: float) -> tuple[Cell, ...]:
    reads, shape = reach_words(glow, minutes)
    return Cell(name), Cell(reads, True), Cell(shape, True), Cell(state_word(glow, minutes, distance_m))
