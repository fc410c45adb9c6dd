"""Paints one row of the piece list: the art's true outline, its name, what it is, and its tag."""

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem

from app.panels.piece_rows import ROW_ROLE, PieceRow
from app.theme import ui_font
from app.tokens import Theme
from app.widgets.marks import Mark, mark_colour, paint_mark
from app.widgets.thumbnail import thumbnail

ROW_HEIGHT_PX = 64
THUMB_PX = 44


class PieceRowPainter(QStyledItemDelegate):
    """A card a row; the chosen one is edged in accent, the keyboard's one ringed."""

    theme: Theme

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        return QSize(200, ROW_HEIGHT_PX)

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        row = index.data(ROW_ROLE)
        if not isinstance(row, PieceRow):
            return
        box = QRectF(option.rect).adjusted(1, 2, -1, -2)
        state = option.state
        ratio = painter.device().devicePixelRatioF()
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._paint_card(painter, box, state)
        self._paint_thumb(painter, box, row, ratio)
        self._paint_words(painter, box, row)
        painter.restore()

    def _paint_card(self, painter: QPainter, box: QRectF, state: QStyle.StateFlag) -> None:
        theme = self.theme
        chosen = bool(state & QStyle.StateFlag.State_Selected)
        hovered = bool(state & QStyle.StateFlag.State_MouseOver)
        if chosen or hovered:
            painter.setPen(QPen(QColor(theme.accent if chosen else theme.line), 1.25))
            painter.setBrush(QColor(theme.raised if chosen else theme.panel))
            painter.drawRoundedRect(box.adjusted(0.75, 0.75, -0.75, -0.75), 8, 8)
        if state & QStyle.StateFlag.State_HasFocus and state & QStyle.StateFlag.State_KeyboardFocusChange:
            painter.setPen(QPen(QColor(theme.text), 1.5))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(box.adjusted(3, 3, -3, -3), 6, 6)

    def _paint_thumb(self, painter: QPainter, box: QRectF, row: PieceRow, ratio: float) -> None:
        theme = self.theme
        ground = QRectF(box.left() + 8, box.center().y() - THUMB_PX / 2, THUMB_PX, THUMB_PX)
        painter.setPen(QPen(QColor(theme.line), 1))
        painter.setBrush(QColor(theme.matte))
        painter.drawRoundedRect(ground.adjusted(0.5, 0.5, -0.5, -0.5), 6, 6)
        ink = theme.ink if theme.name == "dark" else theme.text
        picture = thumbnail(row.artwork, THUMB_PX - 12, ratio, ink)
        painter.drawPixmap(ground.adjusted(6, 6, -6, -6).topLeft(), picture)
        if row.mark is Mark.CAUTION:
            paint_mark(painter, QRectF(ground.right() - 9, ground.bottom() - 10, 14, 14), row.mark, theme)

    def _paint_words(self, painter: QPainter, box: QRectF, row: PieceRow) -> None:
        theme = self.theme
        left, right = box.left() + 8 + THUMB_PX + 12, box.right() - 10
        name_font, small = ui_font(13, 600), ui_font(12, 400)
        top = box.center().y() - 19
        tag_width = QFontMetricsF(small).horizontalAdvance(row.tag) + 1
        tag_colour = mark_colour(row.mark, theme) if row.mark is Mark.STOP else theme.muted
        if row.mark is Mark.STOP:
            paint_mark(painter, QRectF(right - tag_width - 19, top + 2, 15, 15), row.mark, theme)
        _write(painter, QRectF(right - tag_width, top, tag_width, 19), row.tag, small, tag_colour)
        room = right - tag_width - left - (27 if row.mark is Mark.STOP else 8)
        _write(painter, QRectF(left, top, room, 19), row.name, name_font, theme.text)
        _write(painter, QRectF(left, top + 20, right - left, 18), row.line, small, theme.muted)


def _write(painter: QPainter, box: QRectF, text: str, font: QFont, colour: str) -> None:
    shown = QFontMetricsF(font).elidedText(text, Qt.TextElideMode.ElideRight, box.width())
    painter.setFont(font)
    painter.setPen(QColor(colour))
    painter.drawText(box, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, shown)
