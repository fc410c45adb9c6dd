"""Paints art large on a piece of film: its ink, its findings where they are, and its measures."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen

from app.canvas.paths import path_of
from app.panels.job_words import MARK_OF
from app.theme import measure_font
from app.tokens import Theme
from app.widgets.marks import mark_colour
from layout_core.checks.findings import Finding
from layout_core.units import Unit, write_length

EDGE_PX, LOW_EDGE_PX, LOW_PX = 64, 46, 260
"""The space round the film, and that where the room is lower than LOW_PX."""
RING_PX = 7.0
_FILM_PX = 18
_LEAST_LINE_PX = 84.0


def film_box(room: QRectF, width_mm: float, height_mm: float) -> tuple[QRectF, float]:
    """Where art of that size lies, as large as fits with space for its measures, and its px per mm."""
    edge = EDGE_PX if room.height() >= LOW_PX else LOW_EDGE_PX
    inner = room.adjusted(EDGE_PX, edge, -EDGE_PX, -edge)
    scale = max(min(inner.width() / width_mm, inner.height() / height_mm), 0.0)
    box = QRectF(0, 0, width_mm * scale, height_mm * scale)
    box.moveCenter(inner.center())
    return box, scale


def paint_on_film(painter: QPainter, box: QRectF, scale: float, path: QPainterPath, theme: Theme) -> None:
    """The ink of a path in mm on film that is a little larger."""
    painter.setPen(QPen(QColor(theme.film_edge), 1))
    painter.setBrush(QColor(theme.film))
    painter.drawRoundedRect(box.adjusted(-_FILM_PX, -_FILM_PX, _FILM_PX, _FILM_PX), 4, 4)
    painter.save()
    painter.translate(box.topLeft())
    painter.scale(scale, scale)
    painter.fillPath(path, QColor(theme.ink))
    painter.restore()


def paint_finding(painter: QPainter, finding: Finding, origin: QPointF, scale: float, theme: Theme) -> None:
    """What a finding of the piece is about, and a ring where it is."""
    colour = QColor(mark_colour(MARK_OF[finding.severity], theme))
    if finding.highlight is not None:
        _paint_highlight(painter, path_of(finding.highlight), colour, origin, scale)
    if finding.where_mm is not None:
        paint_ring(painter, finding.where_mm, colour, RING_PX, origin, scale, theme)


def _paint_highlight(
    painter: QPainter, shape: QPainterPath, colour: QColor, origin: QPointF, scale: float
) -> None:
    painter.save()
    painter.translate(origin)
    painter.scale(scale, scale)
    painter.fillPath(shape, colour)
    pen = QPen(colour, 2.0)
    pen.setCosmetic(True)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(shape)
    painter.restore()


def paint_ring(
    painter: QPainter, where_mm: tuple[float, float], colour: QColor, radius_px: float, origin: QPointF,
    scale: float, theme: Theme,
) -> None:  # fmt: skip
    """A ring with a casing, so that it stands out on ink and on film."""
    centre = origin + QPointF(where_mm[0] * scale, where_mm[1] * scale)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for width, line in ((4.5, QColor(theme.casing)), (2.0, colour)):
        painter.setPen(QPen(line, width))
        painter.drawEllipse(centre, radius_px, radius_px)


def paint_measures(
    painter: QPainter, box: QRectF, width_mm: float, height_mm: float, unit: Unit, theme: Theme
) -> None:
    """The width below and the height beside the film, as measures with end ticks."""
    painter.setFont(measure_font(12, 500))
    colour = QColor(theme.text)
    colour.setAlphaF(0.75)
    painter.setPen(QPen(colour, 1))
    below, beside = box.bottom() + 32, box.right() + 32
    decimals = 2 if unit == "in" else 0
    # On small art the words alone stand there: ticks would go through them.
    if box.width() >= _LEAST_LINE_PX:
        for start, end in ((box.left(), box.center().x() - 40), (box.center().x() + 40, box.right())):
            painter.drawLine(QPointF(start, below), QPointF(end, below))
        for x in (box.left(), box.right()):
            painter.drawLine(QPointF(x, below - 4), QPointF(x, below + 4))
    if box.height() >= _LEAST_LINE_PX:
        for start, end in ((box.top(), box.center().y() - 40), (box.center().y() + 40, box.bottom())):
            painter.drawLine(QPointF(beside, start), QPointF(beside, end))
        for y in (box.top(), box.bottom()):
            painter.drawLine(QPointF(beside - 4, y), QPointF(beside + 4, y))
    middle = Qt.AlignmentFlag.AlignCenter
    words = write_length(width_mm, unit, decimals)
    painter.drawText(QRectF(box.center().x() - 60, below - 10, 120, 20), middle, words)
    painter.save()
    painter.translate(beside, box.center().y())
    painter.rotate(90)
    painter.drawText(QRectF(-60, -10, 120, 20), middle, write_length(height_mm, unit, decimals))
    painter.restore()
