"""Paints the parts of the lights-out strip; each state has its own pattern and word beside its colour."""

from collections.abc import Callable, Sequence

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFont, QFontMetricsF, QPainter, QPen, QPolygonF

from app.glow_watch import Floats, PieceGlow
from app.panels.lights_scale import DISTANCE_TICKS, MINUTE_TICKS, StripScale
from app.panels.seen_words import state_word
from app.theme import measure_font, ui_font
from app.tokens import Theme
from app.viewing import Viewing, minutes_words
from layout_core.glow.visibility import shown_m
from layout_core.job.lighting import Promise

_TICK_PX, _WORD_PX = 11.0, 12.0
_ROW_PX, _LEAST_ROW_PX = 18.0, 13.0
_FLAG = QRectF(-32, -9, 64, 18)
_PLACES = (0.42, 0.28, 0.58, 0.14, 0.74, 0.88)
_FINE = 400
"""Moments along the axis that curves and bands are drawn through."""
_AMONG = Qt.AlignmentFlag.AlignCenter


class ChartPainter:
    """Draws on one scale in one theme; call the parts from the ground up."""

    def __init__(self, painter: QPainter, scale: StripScale, theme: Theme, viewing: Viewing) -> None:
        self._painter = painter
        self._scale = scale
        self._theme = theme
        self._viewing = viewing
        self._taken = QRectF()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)

    def ground(self) -> None:
        """The field, its grid and the figures along it."""
        painter, scale, theme = self._painter, self._scale, self._theme
        painter.fillRect(scale.box, QColor(theme.matte))
        painter.setFont(measure_font(_TICK_PX, 500))
        words = QFontMetricsF(painter.font())
        last = -np.inf
        for tick in (tick for tick in MINUTE_TICKS if tick <= scale.most_minutes):
            x = round(scale.x(tick)) + 0.5
            painter.setPen(QPen(QColor(theme.line), 1))
            painter.drawLine(QPointF(x, scale.box.top()), QPointF(x, scale.box.bottom()))
            text = minutes_words(tick)
            width = words.horizontalAdvance(text)
            left = min(x - width / 2, scale.box.right() + 14 - width)
            if left > last + 8:
                painter.setPen(QColor(theme.muted))
                painter.drawText(QPointF(left, scale.box.bottom() + 14), text)
                last = left + width
        for tick in DISTANCE_TICKS:
            y = round(scale.y(tick)) + 0.5
            painter.setPen(QPen(QColor(theme.line), 1))
            painter.drawLine(QPointF(scale.box.left(), y), QPointF(scale.box.right(), y))
            painter.setPen(QColor(theme.muted))
            box = QRectF(0, y - 8, scale.box.left() - 8, 16)
            painter.drawText(box, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, f"{tick:g} m")

    def field(self, glow: PieceGlow) -> None:
        """The whole field of one piece: it reads below the full line, is a shape below the dashed one."""
        painter, scale, theme = self._painter, self._scale, self._theme
        minutes = self._moments()
        reads, shape = (
            [QPointF(scale.x(float(t)), scale.y(float(d))) for t, d in zip(minutes, far, strict=True)]
            for far in (glow.reads_at(minutes), glow.shape_at(minutes))
        )
        foot = [QPointF(scale.box.right(), scale.box.bottom()), scale.box.bottomLeft()]
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self._hatch())
        painter.drawPolygon(QPolygonF([*shape, *reversed(reads)]))
        painter.setBrush(QColor(theme.accent_fill))
        painter.drawPolygon(QPolygonF([*reads, *foot]))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(QColor(theme.accent), 2.0))
        painter.drawPolyline(QPolygonF(reads))
        painter.setPen(QPen(QColor(theme.accent), 1.5, Qt.PenStyle.DashLine))
        painter.drawPolyline(QPolygonF(shape))
        top = [QPointF(point.x(), scale.box.top()) for point in reads]
        bottom = [QPointF(point.x(), scale.box.bottom()) for point in reads]
        for word, above, below in (
            ("reads", reads, bottom),
            ("seen as a shape", shape, reads),
            ("gone", top, shape),
        ):
            self._word_between(word, above, below)

    def keep_free(self, promise: Promise) -> None:
        """Words of the field keep clear of the promise's own."""
        self._taken = self._promise_plate(promise)

    def _promise_plate(self, promise: Promise) -> QRectF:
        scale, font = self._scale, ui_font(_TICK_PX, 600)
        at = QPointF(scale.x(promise.minutes), scale.y(promise.distance_m))
        width = QFontMetricsF(font).horizontalAdvance("promised") + 12
        side = 12 if at.x() + width + 14 < scale.box.right() else -12 - width
        return QRectF(at.x() + side, at.y() - 24, width, 16)

    def _word_between(self, word: str, above: Sequence[QPointF], below: Sequence[QPointF]) -> None:
        """The word where the band is high enough for it, away from the cursor."""
        font = ui_font(_WORD_PX, 600)
        width = QFontMetricsF(font).horizontalAdvance(word) + 14
        cursor_x = self._scale.x(self._viewing.minutes)
        line_y = self._scale.y(self._viewing.distance_m)
        for share in _PLACES:
            at = int(share * (len(above) - 1))
            x, room = above[at].x(), below[at].y() - above[at].y()
            y = (above[at].y() + below[at].y()) / 2
            is_free = abs(x - cursor_x) > width / 2 + 6 and abs(y - line_y) > 12
            plate = QRectF(x - width / 2, y - 9, width, 18)
            if room >= 22 and is_free and not plate.adjusted(-2, -2, 2, 2).intersects(self._taken):
                self._plate(plate, word, font)
                return

    def rows(self, pieces: Sequence[tuple[str, PieceGlow]]) -> None:
        """One thin band a piece at the distance: full while it reads, hatched while it is a shape."""
        painter, box = self._painter, self._scale.box
        painter.fillRect(box, QColor(self._theme.matte))
        most = max(1, int(box.height() // _LEAST_ROW_PX))
        shown = pieces if len(pieces) <= most else pieces[: most - 1]
        high = min(_ROW_PX, box.height() / max(len(shown) + (len(pieces) > len(shown)), 1))
        for number, (name, glow) in enumerate(shown):
            self._row(QRectF(box.left(), box.top() + number * high, box.width(), high), name, glow)
        if len(pieces) > len(shown):
            painter.setFont(ui_font(_TICK_PX, 500))
            painter.setPen(QColor(self._theme.muted))
            last = QRectF(box.left() + 8, box.top() + len(shown) * high, box.width() - 16, high)
            words = f"and {len(pieces) - len(shown)} more: the table lists them all"
            painter.drawText(last, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, words)

    def _row(self, row: QRectF, name: str, glow: PieceGlow) -> None:
        painter, scale, theme = self._painter, self._scale, self._theme
        bar = row.adjusted(0, 1, 0, -1)
        for brush, spans in (
            (self._hatch(), self._spans(glow.shape_at)),
            (QBrush(QColor(theme.accent_fill)), self._spans(glow.reads_at)),
        ):
            for left, right in spans:
                span = QRectF(left, bar.top(), right - left, bar.height())
                painter.fillRect(span, QColor(theme.matte))
                painter.fillRect(span, brush)
                if right < scale.box.right() - 1:
                    painter.setPen(QPen(QColor(theme.accent), 1.5))
                    painter.drawLine(span.topRight(), span.bottomRight())
        font = ui_font(_TICK_PX, 600)
        state = state_word(glow, self._viewing.minutes, self._viewing.distance_m)
        text = f"{name} · {state}"
        width = min(QFontMetricsF(font).horizontalAdvance(text) + 12, scale.box.width() * 0.5)
        high = min(bar.height(), 15.0)
        plate = QRectF(bar.left() + 6, bar.center().y() - high / 2, width, high)
        self._plate(plate, text, font)

    def _moments(self) -> Floats:
        return np.expm1(np.linspace(0.0, np.log1p(self._scale.most_minutes), _FINE))

    def _spans(self, reach_at: Callable[[Floats], Floats]) -> list[tuple[float, float]]:
        """Where along the axis (px) it reaches the distance in force: the eye may need minutes to adapt."""
        scale, fine = self._scale, self._moments()
        is_in = reach_at(fine) >= self._viewing.distance_m
        edges = np.flatnonzero(np.diff(np.concatenate([[False], is_in, [False]]).astype(int)))
        ends = [(fine[a], fine[min(b, len(fine) - 1)]) for a, b in zip(edges[::2], edges[1::2], strict=True)]
        return [(scale.x(float(a)), scale.x(float(b))) for a, b in ends]

    def promise(self, promise: Promise, *, is_placed: bool) -> None:
        """A diamond where the job's promise lies; on the axis where there are no distances."""
        painter, scale = self._painter, self._scale
        y = scale.y(promise.distance_m) if is_placed else scale.box.bottom() - 8
        at = QPointF(scale.x(promise.minutes), y)
        corners = [at + QPointF(0, -7), at + QPointF(7, 0), at + QPointF(0, 7), at + QPointF(-7, 0)]
        painter.setPen(QPen(QColor(self._theme.casing), 3.5))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPolygon(QPolygonF(corners))
        painter.setPen(QPen(QColor(self._theme.caution), 2.0))
        painter.drawPolygon(QPolygonF(corners))
        if is_placed:
            self._plate(self._promise_plate(promise), "promised", ui_font(_TICK_PX, 600))

    def cursor(self, *, has_line: bool) -> None:
        """The time cursor and the distance line with their figures."""
        painter, scale, theme = self._painter, self._scale, self._theme
        x, y = scale.x(self._viewing.minutes), scale.y(self._viewing.distance_m)
        lines = [(QPointF(x, scale.box.top() - 2), QPointF(x, scale.box.bottom()))]
        if has_line:
            lines.append((QPointF(scale.box.left(), y), QPointF(scale.box.right(), y)))
        for colour, width in ((theme.casing, 4.0), (theme.text, 1.75)):
            painter.setPen(QPen(QColor(colour), width))
            for start, end in lines:
                painter.drawLine(start, end)
        if has_line:
            painter.setPen(QPen(QColor(theme.casing), 1.5))
            painter.setBrush(QColor(theme.text))
            painter.drawEllipse(QPointF(x, y), 4.5, 4.5)
        left = min(max(x, scale.box.left() + 32), scale.box.right() - 18)
        self._flag(_FLAG.translated(left, scale.box.top() - 10), minutes_words(self._viewing.minutes))
        flag = QRectF(2, y - 9, scale.box.left() - 6, 18)
        self._flag(flag, shown_m(self._viewing.distance_m))

    def focus(self, box: QRectF) -> None:
        self._painter.setBrush(Qt.BrushStyle.NoBrush)
        self._painter.setPen(QPen(QColor(self._theme.accent), 2.0))
        self._painter.drawRoundedRect(box.adjusted(1, 1, -1, -1), 6, 6)

    def _flag(self, box: QRectF, text: str) -> None:
        painter, theme = self._painter, self._theme
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(theme.text))
        painter.drawRoundedRect(box, 5, 5)
        painter.setFont(measure_font(_TICK_PX, 700))
        painter.setPen(QColor(theme.back))
        painter.drawText(box, _AMONG, text)

    def _plate(self, box: QRectF, text: str, font: QFont) -> None:
        painter, theme = self._painter, self._theme
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(theme.panel))
        painter.drawRoundedRect(box, 5, 5)
        painter.setFont(font)
        painter.setPen(QColor(theme.text))
        shown = painter.fontMetrics().elidedText(text, Qt.TextElideMode.ElideRight, int(box.width() - 8))
        painter.drawText(box, _AMONG, shown)

    def _hatch(self) -> QBrush:
        colour = QColor(self._theme.accent)
        colour.setAlphaF(0.55)
        return QBrush(colour, Qt.BrushStyle.BDiagPattern)
