"""A placed piece on the canvas: paints a shared path or, in the dark, a shared tile; knows nothing else."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from app.canvas.dark_plates import DarkTile
from app.canvas.look import Look
from app.canvas.paths import ArtPaths
from app.canvas.pixels import PixelItem, pixel_space
from layout_core.geometry.pose import Pose

CARRIED_Z = 5.0
LOCK_FROM_PX = 30.0
CLOTH_ROOM_MM = 3.0
_LOCK_PLATE = QRectF(-10, -10, 20, 20)


class PieceItem(QGraphicsItem):
    """One copy of a piece. Its frame: the centre of the ink's bounds, unturned, millimetres."""

    def __init__(self, placed_id: int, paths: ArtPaths, look: Look) -> None:
        super().__init__()
        self.placed_id = placed_id
        self.paths = paths
        self._look = look
        self._is_carried = False
        self._cloth: QColor | None = None
        self._tile: DarkTile | None = None

    def boundingRect(self) -> QRectF:
        bounds = self.paths.bounds
        if self._look.view == "dark" and self._tile is not None:
            return bounds.united(self._tile.box_mm)
        return bounds if self._cloth is None else self._cloth_box()

    def shape(self) -> QPainterPath:
        return self.paths.grip

    def set_paths(self, paths: ArtPaths) -> None:
        if paths is not self.paths:
            self.prepareGeometryChange()
            self.paths = paths

    def set_look(self, look: Look) -> None:
        self.prepareGeometryChange()
        self._look = look
        self.update()

    def set_cloth(self, cloth: QColor | None) -> None:
        """The cloth of its own that it goes on, where that is not the job's."""
        if cloth != self._cloth:
            self.prepareGeometryChange()
            self._cloth = cloth

    @property
    def tile(self) -> DarkTile | None:
        """What it looks like in the dark; None while it is not seen at all."""
        return self._tile

    def set_tile(self, tile: DarkTile | None) -> None:
        if tile is not self._tile:
            self.prepareGeometryChange()
            self._tile = tile
            self.update()

    def _cloth_box(self) -> QRectF:
        room = CLOTH_ROOM_MM
        return self.paths.bounds.adjusted(-room, -room, room, room)

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
        if self._look.view == "dark":
            self._paint_glow(painter)
            return
        if self._look.view == "garment" and self._cloth is not None:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(self._cloth)
            painter.drawRoundedRect(self._cloth_box(), CLOTH_ROOM_MM, CLOTH_ROOM_MM)
        scale = option.levelOfDetailFromTransform(painter.worldTransform())
        ink = self._look.carried_ink if self._is_carried else self._look.ink
        painter.fillPath(self.paths.at_scale(scale), ink)

    def _paint_glow(self, painter: QPainter) -> None:
        if self._tile is None:
            return
        # Light adds to light: what glows next to each other runs together as it does in the eye.
        painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_Plus)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.drawImage(self._tile.box_mm, self._tile.image)
        painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_SourceOver)


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
