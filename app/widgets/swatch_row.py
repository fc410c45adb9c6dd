"""One colour of an art: what it looks like, its name and share, and whether it prints or is knocked out."""

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from app.tokens import Theme
from app.widgets.labels import ElidedLabel
from app.widgets.segmented import Segmented
from app.widgets.themed import Themed
from layout_core.art.colour_words import colour_words
from layout_core.art.ink_map import Swatch
from layout_core.art.lab import rgb_of

_SIDE_PX = 30
_CHOICE_PX = 152
"""Both halves of the choice are equally wide, and the longer word fits."""


class _Chip(Themed, QWidget):
    """The colour as a square; struck through where it is knocked out, so that it shows without colour too."""

    def __init__(self, swatch: Swatch, theme: Theme) -> None:
        super().__init__()
        self.theme = theme
        self.swatch = swatch
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        return QSize(_SIDE_PX, _SIDE_PX)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        box = QRectF(self.rect()).adjusted(1, 1, -1, -1)
        painter.setPen(QPen(QColor(self.theme.muted), 1))
        painter.setBrush(QColor(self.swatch.colour))
        painter.drawRoundedRect(box, 5, 5)
        if not self.swatch.prints:
            for colour, width in ((self.theme.casing, 4.5), (self.theme.text, 2.0)):
                painter.setPen(QPen(QColor(colour), width, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
                painter.drawLine(box.bottomLeft(), box.topRight())
        painter.end()


class SwatchRow(QWidget):
    """`chosen` tells whether the colour is to print, when a person says so."""

    chosen = Signal(bool)

    def __init__(self, swatch: Swatch, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._name = colour_words(rgb_of(swatch.colour))
        self._chip = _Chip(swatch, theme)
        self._share = ElidedLabel("", "small")
        self.choice = Segmented(f"{self._name} {swatch.colour}", [("print", "Print"), ("knock", "Knock out")])
        self.choice.setFixedWidth(_CHOICE_PX)
        self.choice.chosen.connect(lambda key: self.chosen.emit(key == "print"))
        words = QVBoxLayout()
        words.setSpacing(0)
        words.addWidget(ElidedLabel(self._name.capitalize(), "strong"))
        words.addWidget(self._share)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(8)
        row.addWidget(self._chip)
        row.addLayout(words, 1)
        row.addWidget(self.choice)
        self.show_swatch(swatch)

    def show_swatch(self, swatch: Swatch) -> None:
        """Follow the same colour with another share or another fate."""
        self._chip.swatch = swatch
        self._chip.update()
        share = share_words(swatch.area_share)
        self._share.setText(share)
        self.setToolTip(f"{self._name.capitalize()} {swatch.colour}, {share} of the art")
        self.choice.set_current("print" if swatch.prints else "knock")
        fate = "prints" if swatch.prints else "is knocked out"
        self.setAccessibleName(f"{self._name} {swatch.colour}, {share} of the art, {fate}")


def share_words(share: float) -> str:
    """An area share (0 to 1) in per cent, and never 0 % of what is there."""
    return "below 1 %" if share < 0.005 else f"{share:.0%}".replace("%", " %")
