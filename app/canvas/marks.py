"""Findings drawn where they are: thin ink hatched, gaps marked, cramped pairs joined with a measure."""

from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath, QPen, QTransform
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget
from shapely.geometry.base import BaseGeometry

from app.canvas.look import Look
from app.canvas.paths import LIGHT_SHARE, path_of
from app.canvas.pixels import Label, PixelItem, Tone, paint_measure, pixel_space, tone_colour
from app.widgets.marks import Mark, paint_mark
from layout_core.checks.findings import Finding, Severity
from layout_core.geometry.outline import light_outline, valid_union

MARKS_Z = 4.0
MORE_Z = 100.0
"""Over all marks."""

LABELS_FROM_PX_PER_MM = 0.9
SMALL_PX = 44.0
"""A piece smaller than this on screen carries one sign instead of its marks."""

VEIL_OPACITY = 0.4
FINE_MM = 1.5
"""Areas thinner than this on average are fine ones."""

ROOM_PX = 14.0
RING_PX, RING_BELOW_PX, RING_APART_PX = 9.0, 10.0, 20.0
"""A place smaller than 10 px gets a ring, unless a worse one near by has its ring already."""

TINY_PX = 3.0
"""A place smaller than that adds nothing to a ring that another one near by has already."""

MORE_ABOVE_PX = 20.0
"""How far above a sheet's foot the count of what has no mark stands."""

TONE_OF = {Severity.STOP: Tone.STOP, Severity.CAUTION: Tone.CAUTION, Severity.NOTE: Tone.NOTE}
SIGN_OF = {Tone.STOP: Mark.STOP, Tone.CAUTION: Mark.CAUTION, Tone.NOTE: Mark.NOTE}
_WORST_FIRST = (Tone.STOP, Tone.CAUTION, Tone.NOTE, Tone.CALM)
_GROUND_RULES = frozenset({"gap", "bridge", "pinhole"})
"""Faults of the ground between the ink lean the other way in their hatching."""


@dataclass(frozen=True, slots=True)
class Spot:
    """One place of a finding in its item's frame: an area, or the ends of a measure, or a point.

    A fine area is thin in itself and gets a broad hatched line, or nobody would see it.
    """

    tone: Tone
    path: QPainterPath
    ends: tuple[QPointF, QPointF] | None
    where: QPointF
    is_ground: bool
    is_fine: bool = False
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
    path, ends, is_fine = QPainterPath(), None, False
    if shape is not None:
        ends = _ends(shape, corner)
        is_fine = finding.sheet_id is None and 2.0 * shape.area <= FINE_MM * shape.length
        path = path_of(shape if is_fine else _light(shape)).translated(*corner)
    tone, is_ground = TONE_OF[finding.severity], finding.rule in _GROUND_RULES
    return Spot(tone, QPainterPath() if ends else path, ends, centre, is_ground, is_fine, text)


def _light(shape: BaseGeometry) -> BaseGeometry:
    left, top, right, bottom = shape.bounds
    outline = valid_union(shape)
    return light_outline(outline, max(right - left, bottom - top) * LIGHT_SHARE) if outline.area else shape


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
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemUsesExtendedStyleOption)
        self.spots = tuple(sorted(spots, key=lambda spot: _WORST_FIRST.index(spot.tone)))
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
            shown = to_px.mapRect(option.exposedRect).adjusted(-ROOM_PX, -ROOM_PX, ROOM_PX, ROOM_PX)
            rings = _Rings()
            for spot in self.spots:
                if to_px.mapRect(spot.bounds).intersects(shown) or spot.text:
                    self._paint_spot(painter, spot, to_px, rings)

    def _paint_spot(self, painter: QPainter, spot: Spot, to_px: QTransform, rings: "_Rings") -> None:
        """Draw one spot, with a ring if it is small and no ring drawn so far is near."""
        box, centre = to_px.mapRect(spot.bounds), to_px.map(spot.where)
        size_px = max(box.width(), box.height())
        is_found_alone = spot.tone is Tone.NOTE or size_px >= RING_BELOW_PX
        is_ringed = not is_found_alone and rings.has_near(centre)
        if is_ringed and size_px < TINY_PX and not spot.text:
            return
        paint_spot(painter, spot, to_px, self.look)
        if not is_found_alone and not is_ringed:
            rings.add(centre)
            _paint_ring(painter, centre, tone_colour(spot.tone, self.look), self.look)
        if spot.text and to_px.m11() >= LABELS_FROM_PX_PER_MM:
            _label(spot).paint(painter, to_px, self.look)

    def _is_small(self) -> bool:
        size = QSizeF() if self._sign_on is None else self._sign_on.size()
        return max(size.width(), size.height()) * self.px_per_mm < SMALL_PX

    def _paint_sign(self, painter: QPainter, to_px: QTransform) -> None:
        tones = {spot.tone for spot in self.spots}
        tone = next(tone for tone in _WORST_FIRST if tone in tones)
        sign = QRectF(0, 0, 14, 14)
        sign.moveCenter(to_px.map(QPointF(0, 0)))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self.look.casing)
        painter.drawEllipse(sign.adjusted(-3, -3, 3, 3))
        paint_mark(painter, sign, SIGN_OF[tone], self.look.theme)


class MoreItem(PixelItem):
    """Says at the foot of a sheet in how many places something is wrong that have no mark of their own."""

    def __init__(self, count: int, foot: QPointF, look: Look) -> None:
        super().__init__(look)
        self.setZValue(MORE_Z)
        self.label = Label(f"and {count:,} more, see Findings", foot, QPointF(0, -MORE_ABOVE_PX))

    def boundingRect(self) -> QRectF:
        return self.label.bounds_mm(self.look, self.px_per_mm)

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        with pixel_space(painter) as to_px:
            self.label.paint(painter, to_px, self.look)


class _Rings:
    """The centres of the rings drawn so far, in cells as wide as rings lie apart."""

    def __init__(self) -> None:
        self._cells: dict[tuple[int, int], list[QPointF]] = {}

    def has_near(self, at: QPointF) -> bool:
        column, row = self._cell(at)
        return any(
            (ring - at).manhattanLength() <= RING_APART_PX
            for x in (column - 1, column, column + 1)
            for y in (row - 1, row, row + 1)
            for ring in self._cells.get((x, y), ())
        )

    def add(self, at: QPointF) -> None:
        self._cells.setdefault(self._cell(at), []).append(at)

    def _cell(self, at: QPointF) -> tuple[int, int]:
        return int(at.x() // RING_APART_PX), int(at.y() // RING_APART_PX)


def paint_spot(painter: QPainter, spot: Spot, to_px: QTransform, look: Look) -> None:
    """Draw the place itself, in pixel space; a note is a fine outline only."""
    colour = tone_colour(spot.tone, look)
    if spot.ends is not None:
        first, second = (to_px.map(end) for end in spot.ends)
        paint_measure(painter, first, second, colour, look)
    elif spot.tone is Tone.NOTE:
        painter.setPen(QPen(colour, 1.5))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPath(to_px.map(spot.path))
    else:
        _paint_area(painter, spot, to_px.map(spot.path), look)


def _paint_ring(painter: QPainter, centre: QPointF, colour: QColor, look: Look) -> None:
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for ring_colour, width in ((look.casing, 4.5), (colour, 2.0)):
        painter.setPen(QPen(ring_colour, width))
        painter.drawEllipse(centre, RING_PX, RING_PX)


def _paint_area(painter: QPainter, spot: Spot, path_px: QPainterPath, look: Look) -> None:
    colour = tone_colour(spot.tone, look)
    hatch = QBrush(colour, Qt.BrushStyle.FDiagPattern if spot.is_ground else Qt.BrushStyle.BDiagPattern)
    if spot.is_fine:
        for brush, width in ((QBrush(look.casing), 7.0), (hatch, 5.0)):
            painter.setPen(
                QPen(brush, width, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap, Qt.PenJoinStyle.RoundJoin)
            )
            painter.setBrush(brush)
            painter.drawPath(path_px)
    else:
        for veil in (QColor(look.casing), QColor(colour)):
            veil.setAlphaF(VEIL_OPACITY)
            painter.fillPath(path_px, veil)
        painter.fillPath(path_px, hatch)
    painter.setPen(QPen(colour, 1.0))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(path_px)


def _label(spot: Spot) -> Label:
    centre = spot.where if spot.ends is None else (spot.ends[0] + spot.ends[1]) / 2
    return Label(spot.text, centre, QPointF(0, -22), spot.tone)
