"""Findings drawn where they are: thin ink hatched, gaps marked, cramped pairs joined with a measure."""

from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath, QPen, QTransform
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget
from shapely.geometry.base import BaseGeometry

from app.canvas.look import Look
from app.canvas.paths import path_of
from app.canvas.pixels import Label, PixelItem, Tone, paint_measure, pixel_space, tone_colour
from app.widgets.marks import Mark, paint_mark
from layout_core.checks.findings import Finding, Severity

MARKS_Z = 4.0
LABELS_FROM_PX_PER_MM = 0.9
SMALL_PX = 44.0
"""A piece smaller than this on screen carries one sign instead of its marks."""

ROOM_PX = 14.0
TONE_OF = {Severity.STOP: Tone.STOP, Severity.CAUTION: Tone.CAUTION, Severity.NOTE: Tone.NOTE}
SIGN_OF = {Tone.STOP: Mark.STOP, Tone.CAUTION: Mark.CAUTION, Tone.NOTE: Mark.NOTE}
_GROUND_RULES = frozenset({"gap", "bridge", "pinhole"})
"""Faults of the ground between the ink lean the other way in their hatching."""


@dataclass(frozen=True, slots=True)
class Spot:
    """One place of a finding in its item's frame: an area, or the ends of a measure, or a point."""

    tone: Tone
    path: QPainterPath
    ends: tuple[QPointF, QPointF] | None
    where: QPointF
    is_ground: bool
    text: str = ""

    @property
    def bounds(self) -> QRectF:
        box = self.path.boundingRect() if not self.path.isEmpty() else QRectF(self.where, QSizeF(0, 0))
        return box.united(QRectF(*self.ends).normalized()) if self.ends is not None else box


def spot_of(finding: Finding, corner: tuple[float, float] = (0.0, 0.0), text: str = "") -> Spot | None:
    """The place of a finding, shifted by a corner (mm); None for a finding that lies nowhere."""
    shape = finding.highlight
    where = finding.where_mm
    if shape is not None and shape.is_empty:
        shape = None
    if where is None:
        if shape is None:
            return None
        (where,) = shapely.get_coordinates(shapely.point_on_surface(shape)).tolist()
    centre = QPointF(where[0] + corner[0], where[1] + corner[1])
    path, ends = QPainterPath(), None
    if shape is not None:
        path = path_of(shape).translated(*corner)
        ends = _ends(shape, corner)
    tone, is_ground = TONE_OF[finding.severity], finding.rule in _GROUND_RULES
    return Spot(tone, QPainterPath() if ends else path, ends, centre, is_ground, text)


def _ends(shape: BaseGeometry, corner: tuple[float, float]) -> tuple[QPointF, QPointF] | None:
    if shape.geom_type != "LineString":
        return None
    first, last = shape.coords[0], shape.coords[-1]
    return (
        QPointF(first[0] + corner[0], first[1] + corner[1]),
        QPointF(last[0] + corner[0], last[1] + corner[1]),
    )


class SpotsItem(PixelItem):
    """Spots over a piece (as its child, moving with it) or over a sheet."""

    def __init__(
        self,
        spots: Sequence[Spot],
        look: Look,
        parent: QGraphicsItem | None = None,
        sign_on: QRectF | None = None,
    ) -> None:
        super().__init__(look, parent)
        self.setZValue(MARKS_Z)
        self.spots = tuple(spots)
        self._sign_on = sign_on
        self._box = QRectF() if sign_on is None else QRectF(sign_on)
        for spot in spots:
            self._box = self._box.united(spot.bounds.adjusted(-1e-3, -1e-3, 1e-3, 1e-3))

    def boundingRect(self) -> QRectF:
        box = self.padded(self._box, ROOM_PX, ROOM_PX, ROOM_PX, ROOM_PX)
        for spot in self.spots:
            if spot.text:
                box = box.united(_label(spot).bounds_mm(self.look, self.px_per_mm))
        return box

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        with pixel_space(painter) as to_px:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            if self._sign_on is not None and self._is_small():
                self._paint_sign(painter, to_px)
                return
            for spot in self.spots:
                paint_spot(painter, spot, to_px, self.look)

    def _is_small(self) -> bool:
        size = QSizeF() if self._sign_on is None else self._sign_on.size()
        return max(size.width(), size.height()) * self.px_per_mm < SMALL_PX

    def _paint_sign(self, painter: QPainter, to_px: QTransform) -> None:
        tones = {spot.tone for spot in self.spots}
        tone = next(tone for tone in (Tone.STOP, Tone.CAUTION, Tone.NOTE) if tone in tones)
        sign = QRectF(0, 0, 14, 14)
        sign.moveCenter(to_px.map(QPointF(0, 0)))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self.look.casing)
        painter.drawEllipse(sign.adjusted(-3, -3, 3, 3))
        paint_mark(painter, sign, SIGN_OF[tone], self.look.theme)


def paint_spot(painter: QPainter, spot: Spot, to_px: QTransform, look: Look) -> None:
    """Draw one spot, in pixel space."""
    colour = tone_colour(spot.tone, look)
    if spot.ends is not None:
        first, second = (to_px.map(end) for end in spot.ends)
        paint_measure(painter, first, second, colour, look)
    elif not spot.path.isEmpty():
        _paint_area(painter, to_px.map(spot.path), colour, spot.is_ground, look)
    box = to_px.mapRect(spot.bounds)
    if max(box.width(), box.height()) < 10:
        ring = QRectF(0, 0, 18, 18)
        ring.moveCenter(to_px.map(spot.where))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for ring_colour, width in ((look.casing, 4.5), (colour, 2.0)):
            painter.setPen(QPen(ring_colour, width))
            painter.drawEllipse(ring)
    if spot.text and to_px.m11() >= LABELS_FROM_PX_PER_MM:
        _label(spot).paint(painter, to_px, look)


def _paint_area(painter: QPainter, path: QPainterPath, colour: QColor, is_ground: bool, look: Look) -> None:
    pattern = Qt.BrushStyle.FDiagPattern if is_ground else Qt.BrushStyle.BDiagPattern
    wide = QPen(look.casing, 7.0, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap, Qt.PenJoinStyle.RoundJoin)
    painter.setPen(wide)
    painter.setBrush(look.casing)
    painter.drawPath(path)
    hatch = QBrush(colour, pattern)
    painter.setPen(
        QPen(hatch, 5.0, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap, Qt.PenJoinStyle.RoundJoin)
    )
    painter.setBrush(hatch)
    painter.drawPath(path)
    painter.setPen(QPen(colour, 1.25))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(path)


def _label(spot: Spot) -> Label:
    centre = spot.where if spot.ends is None else (spot.ends[0] + spot.ends[1]) / 2
    return Label(spot.text, centre, QPointF(0, -22), spot.tone)
