"""How far a piece is seen at the moment of the lights-out strip, in the piece panel."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from app.glow_watch import PieceGlow
from app.panels.seen_words import charge_words, ink_words, reach_words
from app.viewing import minutes_words
from app.widgets.labels import ElidedLabel, label, measure_row
from app.widgets.plain_tip import plain_tip
from app.wiring import Workbench
from layout_core.glow.bands import garment_colours
from layout_core.glow.visibility import FARTHEST_SHOWN_M
from layout_core.glow.words import DECORATION_ONLY, assumed_words, too_bright_words

_ROWS = ("Reads to", "Seen as a shape to")
_TOO_FINE, _TOO_DIM = "beyond it, too fine to read", "beyond it, strokes too small to see"
_TOO_SMALL = "beyond it, too small to see"


class SeenFar(QWidget):
    """Two distances with what ends each, what they are for beside the heading, and what they assume below."""

    def __init__(self, bench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self._piece_id: int | None = None
        self.when = ElidedLabel("", "small")
        self.when.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self._values: dict[str, QLabel] = {name: label("", "measure") for name in _ROWS}
        self._causes: dict[str, QLabel] = {name: label("", "small", wraps=True) for name in _ROWS}
        self.assumed = label("", "small", wraps=True)
        self._lay_out()
        bench.viewing.moved.connect(self.refresh)
        bench.glow.changed.connect(self.refresh)

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.setSpacing(12)
        head.addWidget(label("How far it is seen", "heading"))
        head.addWidget(self.when, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        column.addLayout(head)
        for name in _ROWS:
            pair = QVBoxLayout()
            pair.setSpacing(0)
            pair.addLayout(measure_row(name, self._values[name]))
            pair.addWidget(self._causes[name])
            column.addLayout(pair)
        column.addWidget(self.assumed)

    def text_of(self, name: str) -> str:
        """The distance of a row as it is shown."""
        return self._values[name].text()

    def cause_of(self, name: str) -> str:
        """What ends it, as it is shown."""
        return self._causes[name].text()

    def show_piece(self, piece_id: int | None) -> None:
        self._piece_id = piece_id
        self.refresh()

    def refresh(self) -> None:
        """Bring the figures in line with the moment and the light."""
        watch, minutes = self._bench.glow, self._bench.viewing.minutes
        glow = watch.glow_of(self._piece_id)
        venue = "" if watch.state is None else f" · {watch.state.lighting.venue.name}"
        self.when.setText(f"{minutes_words(minutes)}{venue}")
        waits = watch.trouble or "measuring"
        reach = (waits, waits) if glow is None else reach_words(glow, minutes)
        causes = ("", "") if glow is None else end_words(glow, minutes)
        for name, text, cause in zip(_ROWS, reach, causes, strict=True):
            self._values[name].setText(text)
            self._causes[name].setText(cause)
            self._values[name].setAccessibleName(f"{name}: {text}, {cause}, {self.when.text()}")
        self._show_assumed()

    def _show_assumed(self) -> None:
        state, job = self._bench.glow.state, self._bench.document.job
        known = {piece.piece_id for piece in job.pieces}
        if state is None or self._piece_id not in known:
            self.assumed.setText(DECORATION_ONLY)
            return
        cloth = garment_colours(job, job.piece(self._piece_id))[0]
        told = f"{ink_words(state.lighting)}; {charge_words(state.lighting.charge)}; on {cloth}."
        self.assumed.setText(f"An estimate with {told} {DECORATION_ONLY}")
        self.assumed.setToolTip(plain_tip(assumed_words(state.lighting, cloth)))


def end_words(glow: PieceGlow, minutes: float) -> tuple[str, str]:
    """What ends its reading and its being seen; nothing where it lies beyond what is shown."""
    reads_m, shape_m = glow.reads_m(minutes), glow.shape_m(minutes)
    if not shape_m > 0.0:
        scene = glow.scene
        return "", too_bright_words(scene.background_cd_m2, float(scene.luminance_cd_m2(minutes)))
    reading = _TOO_DIM if glow.is_dim(minutes) else _TOO_FINE
    return (
        "" if reads_m > FARTHEST_SHOWN_M else reading,
        "" if shape_m > FARTHEST_SHOWN_M else _TOO_SMALL,
    )
