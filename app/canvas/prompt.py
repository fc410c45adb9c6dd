"""What an empty sheet says: the next thing to do, painted on its film."""

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QPainter, QPen

from app.canvas.look import Look

LEAST_FILM_PX = (150.0, 120.0)
_ARROW_PX = 76.0
"""From the top of the box to its words."""
_CENTRED = Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignTop | Qt.TextFlag.TextWordWrap


@dataclass(frozen=True, slots=True)
class Prompt:
    """One sentence, and a quieter second one."""

    text: str
    more: str = ""


DROP_ART = Prompt("Drop SVG, PDF, PNG or JPEG art here", "or press Add art to choose files")
PLACE_PIECES = Prompt("Drag a piece from the list onto this sheet", "or press Autopack to lay them all")


def paint_prompt(painter: QPainter, film_px: QRectF, prompt: Prompt, look: Look) -> None:
    """Draw it in the middle of the film, in pixel space; nothing on a film too small to read it."""
    if film_px.width() < LEAST_FILM_PX[0] or film_px.height() < LEAST_FILM_PX[1]:
        return
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    box = QRectF(0, 0, min(film_px.width() - 24, 340), film_px.height() - 24)
    heads = _high(painter, look.name_font, box.width() - 28, prompt.text)
    words_px = heads + 6 + _high(painter, look.small_font, box.width() - 28, prompt.more)
    box.setHeight(min(box.height(), _ARROW_PX + words_px + 20))
    box.moveCenter(film_px.center())
    box.moveTop(round(min(box.top(), film_px.top() + film_px.height() * 0.22)))
    _paint_frame(painter, box, look)
    _paint_arrow(painter, QPointF(box.center().x(), box.top() + 44), look)
    words = box.adjusted(14, _ARROW_PX, -14, -6)
    painter.setPen(look.text)
    painter.setFont(look.name_font)
    painter.drawText(words, _CENTRED, prompt.text)
    painter.setFont(look.small_font)
    painter.setPen(look.muted)
    painter.drawText(words.adjusted(0, heads + 6, 0, 0), _CENTRED, prompt.more)
    painter.restore()


def _high(painter: QPainter, font: QFont, width_px: float, text: str) -> float:
    painter.setFont(font)
    return painter.boundingRect(QRectF(0, 0, width_px, 10_000), _CENTRED, text).height()


def _paint_frame(painter: QPainter, box: QRectF, look: Look) -> None:
    pen = QPen(look.film_edge, 1.5)
    pen.setDashPattern([4, 4])
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    painter.setPen(pen)
    painter.setBrush(look.raised)
    painter.drawRoundedRect(box, 12, 12)
    painter.setBrush(Qt.BrushStyle.NoBrush)


def _paint_arrow(painter: QPainter, centre: QPointF, look: Look) -> None:
    cap, join = Qt.PenCapStyle.RoundCap, Qt.PenJoinStyle.RoundJoin
    painter.setPen(QPen(look.accent, 2.0, Qt.PenStyle.SolidLine, cap, join))
    painter.save()
    painter.translate(centre)
    painter.drawLine(QPointF(0, -15), QPointF(0, 3))
    painter.drawPolyline([QPointF(-7, -4), QPointF(0, 3), QPointF(7, -4)])
    painter.drawPolyline([QPointF(-14, 4), QPointF(-14, 12), QPointF(14, 12), QPointF(14, 4)])
    painter.restore()
