"""A sheet on the canvas: film, margin, rulers and its name."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen, QTransform
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from app.canvas.look import Look
from app.canvas.pixels import PixelItem, pixel_space
from app.canvas.prompt import Prompt, paint_prompt
from app.canvas.rulers import RulerUnit, Tick, ruler_ticks
from layout_core.job.model import Sheet
from layout_core.units import write_number

TOP_ROOM_PX, LEFT_ROOM_PX, SIDE_ROOM_PX = 56.0, 44.0, 10.0
RULERS_FROM_PX_PER_MM = 0.65
"""Below, a ruler would be drawn over the sheet to its left."""

NAMES_FROM_PX = 40.0
_TICK_PX = (9.0, 6.0, 3.5)


class SheetItem(PixelItem):
    """One sheet; its frame is the sheet frame (origin top left, millimetres)."""

    def __init__(self, sheet: Sheet, unit: RulerUnit, look: Look) -> None:
        super().__init__(look)
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemUsesExtendedStyleOption)
        self.sheet = sheet
        self.unit: RulerUnit = unit
        self.prompt: Prompt | None = None
        self.is_target = False
        self.setZValue(-1)

    @property
    def film(self) -> QRectF:
        return QRectF(0, 0, self.sheet.width_mm, self.sheet.length_mm)

    def boundingRect(self) -> QRectF:
        return self.padded(self.film, LEFT_ROOM_PX, TOP_ROOM_PX, SIDE_ROOM_PX, SIDE_ROOM_PX)

    def set_sheet(self, sheet: Sheet) -> None:
        if sheet is not self.sheet:
            self.prepareGeometryChange()
            self.sheet = sheet
            self.update()

    def set_unit(self, unit: RulerUnit) -> None:
        if unit != self.unit:
            self.unit = unit
            self.update()

    def set_prompt(self, prompt: Prompt | None) -> None:
        if prompt != self.prompt:
            self.prompt = prompt
            self.update()

    def set_target(self, is_target: bool) -> None:
        """Show or hide the frame that says: what you carry lands here."""
        if is_target != self.is_target:
            self.is_target = is_target
            self.update()

    def caption(self) -> str:
        """Size and run, e.g. "11.25 × 19.5 in · run 12"."""
        width = write_number(self.sheet.width_mm, self.unit)
        return f"{width} × {write_number(self.sheet.length_mm, self.unit)} {self.unit} · run {self.sheet.run}"

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        painter.fillRect(option.exposedRect & self.film, self.look.film)
        inner = self.padded(self.film, -3, -3, -3, -3)
        with pixel_space(painter) as to_px:
            film_px = to_px.mapRect(self.film)
            self._paint_margin(painter, to_px)
            if self.prompt is not None:
                paint_prompt(painter, film_px, self.prompt, self.look)
            if self.is_target:
                self._paint_target(painter, film_px)
            if inner.contains(option.exposedRect):
                return
            self._paint_edge(painter, film_px)
            if self.px_per_mm >= RULERS_FROM_PX_PER_MM:
                self._paint_rulers(painter, film_px)
            if film_px.width() >= NAMES_FROM_PX:
                self._paint_names(painter, film_px)

    def _paint_edge(self, painter: QPainter, film_px: QRectF) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        painter.setPen(QPen(self.look.film_edge, 1.0))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(film_px.toRect().adjusted(0, 0, -1, -1))

    def _paint_margin(self, painter: QPainter, to_px: QTransform) -> None:
        margin = self.sheet.margin_mm
        if margin <= 0 or margin * self.px_per_mm < 2:
            return
        pen = QPen(self.look.film_edge, 1.0)
        pen.setDashPattern([4, 4])
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(to_px.mapRect(self.film.adjusted(margin, margin, -margin, -margin)).toRect())

    def _paint_rulers(self, painter: QPainter, film_px: QRectF) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        painter.setFont(self.look.figure_font)
        metrics = QFontMetricsF(self.look.figure_font)
        for tick in ruler_ticks(self.sheet.width_mm, self.unit, self.px_per_mm):
            self._paint_top_tick(painter, film_px, tick, metrics)
        for tick in ruler_ticks(self.sheet.length_mm, self.unit, self.px_per_mm):
            self._paint_side_tick(painter, film_px, tick, metrics)

    def _paint_top_tick(self, painter: QPainter, film_px: QRectF, tick: Tick, metrics: QFontMetricsF) -> None:
        x, foot = round(film_px.left() + tick.at_mm * self.px_per_mm), film_px.top() - 3
        painter.setPen(self._tick_colour(tick))
        painter.drawLine(QPointF(x, foot), QPointF(x, foot - _TICK_PX[tick.rank]))
        if tick.text:
            painter.setPen(self.look.muted)
            width = metrics.horizontalAdvance(tick.text)
            painter.drawText(QPointF(x - width / 2, foot - _TICK_PX[0] - 4), tick.text)

    def _paint_side_tick(
        self, painter: QPainter, film_px: QRectF, tick: Tick, metrics: QFontMetricsF
    ) -> None:
        y, foot = round(film_px.top() + tick.at_mm * self.px_per_mm), film_px.left() - 3
        painter.setPen(self._tick_colour(tick))
        painter.drawLine(QPointF(foot, y), QPointF(foot - _TICK_PX[tick.rank], y))
        if tick.text:
            painter.setPen(self.look.muted)
            width = metrics.horizontalAdvance(tick.text)
            painter.drawText(QPointF(foot - _TICK_PX[0] - 4 - width, y + metrics.capHeight() / 2), tick.text)

    def _tick_colour(self, tick: Tick) -> QColor:
        return self.look.muted if tick.rank == 0 else self.look.film_edge

    def _paint_names(self, painter: QPainter, film_px: QRectF) -> None:
        has_rulers = self.px_per_mm >= RULERS_FROM_PX_PER_MM
        base = film_px.top() - (34.0 if has_rulers else 8.0)
        names, small = QFontMetricsF(self.look.name_font), QFontMetricsF(self.look.small_font)
        caption = self.caption()
        caption_width = small.horizontalAdvance(caption)
        room = film_px.width()
        is_captioned = names.horizontalAdvance(self.sheet.name) + caption_width + 16 <= room
        name = names.elidedText(self.sheet.name, Qt.TextElideMode.ElideRight, room)
        painter.setFont(self.look.name_font)
        painter.setPen(self.look.text)
        painter.drawText(QPointF(film_px.left(), base), name)
        if is_captioned:
            painter.setFont(self.look.small_font)
            painter.setPen(self.look.muted)
            painter.drawText(QPointF(film_px.right() - caption_width, base), caption)

    def _paint_target(self, painter: QPainter, film_px: QRectF) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(self.look.accent, 2.5))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(film_px.adjusted(3, 3, -3, -3), 4, 4)
