"""Small pictures of art: its true outline, fitted into a square in one colour."""

from functools import lru_cache

import shapely
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPixmap

from app.canvas.paths import path_of
from layout_core.art.artwork import Artwork

_STEPS_ACROSS = 220
"""A thumbnail of at most 60 px needs no detail finer than this share of the art."""


@lru_cache(maxsize=256)
def small_path(artwork: Artwork) -> QPainterPath:
    """The art's outline, lightened to what a thumbnail can show, in mm from (0, 0)."""
    tolerance = max(artwork.width_mm, artwork.height_mm) / _STEPS_ACROSS
    light = shapely.simplify(artwork.outline, tolerance / 2, preserve_topology=False)
    return path_of(artwork.outline if light.is_empty else light)


def paint_art(painter: QPainter, box: QRectF, artwork: Artwork, ink: str, turn_deg: float = 0.0) -> None:
    """Draw the art in one colour, as large as fits centred in `box`."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(box.center())
    painter.rotate(turn_deg)
    turned = turn_deg % 180.0 == 90.0
    room_w, room_h = (box.height(), box.width()) if turned else (box.width(), box.height())
    scale = min(room_w / artwork.width_mm, room_h / artwork.height_mm)
    painter.scale(scale, scale)
    painter.translate(-artwork.width_mm / 2, -artwork.height_mm / 2)
    painter.fillPath(small_path(artwork), QColor(ink))
    painter.restore()


@lru_cache(maxsize=512)
def thumbnail(artwork: Artwork, side_px: int, ratio: float, ink: str) -> QPixmap:
    """The art in a square pixmap of `side_px` logical pixels, on a clear ground."""
    pixmap = QPixmap(round(side_px * ratio), round(side_px * ratio))
    pixmap.setDevicePixelRatio(ratio)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    paint_art(painter, QRectF(0, 0, side_px, side_px), artwork, ink)
    painter.end()
    return pixmap
