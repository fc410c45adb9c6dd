"""A placed piece on the canvas: paints a shared path, and knows nothing else."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPainterPath, QPen
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from app.canvas.look import Look
from app.canvas.paths import ArtPaths
from app.canvas.pixels import PixelItem, pixel_space
from layout_core.geometry.pose import Pose

CARRIED_Z = 5.0
LOCK_FROM_PX = 30.0
_LOCK_PLATE = QRectF(-10, -10, 20, 20)


class PieceItem(QGraphicsItem):
    """One copy of a piece. Its frame: the centre of the ink's bounds, unturned, millimetres."""

    def __init__(self, placed_id: int, paths: ArtPaths, look: Look) -> None:
        super().__init__()
        self.placed_id = placed_id
        self.paths = paths
        self._look = look
        self._is_carried = False

    def boundingRect(self) -> QRectF:
        return self.paths.bounds

    def shape(self) -> QPainterPath:
        return self.paths.grip

    def set_paths(self, paths: ArtPaths) -> None:
        if paths is not self.paths:
            self.prepareGeometryChange()
            self.paths = paths

    def set_look(self, look: Look) -> None:
        self._look = look
        self.update()

    def set_carried(self, is_carried: bool) -> None:
        """While it is carried it lies on top and lets through what it covers."""
        if is_carried != self._is_carried:
            self._is_carried = is_carried
            self.setZValue(CARRIED_Z if is_carried else 0.0)
            self.update()

    def lay(self, left_mm: float, top_mm: float, pose: Pose) -> None:
        """Lie at a pose on the sheet whose corner is at (left_mm, top_mm) on the matte."""
        self.setPos(left_mm + pose.x_mm, top_mm + pose.y_mm)
        self.setRotation(pose.turn_deg)

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        scale = option.levelOfDetailFromTransform(painter.worldTransform())
        ink = self._look.carried_ink if self._is_carried else self._look.ink
        painter.fillPath(self.paths.at_scale(scale), ink)


class LockMark(PixelItem):
    """The small padlock on a piece that Autopack leaves where it is; in the middle, upright at any turn."""

    def __init__(self, piece: PieceItem, look: Look) -> None:
        super().__init__(look, piece)
        self._piece = piece

    def boundingRect(self) -> QRectF:
        return self.padded(QRectF(0, 0, 0, 0), 11, 11, 11, 11)

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        size = self._piece.paths.bounds.size()
        if min(size.width(), size.height()) * self.px_per_mm < LOCK_FROM_PX:
            return
        with pixel_space(painter) as to_px:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.translate(to_px.map(QPointF(0, 0)))
            painter.setPen(QPen(self.look.film_edge, 1.0))
            painter.setBrush(self.look.raised)
            painter.drawRoundedRect(_LOCK_PLATE.adjusted(0.5, 0.5, -0.5, -0.5), 5, 5)
            painter.setPen(QPen(self.look.text, 1.6))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawArc(QRectF(-3.2, -6.5, 6.4, 8.0), 0, 180 * 16)
            painter.setBrush(self.look.text)
            painter.drawRoundedRect(QRectF(-4.6, -1.6, 9.2, 6.6), 1.2, 1.2)
