"""The stations rail: five equal cards in the order of the job, each with its state and its telling figure."""

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFocusEvent,
    QFontMetricsF,
    QKeyEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import QAbstractButton, QHBoxLayout, QSizePolicy, QWidget

from app.theme import ui_font
from app.tokens import Theme
from app.widgets.marks import Mark, paint_mark
from app.widgets.plain_tip import plain_tip
from app.widgets.themed import Themed

FIGURES_FROM_PX = 1100
NAMES_FROM_PX = 620
HEIGHT_PX = 56
_KEY_FOCUS = (
    Qt.FocusReason.TabFocusReason,
    Qt.FocusReason.BacktabFocusReason,
    Qt.FocusReason.ShortcutFocusReason,
)


@dataclass(frozen=True, slots=True)
class Station:
    """One card: its key, its name, its state and its one telling figure."""

    key: str
    name: str
    mark: Mark
    figure: str


class StationCard(Themed, QAbstractButton):
    """One station; checked while it is the one in view."""

    def __init__(self, station: Station, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.theme = theme
        self.shows_figure = True
        self.shows_name = True
        self._shows_focus = False
        self.setCheckable(True)
        self.setFixedHeight(HEIGHT_PX)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)
        self.set_station(station)

    @property
    def station(self) -> Station:
        return self._station

    def set_station(self, station: Station) -> None:
        self._station = station
        self.setText(station.name)
        self.setAccessibleName(f"{station.name}: {station.figure}")
        self.setAccessibleDescription(station.mark.value)
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(200, HEIGHT_PX)

    def minimumSizeHint(self) -> QSize:
        return QSize(52, HEIGHT_PX)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self._shows_focus = event.reason() in _KEY_FOCUS

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self._shows_focus = False

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._paint_ground(painter)
        side = 20.0
        left = 16.0 if self.shows_name else (self.width() - side) / 2
        middle = (self.height() - side) / 2
        paint_mark(painter, QRectF(left, middle, side, side), self._station.mark, self.theme)
        if self.shows_name:
            self._paint_words(painter, left + side + 12)
        painter.end()

    def _paint_ground(self, painter: QPainter) -> None:
        theme = self.theme
        edge = QColor(theme.accent if self.isChecked() else theme.line)
        ground = theme.raised if self.isChecked() or self.underMouse() or self.isDown() else theme.panel
        width = 1.5 if self.isChecked() else 1.0
        inset = width / 2
        box = QRectF(self.rect()).adjusted(inset, inset, -inset, -inset)
        painter.setPen(QPen(edge, width))
        painter.setBrush(QColor(ground))
        painter.drawRoundedRect(box, 8, 8)
        if self._shows_focus:
            painter.setPen(QPen(QColor(theme.text), 2.0))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(box.adjusted(3, 3, -3, -3), 6, 6)

    def _paint_words(self, painter: QPainter, left: float) -> None:
        room = self.width() - left - 12
        name_font, figure_font = ui_font(14, 600), ui_font(12, 400)
        name_height, figure_height = QFontMetricsF(name_font).height(), QFontMetricsF(figure_font).height()
        total = name_height + (figure_height + 1 if self.shows_figure else 0)
        top = (self.height() - total) / 2
        painter.setFont(name_font)
        painter.setPen(QColor(self.theme.text))
        _line_of_text(painter, QRectF(left, top, room, name_height), self._station.name)
        if self.shows_figure:
            painter.setFont(figure_font)
            painter.setPen(QColor(self.theme.muted))
            below = QRectF(left, top + name_height + 1, room, figure_height)
            _line_of_text(painter, below, self._station.figure)


def _line_of_text(painter: QPainter, box: QRectF, text: str) -> None:
    shown = painter.fontMetrics().elidedText(text, Qt.TextElideMode.ElideRight, int(box.width()))
    painter.drawText(box, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, shown)


class StationsRail(QWidget):
    """Five equal cards; one is in view. Figures give way first when it gets narrow, then names."""

    chosen = Signal(str)

    def __init__(self, stations: Sequence[Station], theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Stations of the job")
        self._cards: dict[str, StationCard] = {}
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(8)
        for station in stations:
            card = StationCard(station, theme, self)
            card.clicked.connect(lambda _checked=False, key=station.key: self.choose(key))
            self._cards[station.key] = card
            row.addWidget(card, 1)
        self.in_view = stations[0].key
        self._cards[self.in_view].setChecked(True)

    def card(self, key: str) -> StationCard:
        return self._cards[key]

    def set_station(self, station: Station) -> None:
        card = self._cards[station.key]
        if card.station != station:
            card.set_station(station)
            card.setToolTip(plain_tip(f"{station.name}: {station.figure}"))

    def choose(self, key: str) -> None:
        """Bring a station into view; `chosen` tells it, also when it was in view already."""
        self.in_view = key
        for name, card in self._cards.items():
            card.setChecked(name == key)
        self.chosen.emit(key)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = {Qt.Key.Key_Right: 1, Qt.Key.Key_Left: -1}.get(Qt.Key(event.key()))
        cards = list(self._cards.values())
        focused = next((i for i, card in enumerate(cards) if card.hasFocus()), None)
        if step is None or focused is None:
            super().keyPressEvent(event)
            return
        cards[(focused + step) % len(cards)].setFocus(Qt.FocusReason.TabFocusReason)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        for card in self._cards.values():
            card.shows_figure = self.width() >= FIGURES_FROM_PX - 32
            card.shows_name = self.width() >= NAMES_FROM_PX
            card.update()
