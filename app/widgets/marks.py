"""The state marks: one shape for each state, so that colour is never the only sign."""

import math
from enum import StrEnum

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from app.tokens import Theme
from app.widgets.themed import Themed


class Mark(StrEnum):
    """A state with its own shape; the value is the word that stands beside it for a screen reader."""

    CHECK = "in order"
    CAUTION = "caution"
    STOP = "stop"
    NOTE = "note"
    PENDING = "not begun"


def mark_colour(mark: Mark, theme: Theme) -> str:
    """The token that a mark is drawn in."""
    return {
        Mark.CHECK: theme.accent,
        Mark.CAUTION: theme.caution,
        Mark.STOP: theme.stop,
        Mark.NOTE: theme.note,
        Mark.PENDING: theme.muted,
    }[mark]


def paint_mark(painter: QPainter, rect: QRectF, mark: Mark, theme: Theme) -> None:
    """Draw the mark into a square `rect` (tick, triangle, octagon, ring or dashed ring)."""
    colour = QColor(mark_colour(mark, theme))
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    unit = rect.width() / 20.0
    painter.translate(rect.center())
    painter.scale(unit, unit)
    painter.setPen(_line(colour))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    if mark is Mark.CHECK:
        painter.drawPolyline(QPolygonF([QPointF(-6.5, 0.5), QPointF(-2.0, 5.0), QPointF(7.0, -5.5)]))
    elif mark is Mark.PENDING:
        pen = _line(colour, 1.6)
        pen.setDashPattern([1.9, 1.9])
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        painter.setPen(pen)
        painter.drawEllipse(QPointF(0, 0), 6.5, 6.5)
    elif mark is Mark.NOTE:
        painter.drawEllipse(QPointF(0, 0), 7.5, 7.5)
        _letter_i(painter, colour)
    else:
        _solid(painter, mark, colour, QColor(theme.back))
    painter.restore()


def _line(colour: QColor, width: float = 2.0) -> QPen:
    join, cap = Qt.PenJoinStyle.RoundJoin, Qt.PenCapStyle.RoundCap
    return QPen(colour, width, Qt.PenStyle.SolidLine, cap, join)


def _letter_i(painter: QPainter, colour: QColor) -> None:
    painter.setPen(_line(colour, 1.9))
    painter.drawLine(QPointF(0, -0.5), QPointF(0, 4.0))
    painter.drawPoint(QPointF(0, -3.8))


def _solid(painter: QPainter, mark: Mark, colour: QColor, ground: QColor) -> None:
    if mark is Mark.CAUTION:
        corners = [QPointF(0, -7.2), QPointF(8.0, 6.8), QPointF(-8.0, 6.8)]
        top, foot, dot = -2.4, 2.2, 5.0
    else:
        angles = [math.radians(22.5 + 45 * step) for step in range(8)]
        corners = [QPointF(8.8 * math.cos(a), 8.8 * math.sin(a)) for a in angles]
        top, foot, dot = -4.2, 0.9, 4.3
    painter.setPen(_line(colour, 1.6))
    painter.setBrush(colour)
    painter.drawPolygon(QPolygonF(corners))
    painter.setPen(_line(ground, 1.9))
    painter.drawLine(QPointF(0, top), QPointF(0, foot))
    painter.drawPoint(QPointF(0, dot))


class StateMark(Themed, QWidget):
    """A mark as a small widget of its own; its accessible name is the state's word."""

    def __init__(self, mark: Mark, theme: Theme, side_px: int = 20, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.theme = theme
        self._side_px = side_px
        self.setFixedSize(QSize(side_px, side_px))
        self.set_mark(mark)

    @property
    def mark(self) -> Mark:
        return self._mark

    def set_mark(self, mark: Mark) -> None:
        self._mark = mark
        self.setAccessibleName(mark.value)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        paint_mark(painter, QRectF(self.rect()), self._mark, self.theme)
        painter.end()
