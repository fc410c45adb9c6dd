"""An ink of the shop's own, from the luminance readings of a data sheet."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QGridLayout,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.dialogs.job_light import change_lighting
from app.messages import message_for
from app.widgets.labels import Look, captioned, label, set_look
from app.widgets.quiet import FIELD_PX, QuietCombo, QuietDecimal
from app.wiring import Workbench
from layout_core.errors import DuskwrightError
from layout_core.glow.afterglow import WHITE_UNDERBASE, ink_from_readings
from layout_core.glow.cloth import BLACK_CLOTH
from layout_core.glow.inks import keep_ink
from layout_core.glow.readings_text import parse_readings
from layout_core.job.lighting import Ink
from layout_core.job.lighting_bounds import checked_ink


class OwnInkPage(QWidget):
    """Two readings or more make an ink, kept in the shop's table; `kept` tells of it."""

    kept = Signal()

    def __init__(self, bench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self.name = QLineEdit("own ink")
        self.name.setFixedHeight(FIELD_PX)
        self.readings = QPlainTextEdit()
        self.readings.setPlaceholderText("10 min  50\n30 min  15\n60 min  7")
        self.readings.setTabChangesFocus(True)
        self.readings.setFixedHeight(110)
        self.film = QuietDecimal("Dry film", 1.0, 2000.0, " µm")
        self.film.setValue(50.0)
        self.ground = QuietCombo("Measured on")
        self.ground.addItem("White", WHITE_UNDERBASE)
        self.ground.addItem("Black cloth", BLACK_CLOTH)
        self.use = QPushButton("Keep and use this ink")
        self.use.setProperty("look", "tonal")
        self.said = label("", "small", wraps=True)
        grid = QGridLayout()
        grid.setSpacing(8)
        words = "Luminance after the full charge (daylight lamp, 1000 lx, 5 min), as data sheets give it."
        grid.addWidget(label(words, "small", wraps=True), 0, 0, 1, 2)
        grid.addWidget(captioned("&Name", self.name), 1, 0, 1, 2)
        grid.addWidget(captioned("&Readings: minutes and mcd/m², a pair a line", self.readings), 2, 0, 1, 2)
        grid.addWidget(captioned("Dry &film", self.film), 3, 0)
        grid.addWidget(captioned("Measured o&n", self.ground), 3, 1)
        grid.addWidget(self.use, 4, 0, 1, 2)
        grid.addWidget(self.said, 5, 0, 1, 2)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 12, 0, 0)
        outer.addLayout(grid)
        outer.addStretch(1)
        self.use.clicked.connect(self._use)

    def _use(self) -> None:
        try:
            ink = self._ink()
            keep_ink(ink)
        except DuskwrightError as error:
            say(self.said, message_for(error).text, "stop")
            return
        change_lighting(self._bench, f"Use {ink.name}", ink=ink)
        say(self.said, f"{fit_words(ink)} Kept, and used for this job.", "small")
        self.kept.emit()

    def _ink(self) -> Ink:
        readings = parse_readings(self.readings.toPlainText())
        name = self.name.text().strip() or "own ink"
        return checked_ink(
            ink_from_readings(
                name, readings, film_um=self.film.value(),
                under_reflectance=float(self.ground.currentData()),
            )
        )  # fmt: skip


def fit_words(ink: Ink) -> str:
    """What the readings came to."""
    return f"{ink.name}: {ink.l10_mcd_m2:.3g} mcd/m² after 10 min, fading with the power {ink.exponent:.2f}."


def say(where: QLabel, text: str, look: Look) -> None:
    """A sentence below the fields, for eyes and screen readers."""
    set_look(where, look)
    where.setText(text)
    where.setAccessibleName(text)
