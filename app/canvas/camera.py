"""Where the canvas looks: zoom at a point, pan, fit."""

from collections.abc import Callable

from PySide6.QtCore import QPoint, QPointF, QRectF
from PySide6.QtGui import QTransform
from PySide6.QtWidgets import QGraphicsView

from app.canvas.scene import SheetScene
from app.canvas.sheet_item import LEFT_ROOM_PX, TOP_ROOM_PX
from app.canvas.zoom import after_wheel, clamped, fitting, ratio_to_true_size

SPARE_PX = 20.0
FINDING_PX_PER_MM = 8.0


class Camera:
    """Zoom and pan of a view. While nobody has chosen a place, it keeps all sheets in sight."""

    def __init__(self, view: QGraphicsView, scene: SheetScene, tell_zoom: Callable[[float], None]) -> None:
        self._view = view
        self._scene = scene
        self._tell_zoom = tell_zoom
        self.keeps_fitting = True

    @property
    def px_per_mm(self) -> float:
        return float(self._view.transform().m11())

    def zoom_by(self, factor: float, at_px: QPointF | None = None) -> None:
        """Zoom; what lies at a pixel of the viewport (its centre by default) stays there."""
        self._zoom_to(clamped(self.px_per_mm * factor), at_px)

    def turn_wheel(self, eighths_of_degree: float, at_px: QPointF) -> None:
        self._zoom_to(after_wheel(self.px_per_mm, eighths_of_degree), at_px)

    def _zoom_to(self, px_per_mm: float, at_px: QPointF | None) -> None:
        self.keeps_fitting = False
        point = QPointF(self._view.viewport().rect().center()) if at_px is None else at_px
        held = self.to_matte(point)
        self._set_scale(px_per_mm)
        moved = self._view.viewportTransform().map(held) - point
        self._scroll(moved)

    def to_matte(self, at_px: QPointF) -> QPointF:
        """A pixel of the viewport, in fractions too, as a point of the matte in mm."""
        inverse, _ = self._view.viewportTransform().inverted()
        return inverse.map(at_px)

    def pan(self, shift_px: QPoint) -> None:
        """Pull the matte along by pixels."""
        self.keeps_fitting = False
        self._scroll(QPointF(-shift_px))

    def _scroll(self, by_px: QPointF) -> None:
        across, down = self._view.horizontalScrollBar(), self._view.verticalScrollBar()
        across.setValue(across.value() + round(by_px.x()))
        down.setValue(down.value() + round(by_px.y()))

    def fit(self, box_mm: QRectF) -> None:
        """Bring a box with its rulers and names to the middle, as large as it goes."""
        port = self._view.viewport().size()
        room = (LEFT_ROOM_PX + 2 * SPARE_PX, TOP_ROOM_PX + 2 * SPARE_PX)
        scale = fitting((box_mm.width(), box_mm.height()), (port.width(), port.height()), room)
        self._set_scale(scale)
        shift = QPointF(-LEFT_ROOM_PX / 2 / scale, -TOP_ROOM_PX / 2 / scale)
        self._view.centerOn(box_mm.center() + shift)

    def fit_all(self) -> None:
        left, top, right, bottom = self._scene.matte.bounds_mm
        self.fit(QRectF(left, top, right - left, bottom - top))
        self.keeps_fitting = True

    def look_at(self, box_mm: QRectF) -> None:
        """Centre a small place; zoom in when it would be too small to see, out when it would not fit."""
        self.keeps_fitting = False
        port = self._view.viewport().size()
        fits = fitting((box_mm.width(), box_mm.height()), (port.width(), port.height()), (120.0, 120.0))
        wanted = max(self.px_per_mm, FINDING_PX_PER_MM)
        self._set_scale(min(wanted, fits))
        self._view.centerOn(box_mm.center())

    def _set_scale(self, px_per_mm: float) -> None:
        if px_per_mm == self.px_per_mm:
            return
        self._view.setTransform(QTransform.fromScale(px_per_mm, px_per_mm))
        self._scene.set_scale_px(px_per_mm)
        self._tell_zoom(ratio_to_true_size(px_per_mm))
