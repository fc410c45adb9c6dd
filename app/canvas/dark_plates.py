"""Draws pieces the way the eye sees them in the dark; runs on a worker thread and holds what it drew once."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter, QPen

from app.canvas.paths import path_of
from layout_core.art.artwork import Artwork
from layout_core.checks.cache import Remembered
from layout_core.geometry.pose import at_width
from layout_core.glow.appearance import dark_look
from layout_core.glow.elements import Elements
from layout_core.glow.picture import Plate, dark_picture
from layout_core.glow.scene import Scene
from layout_core.progress import Progress

MOST_SIDE_PX = 900.0
"""No plate is larger: on screen a piece of that size is blurred anyway."""
_MOST_PLATES = 300


@dataclass(frozen=True, slots=True)
class DarkPiece:
    """One piece to draw: its art at a width, and the light it is seen in."""

    artwork: Artwork
    width_mm: float
    elements: Elements
    scene: Scene


@dataclass(frozen=True, slots=True)
class DarkTile:
    """A drawn piece and where it lies round the piece's centre (mm)."""

    image: QImage
    box_mm: QRectF


class DarkPlates:
    """Keeps the plates of the pieces at the scales asked for last; safe to call from one worker at a time."""

    def __init__(self) -> None:
        self._plates: Remembered[Plate] = Remembered(_MOST_PLATES)

    def tiles(
        self,
        pieces: Mapping[int, DarkPiece],
        minutes: float,
        distance_m: float,
        px_per_mm: float,
        progress: Progress,
    ) -> dict[int, DarkTile | None]:
        """The tile of each piece at that moment and distance; None where nothing of it is seen."""
        drawn: dict[int, DarkTile | None] = {}
        for number, (key, piece) in enumerate(pieces.items()):
            progress(number / len(pieces), "Drawing the dark view")
            drawn[key] = self._tile(piece, minutes, distance_m, px_per_mm)
        return drawn

    def _tile(self, piece: DarkPiece, minutes: float, distance_m: float, px_per_mm: float) -> DarkTile | None:
        width_mm, height_mm = piece.width_mm, piece.width_mm * piece.artwork.aspect
        scale = plate_scale(px_per_mm, max(width_mm, height_mm))
        key = (piece.artwork.outline_digest, width_mm, scale)
        plate = self._plates.get(key, lambda: make_plate(piece.artwork, width_mm, scale))
        picture = dark_picture(plate, dark_look(piece.elements, piece.scene, minutes, distance_m))
        if picture is None:
            return None
        rows, columns = picture.rgbx.shape[:2]
        view = QImage(picture.rgbx.data, columns, rows, columns * 4, QImage.Format.Format_RGBX8888)
        room_mm, px_mm = picture.room_px / picture.px_per_mm, 1.0 / picture.px_per_mm
        left, top = -width_mm / 2 - room_mm, -height_mm / 2 - room_mm
        # converting copies: the image outlives the array it was made from
        image = view.convertToFormat(QImage.Format.Format_RGB32)
        return DarkTile(image, QRectF(left, top, columns * px_mm, rows * px_mm))


def plate_scale(px_per_mm: float, side_mm: float) -> float:
    """The scale a piece is drawn at for a zoom: one of few, so that plates last, and never a huge plate."""
    wanted = min(max(px_per_mm, 0.05), MOST_SIDE_PX / side_mm)
    return float(2.0 ** (np.ceil(2.0 * np.log2(wanted) - 1e-9) / 2.0))


def make_plate(artwork: Artwork, width_mm: float, px_per_mm: float) -> Plate:
    """The plate of an artwork at a width."""
    outline = at_width(artwork.outline, width_mm)
    parts = list(shapely.transform(outline, lambda xy: xy * px_per_mm).geoms)
    wide = max(1, int(np.ceil(width_mm * px_per_mm)))
    high = max(1, int(np.ceil(width_mm * artwork.aspect * px_per_mm)))
    coverage = _blank(wide, high, QImage.Format.Format_Grayscale8)
    painter = QPainter(coverage)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.fillPath(path_of(shapely.MultiPolygon(parts)), QColor(255, 255, 255))
    painter.end()
    return Plate(
        _grey(coverage).astype(np.float32) / np.float32(255.0), _owners(parts, wide, high), px_per_mm
    )


def _owners(
    parts: Sequence[shapely.Polygon], wide: int, high: int
) -> np.ndarray[tuple[int, int], np.dtype[np.intp]]:
    """The element that each pixel of ink belongs to; edges belong to the element they are the edge of."""
    if len(parts) == 1:
        return np.zeros((high, wide), dtype=np.intp)
    image = _blank(wide, high, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    for number, part in enumerate(parts):
        colour = QColor(*(number + 1).to_bytes(3, "big"))
        painter.setPen(QPen(colour, 1.5, Qt.PenStyle.SolidLine))
        painter.setBrush(colour)
        painter.drawPath(path_of(part))
    painter.end()
    pixels = np.frombuffer(image.constBits(), dtype="<u4").reshape(high, -1)[:, :wide] & 0xFFFFFF
    return np.asarray(np.maximum(pixels.astype(np.intp) - 1, 0))


def _blank(wide: int, high: int, kind: QImage.Format) -> QImage:
    image = QImage(wide, high, kind)
    image.fill(0)
    return image


def _grey(image: QImage) -> np.ndarray[tuple[int, int], np.dtype[np.uint8]]:
    rows = np.frombuffer(image.constBits(), dtype=np.uint8).reshape(image.height(), image.bytesPerLine())
    return np.array(rows[:, : image.width()])
