"""What keeps its size on screen at any zoom: pixel space inside a painter, labels, measures."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from enum import StrEnum

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen, QTransform
from PySide6.QtWidgets import QGraphicsItem

from app.canvas.look import Look
from app.widgets.marks import Mark, paint_mark

LABEL_HEIGHT_PX = 22.0
MARK_PX = 14.0


class Tone(StrEnum):
    """What a label means; all but CALM carry a mark beside the word."""

    CALM = "calm"
    CAUTION = "caution"
    STOP = "stop"
    NOTE = "note"


_MARKS = {Tone.CAUTION: Mark.CAUTION, Tone.STOP: Mark.STOP, Tone.NOTE: Mark.NOTE}


def tone_colour(tone: Tone, look: Look) -> QColor:
    theme = look.theme
    return QColor({
        Tone.CALM: theme.accent, Tone.CAUTION: theme.caution, Tone.STOP: theme.stop, Tone.NOTE: theme.note
    }[tone])  # fmt: skip


class PixelItem(QGraphicsItem):
    """An item whose surroundings are measured in screen pixels; the scene tells it of each zoom."""

    def __init__(self, look: Look, parent: QGraphicsItem | None = None) -> None:
        super().__init__(parent)
        self.look = look
        self.px_per_mm = 1.0

    def set_scale_px(self, px_per_mm: float) -> None:
        if px_per_mm != self.px_per_mm:
            self.prepareGeometryChange()
            self.px_per_mm = px_per_mm

    def set_look(self, look: Look) -> None:
        self.look = look
        self.update()

    def padded(self, box_mm: QRectF, left: float, top: float, right: float, bottom: float) -> QRectF:
        """The box with this many pixels round it, as millimetres."""
        px = self.px_per_mm
        return box_mm.adjusted(-left / px, -top / px, right / px, bottom / px)


@contextmanager
def pixel_space(painter: QPainter) -> Iterator[QTransform]:
    """Paint in the view's pixels; yields what carries item millimetres there."""
    to_px = painter.worldTransform()
    painter.save()
    painter.resetTransform()
    try:
        yield to_px
    finally:
        painter.restore()


@dataclass(frozen=True, slots=True)
class Label:
    """A small plate with words, its centre `shift_px` away from a point in millimetres."""

    text: str
    at_mm: QPointF
    shift_px: QPointF
    tone: Tone = Tone.CALM

    def size_px(self, look: Look) -> tuple[float, float]:
        width = QFontMetricsF(look.small_font).horizontalAdvance(self.text) + 16.0
        return width + (MARK_PX + 4.0 if self.tone in _MARKS else 0.0), LABEL_HEIGHT_PX

    def bounds_mm(self, look: Look, px_per_mm: float) -> QRectF:
        width, height = (side / px_per_mm for side in self.size_px(look))
        centre = self.at_mm + self.shift_px / px_per_mm
        return QRectF(centre.x() - width / 2, centre.y() - height / 2, width, height).adjusted(
            -2 / px_per_mm, -2 / px_per_mm, 2 / px_per_mm, 2 / px_per_mm
        )

    def paint(self, painter: QPainter, to_px: QTransform, look: Look) -> None:
        """Draw it, in pixel space."""
        width, height = self.size_px(look)
        centre = to_px.map(self.at_mm) + self.shift_px
        plate = QRectF(round(centre.x() - width / 2), round(centre.y() - height / 2), width, height)
        colour = tone_colour(self.tone, look)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(colour, 1.0))
        painter.setBrush(look.raised)
        painter.drawRoundedRect(plate.adjusted(0.5, 0.5, -0.5, -0.5), 5, 5)
        words = plate.adjusted(8, 0, -8, 0)
        if self.tone in _MARKS:
            top = plate.center().y() - MARK_PX / 2
            paint_mark(
                painter, QRectF(words.left() - 1, top, MARK_PX, MARK_PX), _MARKS[self.tone], look.theme
            )
            words.setLeft(words.left() + MARK_PX + 4)
        painter.setFont(look.small_font)
        painter.setPen(look.text if self.tone is Tone.CALM else colour)
        painter.drawText(words, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, self.text)


def paint_measure(painter: QPainter, first: QPointF, second: QPointF, colour: QColor, look: Look) -> None:
    """A measure between two points in pixel space: a line with a bar across each end."""
    along = second - first
    length = max((along.x() ** 2 + along.y() ** 2) ** 0.5, 1e-6)
    across = QPointF(-along.y(), along.x()) * (5.0 / length) if length > 0.5 else QPointF(0, 5.0)
    strokes = ((first, second), (first - across, first + across), (second - across, second + across))
    for line_colour, width in ((look.casing, 4.0), (colour, 1.75)):
        painter.setPen(QPen(line_colour, width, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
        for start, end in strokes:
            painter.drawLine(start, end)
