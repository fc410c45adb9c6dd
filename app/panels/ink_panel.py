"""The ink of the chosen piece's art: which colours print, from where on shading is solid, and its repairs."""

from functools import partial

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QHBoxLayout, QProgressBar, QSlider, QVBoxLayout, QWidget

from app.ink_mapping import is_made
from app.panels.job_words import counted
from app.widgets.buttons import in_a_row, small_button
from app.widgets.labels import ElidedLabel, label
from app.widgets.scrolling import ScrollColumn
from app.widgets.seen import WhenSeen
from app.widgets.swatch_row import SwatchRow
from app.wiring import Workbench
from layout_core.art.ink_map import LEAST_THRESHOLD, MOST_THRESHOLD, InkMap, Swatch
from layout_core.checks.fixes import offered_fixes
from layout_core.job.edits_repair import is_done
from layout_core.job.model import Art, Piece

SETTLE_MS = 150
"""The slider is followed once it rests so long; each step of a drag would otherwise be an undo step."""

HONEST = (
    "One opaque ink cannot print half a tone: soft shadows, halftones and see-through paint print solid "
    "where they cover this much or more, and not at all below."
)


class InkPanel(WhenSeen, ScrollColumn):
    """Follows the chosen piece; every choice changes the art for all its pieces."""

    def __init__(self, bench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self._repairs_shown: object = None
        self.rows: dict[str, SwatchRow] = {}
        self._make_parts()
        self._lay_out()
        for signal in (bench.document.job_changed, bench.selection.changed, bench.ink_mapping.changed,
                       bench.settings.changed):  # fmt: skip
            signal.connect(self.follow)
        bench.ink_mapping.progressed.connect(self._show_progress)
        self.refresh()

    def _make_parts(self) -> None:
        mapping = self._bench.ink_mapping
        self.head = ElidedLabel("", "title")
        self.sub = label("", "small", wraps=True)
        self.fault = label("", "caution", wraps=True)
        self._swatches = QVBoxLayout()
        self._swatches.setSpacing(6)
        self._bar = QProgressBar()
        self._bar.setTextVisible(False)
        self._bar.setFixedHeight(6)
        self._bar.setAccessibleName("Progress of the ink map")
        self.stop_button = small_button("Stop", "Stop reading the colours", self._stop)
        self.propose_button = small_button("As proposed", "Ink map as it was proposed", mapping.propose)
        self.threshold = QSlider(Qt.Orientation.Horizontal)
        self.threshold.setRange(round(100 * LEAST_THRESHOLD), round(100 * MOST_THRESHOLD))
        self.threshold.setPageStep(5)
        self.threshold.setAccessibleName("Solid from, per cent")
        self._solid = label("", "measure")
        self._rest = QTimer(self, singleShot=True, interval=SETTLE_MS)
        self._rest.timeout.connect(self._set_threshold)
        self.threshold.valueChanged.connect(self._follow_slider)
        self._repairs = QVBoxLayout()
        self._repairs.setSpacing(6)

    def _lay_out(self) -> None:
        column = self.column
        heads = QVBoxLayout()
        heads.setSpacing(2)
        heads.addWidget(self.head)
        heads.addWidget(self.sub)
        column.addLayout(heads)
        column.addWidget(label("Ink map", "heading"))
        self._wait = QWidget()
        wait = QHBoxLayout(self._wait)
        wait.setContentsMargins(0, 0, 0, 0)
        wait.addWidget(self._bar, 1, Qt.AlignmentFlag.AlignVCenter)
        wait.addWidget(self.stop_button)
        column.addLayout(self._swatches)
        column.addWidget(self.fault)
        column.addWidget(self._wait)
        self._map_tools = QWidget()
        tools = QVBoxLayout(self._map_tools)
        tools.setContentsMargins(0, 0, 0, 0)
        tools.setSpacing(4)
        tools.addLayout(in_a_row(self.propose_button))
        row = QHBoxLayout()
        row.addWidget(label("Solid from", "muted"))
        row.addWidget(self.threshold, 1)
        row.addWidget(self._solid)
        tools.addLayout(row)
        tools.addWidget(label(HONEST, "small", wraps=True))
        column.addWidget(self._map_tools)
        column.addWidget(label("Repairs", "heading"))
        column.addLayout(self._repairs)
        column.addStretch(1)

    @property
    def piece(self) -> Piece | None:
        piece_id = self._bench.selection.piece_id
        return None if piece_id is None else self._bench.document.job.piece(piece_id)

    def refresh(self) -> None:
        """Bring the colours and the repairs in line with the chosen piece's art."""
        piece, mapping = self.piece, self._bench.ink_mapping
        if piece is None:
            return
        mapping.look_at(piece.art_id)
        art = self._bench.document.job.art(piece.art_id)
        ink_map = mapping.shown
        self.head.setText(art.artwork.name)
        self.sub.setText(_sub_words(art, ink_map, is_busy=mapping.is_busy))
        self._wait.setVisible(mapping.is_busy)
        self.fault.setText(mapping.fault)
        self.fault.setVisible(bool(mapping.fault))
        self._map_tools.setVisible(ink_map is not None)
        self._show_map(ink_map)
        self.propose_button.setEnabled(art.ink_map is not None)
        self._show_repairs(piece, art)

    def _show_map(self, ink_map: InkMap | None) -> None:
        swatches = () if ink_map is None else ink_map.swatches
        if [swatch.colour for swatch in swatches] != list(self.rows):
            _clear(self._swatches)
            self.rows = {swatch.colour: self._new_row(swatch) for swatch in swatches}
        for swatch in swatches:
            self.rows[swatch.colour].show_swatch(swatch)
        if ink_map is not None and not self.threshold.isSliderDown() and not self._rest.isActive():
            held = self.threshold.blockSignals(True)
            self.threshold.setValue(round(100 * ink_map.threshold))
            self.threshold.blockSignals(held)
            self._say_threshold()

    def _new_row(self, swatch: Swatch) -> SwatchRow:
        row = SwatchRow(swatch, self._bench.theme)
        row.chosen.connect(partial(self._bench.ink_mapping.choose, swatch.colour))
        self._swatches.addWidget(row)
        return row

    def _follow_slider(self) -> None:
        self._say_threshold()
        self._rest.start()

    def _say_threshold(self) -> None:
        self._solid.setText(f"{self.threshold.value()} %")

    def _set_threshold(self) -> None:
        if self.threshold.isSliderDown():
            self._rest.start()
        else:
            self._bench.ink_mapping.set_threshold(self.threshold.value() / 100.0)

    def _stop(self) -> None:
        self._bench.ink_mapping.stop()
        self.refresh()

    def _show_progress(self, fraction: float) -> None:
        self._bar.setRange(0, 1000)
        self._bar.setValue(int(1000 * fraction))

    def _show_repairs(self, piece: Piece, art: Art) -> None:
        bench = self._bench
        state = (
            art.artwork.digest,
            art.repairs,
            piece.width_mm,
            bench.document.job.limits,
            bench.settings.unit,
        )
        if state == self._repairs_shown:
            return
        self._repairs_shown = state
        _clear(self._repairs)
        for fix in offered_fixes(art.artwork, piece.width_mm, bench.document.job.limits, bench.settings.unit):
            text = f"{fix.text}: {piece.name}"
            act = partial(bench.repairing.start, text, {art.art_id: [fix.repair]})
            button = small_button(fix.text, text, act, "fix")
            button.setEnabled(not is_done(art, fix.repair))
            self._repairs.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)
        for note in art.artwork.notes[len(art.original.notes) if art.original is not None else 0 :]:
            if art.repairs:
                self._repairs.addWidget(label(note, "small", wraps=True))
        if art.repairs:
            back = partial(bench.repairing.take_back, art.art_id)
            name = f"Take the repairs of {art.artwork.name} back"
            self.back_button = small_button("Take the repairs back", name, back)
            self._repairs.addWidget(self.back_button, 0, Qt.AlignmentFlag.AlignLeft)


def _sub_words(art: Art, ink_map: InkMap | None, *, is_busy: bool) -> str:
    if is_made(art):
        return "Made in the one ink; it has no colours to choose from."
    if ink_map is None:
        return "Telling the colours apart" if is_busy else "Its colours were not read."
    out = sum(not swatch.prints for swatch in ink_map.swatches)
    colours = counted(len(ink_map.swatches), "colour")
    return f"{colours}, all of them print" if not out else f"{colours}, {out} of them knocked out"


def _clear(layout: QVBoxLayout) -> None:
    while layout.count():
        item = layout.takeAt(0)
        widget = item.widget() if item is not None else None
        if widget is not None:
            widget.hide()
            widget.deleteLater()
