"""A square picture of art, before or after a repair, with its caption."""

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.canvas.paths import path_of
from app.theme import ui_font
from app.tokens import Theme
from app.widgets.themed import Themed
from layout_core.art.before_after import Look

SIDE_PX = 112
_EDGE_PX = 5
_CAPTION_PX = 18


class ArtLook(Themed, QWidget):
    """Paints the true outline, pale ink on film."""

    def __init__(self, look: Look, caption: str, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.theme = theme
        self._look, self._caption = look, caption
        self._path = path_of(look.shape)
        self.setAccessibleName(f"Picture: {caption}")
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        return QSize(SIDE_PX, SIDE_PX + _CAPTION_PX)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        theme, box = self.theme, QRectF(0.5, 0.5, SIDE_PX - 1, SIDE_PX - 1)
        painter.setPen(QPen(QColor(theme.film_edge), 1))
        painter.setBrush(QColor(theme.film))
        painter.drawRoundedRect(box, 4, 4)
        painter.save()
        room = box.adjusted(_EDGE_PX, _EDGE_PX, -_EDGE_PX, -_EDGE_PX)
        painter.setClipRect(room)
        painter.translate(room.topLeft())
        scale = room.width() / self._look.side_mm
        painter.scale(scale, scale)
        painter.translate(-self._look.corner_mm[0], -self._look.corner_mm[1])
        painter.fillPath(self._path, QColor(theme.ink))
        painter.restore()
        painter.setFont(ui_font(11, 500))
        painter.setPen(QColor(theme.muted))
        painter.drawText(
            QRectF(0, SIDE_PX, SIDE_PX, _CAPTION_PX), Qt.AlignmentFlag.AlignCenter, self._caption
        )
        painter.end()
