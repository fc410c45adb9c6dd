"""What lies over the pieces while a person works: frames, handles, measures, guides, the rubber band."""

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QStyleOptionGraphicsItem, QWidget

from app.canvas.look import Look
from app.canvas.pixels import (
    Label,
    PixelItem,
    Tone,
    paint_measure,
    pixel_space,
    tone_colour,
)
from app.canvas.snapping import Guide, Line

FRAME_ROOM_PX = 4.0
HANDLE_PX = 9.0
HANDLES_FROM_PX, LABEL_FROM_PX = 28.0, 14.0
OVERLAY_Z = 10.0


@dataclass(frozen=True, slots=True)
class Frame:
    """The corners of one chosen piece on the matte, clockwise from its own top left; fillers are dashed."""

    corners: tuple[QPointF, QPointF, QPointF, QPointF]
    is_filler: bool = False

    @property
    def polygon(self) -> QPolygonF:
        return QPolygonF([*self.corners, self.corners[0]])


class FramesItem(PixelItem):
    """The frames of all chosen pieces; a single one has handles and its size below."""

    def __init__(self, look: Look) -> None:
        super().__init__(look)
        self.setZValue(OVERLAY_Z)
        self._frames: tuple[Frame, ...] = ()
        self._label: Label | None = None
        self._has_handles = False
        self._box = QRectF()

    def show_frames(self, frames: Sequence[Frame], text: str = "", *, has_handles: bool = False) -> None:
        self.prepareGeometryChange()
        self.setPos(0, 0)
        self._frames = tuple(frames)
        self._has_handles = has_handles
        self._box = QRectF()
        for frame in self._frames:
            self._box = self._box.united(frame.polygon.boundingRect())
        foot = QPointF(self._box.center().x(), self._box.bottom())
        self._label = Label(text, foot, QPointF(0, 22)) if text and self._frames else None
        self.setVisible(bool(self._frames))
        self.update()

    @property
    def frames(self) -> tuple[Frame, ...]:
        return self._frames

    @property
    def text(self) -> str:
        return "" if self._label is None else self._label.text

    @property
    def has_handles(self) -> bool:
        """Whether there are handles to take hold of; a frame too small on screen has none."""
        return self._has_handles and self._side_px() >= HANDLES_FROM_PX

    def _side_px(self) -> float:
        return max(self._box.width(), self._box.height()) * self.px_per_mm

    def boundingRect(self) -> QRectF:
        room = FRAME_ROOM_PX + HANDLE_PX
        box = self.padded(self._box, room, room, room, room)
        return box if self._label is None else box.united(self._label.bounds_mm(self.look, self.px_per_mm))

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        with pixel_space(painter) as to_px:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            for frame in self._frames:
                corners = outset([to_px.map(corner) for corner in frame.corners], FRAME_ROOM_PX)
                self._paint_frame(painter, corners, frame.is_filler)
                if self.has_handles:
                    self._paint_handles(painter, corners)
            if self._label is not None and self._side_px() >= LABEL_FROM_PX:
                self._label.paint(painter, to_px, self.look)

    def _paint_frame(self, painter: QPainter, corners: Sequence[QPointF], is_filler: bool) -> None:
        polygon = QPolygonF([*corners, corners[0]])
        painter.setPen(QPen(self.look.casing, 3.5))
        painter.drawPolyline(polygon)
        pen = QPen(self.look.accent, 1.75)
        if is_filler:
            pen.setDashPattern([6, 2.5, 1, 2.5])
        painter.setPen(pen)
        painter.drawPolyline(polygon)

    def _paint_handles(self, painter: QPainter, corners: Sequence[QPointF]) -> None:
        painter.setBrush(self.look.raised)
        for corner in corners:
            square = QRectF(0, 0, HANDLE_PX, HANDLE_PX)
            square.moveCenter(corner)
            painter.setPen(QPen(self.look.casing, 3.5))
            painter.drawRoundedRect(square, 2, 2)
            painter.setPen(QPen(self.look.accent, 1.75))
            painter.drawRoundedRect(square, 2, 2)
        painter.setBrush(Qt.BrushStyle.NoBrush)


def outset(corners: Sequence[QPointF], room: float) -> list[QPointF]:
    """The four corners of a turned rectangle, each side moved outwards by the room (in the points' unit)."""
    across, down = _unit(corners[1] - corners[0]), _unit(corners[3] - corners[0])
    ways = ((-1, -1), (1, -1), (1, 1), (-1, 1))
    return [
        corner + across * (x * room) + down * (y * room) for corner, (x, y) in zip(corners, ways, strict=True)
    ]


def _unit(way: QPointF) -> QPointF:
    length: float = max((way.x() ** 2 + way.y() ** 2) ** 0.5, 1e-9)
    return QPointF(way.x() / length, way.y() / length)


class MeasureItem(PixelItem):
    """A distance between two points of the matte, with its label; the label alone where there is no line."""

    def __init__(self, look: Look) -> None:
        super().__init__(look)
        self.setZValue(OVERLAY_Z + 2)
        self._ends: tuple[QPointF, QPointF] | None = None
        self._label: Label | None = None
        self.setVisible(False)

    @property
    def text(self) -> str:
        return self._label.text if self._label is not None and self.isVisible() else ""

    @property
    def tone(self) -> Tone:
        return Tone.CALM if self._label is None else self._label.tone

    def show_measure(
        self, ends: tuple[QPointF, QPointF] | None, text: str, tone: Tone, at_mm: QPointF | None = None
    ) -> None:
        """Show it; the label stands beside the middle of the line, or at `at_mm` without one."""
        self.prepareGeometryChange()
        self._ends = ends
        if ends is not None:
            along = ends[1] - ends[0]
            is_level = abs(along.x()) >= abs(along.y())
            shift = QPointF(0, -22) if is_level else QPointF(20 + len(text) * 3.6, 0)
            self._label = Label(text, (ends[0] + ends[1]) / 2, shift, tone)
        else:
            self._label = Label(text, at_mm if at_mm is not None else QPointF(), QPointF(0, -22), tone)
        self.setVisible(True)
        self.update()

    def hide_measure(self) -> None:
        self.setVisible(False)

    def boundingRect(self) -> QRectF:
        box = QRectF()
        if self._label is not None:
            box = self._label.bounds_mm(self.look, self.px_per_mm)
        if self._ends is not None:
            line = QRectF(self._ends[0], self._ends[1]).normalized()
            box = box.united(self.padded(line, 9, 9, 9, 9))
        return box

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        if self._label is None:
            return
        with pixel_space(painter) as to_px:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            if self._ends is not None:
                first, second = (to_px.map(end) for end in self._ends)
                paint_measure(painter, first, second, tone_colour(self._label.tone, self.look), self.look)
            self._label.paint(painter, to_px, self.look)


class GuidesItem(PixelItem):
    """The lines that hold a moving piece; dashed for centres, with the gap shown as a double line."""

    def __init__(self, look: Look) -> None:
        super().__init__(look)
        self.setZValue(OVERLAY_Z + 1)
        self._guides: tuple[Guide, ...] = ()
        self._box = QRectF()

    @property
    def guides(self) -> tuple[Guide, ...]:
        return self._guides

    def show_guides(self, guides: tuple[Guide, ...]) -> None:
        """Guides in this item's frame, which lies at the sheet's corner."""
        if guides == self._guides:
            return
        self.prepareGeometryChange()
        self._guides = guides
        self._box = QRectF()
        for guide in guides:
            first, second = _ends(guide)
            self._box = self._box.united(
                QRectF(first, second).normalized().adjusted(-0.01, -0.01, 0.01, 0.01)
            )
        self.update()

    def boundingRect(self) -> QRectF:
        return self.padded(self._box, 16, 16, 16, 16) if self._guides else QRectF()

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        with pixel_space(painter) as to_px:
            for guide in self._guides:
                first, second = (to_px.map(end) for end in _ends(guide))
                reach = QPointF(0, 12) if guide.upright else QPointF(12, 0)
                pen = QPen(self.look.accent, 1.25)
                if guide.line is Line.CENTRE:
                    pen.setDashPattern([8, 3, 2, 3])
                elif guide.line is Line.GAP:
                    pen.setDashPattern([3, 3])
                painter.setPen(pen)
                painter.drawLine(first - reach, second + reach)


def _ends(guide: Guide) -> tuple[QPointF, QPointF]:
    if guide.upright:
        return QPointF(guide.at_mm, guide.from_mm), QPointF(guide.at_mm, guide.to_mm)
    return QPointF(guide.from_mm, guide.at_mm), QPointF(guide.to_mm, guide.at_mm)


class RubberItem(PixelItem):
    """The rubber band."""

    def __init__(self, look: Look) -> None:
        super().__init__(look)
        self.setZValue(OVERLAY_Z + 3)
        self._box = QRectF()
        self.setVisible(False)

    def show_band(self, box_mm: QRectF) -> None:
        self.prepareGeometryChange()
        self._box = box_mm
        self.setVisible(True)

    def boundingRect(self) -> QRectF:
        return self.padded(self._box, 2, 2, 2, 2)

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        wash = tone_colour(Tone.CALM, self.look)
        wash.setAlphaF(0.12)
        with pixel_space(painter) as to_px:
            painter.setPen(QPen(self.look.accent, 1.0))
            painter.setBrush(wash)
            painter.drawRect(to_px.mapRect(self._box))


class BeaconItem(PixelItem):
    """The ring that shows where a finding is, for a moment; `phase` runs from 0 to 1."""

    def __init__(self, look: Look) -> None:
        super().__init__(look)
        self.setZValue(OVERLAY_Z + 4)
        self._box = QRectF()
        self._tone = Tone.NOTE
        self._phase = 1.0
        self.setVisible(False)

    def show_at(self, box_mm: QRectF, tone: Tone) -> None:
        self.prepareGeometryChange()
        self._box = box_mm
        self._tone = tone
        self.set_phase(0.0)

    def set_phase(self, phase: float) -> None:
        self._phase = phase
        self.setVisible(phase < 1.0)
        self.update()

    def boundingRect(self) -> QRectF:
        return self.padded(self._box, 44, 44, 44, 44)

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        room = 10.0 + 26.0 * max(1.0 - self._phase * 3.0, 0.0)
        with pixel_space(painter) as to_px:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setOpacity(min(1.0, (1.0 - self._phase) * 4.0))
            box = to_px.mapRect(self._box).adjusted(-room, -room, room, room)
            radius = min(14.0, min(box.width(), box.height()) / 2)
            for line_colour, width in ((self.look.casing, 6.0), (tone_colour(self._tone, self.look), 3.0)):
                painter.setPen(QPen(line_colour, width))
                painter.drawRoundedRect(box, radius, radius)
