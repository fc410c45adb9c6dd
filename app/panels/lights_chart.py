"""The picture of the lights-out strip: what is seen over time and distance, with the cursor in it."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.glow_watch import PieceGlow
from app.panels.lights_paint import ChartPainter
from app.panels.lights_scale import USUAL_MINUTES, StripScale, distance_stepped, minutes_stepped
from app.panels.seen_words import place_words, reach_words, state_word, tally_words
from app.tokens import Theme
from app.viewing import MOST_MINUTES, Viewing
from app.widgets.themed import Themed
from layout_core.job.lighting import Promise

_GRAB_PX = 12.0
_LEFT_PX, _RIGHT_PX, _TOP_PX, _FOOT_PX = 58.0, 18.0, 20.0, 18.0
Hold = Literal["time", "distance", "both"]


@dataclass(frozen=True, slots=True)
class Band:
    """One piece on the strip."""

    name: str
    glow: PieceGlow


class LightsChart(Themed, QWidget):
    """Bands of the chosen piece over time and distance; without one, a thin band a piece at the distance.

    Arrow keys move the cursor (left and right the minute, up and down the distance; Page keys further; Home
    and End go to lights-out and to the end), and so does the mouse.
    """

    def __init__(self, viewing: Viewing, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.theme = theme
        self._viewing = viewing
        self._bands: tuple[Band, ...] = ()
        self._is_one = False
        self._promise: Promise | None = None
        self._hold: Hold | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumSize(QSize(240, 84))
        self.setAccessibleName("Lights out: minutes and distance")
        self.setToolTip("Drag to another minute or distance; with the keyboard, the arrow keys")
        viewing.moved.connect(self._follow)

    def show_bands(self, bands: Sequence[Band], *, is_one: bool, promise: Promise | None) -> None:
        """These pieces; `is_one` asks for the whole field of distances of the only one."""
        self._bands, self._is_one, self._promise = tuple(bands), is_one, promise
        self._follow()

    @property
    def scale(self) -> StripScale:
        box = QRectF(self.rect()).adjusted(_LEFT_PX, _TOP_PX, -_RIGHT_PX, -_FOOT_PX)
        asked = max(self._viewing.minutes, 0.0 if self._promise is None else self._promise.minutes)
        return StripScale(box, USUAL_MINUTES if asked <= USUAL_MINUTES else MOST_MINUTES)

    @property
    def words(self) -> str:
        """What the cursor says, for eyes and for screen readers."""
        minutes, distance_m = self._viewing.minutes, self._viewing.distance_m
        if not self._bands:
            return place_words(minutes, distance_m).capitalize()
        if not self._is_one:
            tally = tally_words([band.glow for band in self._bands], minutes, distance_m)
            return f"{place_words(minutes, distance_m).capitalize()}: {tally}"
        glow = self._bands[0].glow
        state, (reads, shape) = state_word(glow, minutes, distance_m), reach_words(glow, minutes)
        return (
            f"{self._bands[0].name} {place_words(minutes, distance_m)}: {state}; "
            f"reads to {reads}, seen as a shape to {shape}"
        )

    def _follow(self) -> None:
        self.setAccessibleDescription(self.words)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        drawn = ChartPainter(painter, self.scale, self.theme, self._viewing)
        drawn.ground()
        if self._is_one and self._promise is not None:
            drawn.keep_free(self._promise)
        if self._is_one and self._bands:
            drawn.field(self._bands[0].glow)
        elif self._bands:
            drawn.rows([(band.name, band.glow) for band in self._bands])
        drawn.cursor(has_line=self._is_one or not self._bands)
        if self._promise is not None:
            drawn.promise(self._promise, is_placed=self._is_one)
        if self.hasFocus():
            drawn.focus(QRectF(self.rect()))
        painter.end()

    # Mouse and keys

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() is Qt.MouseButton.LeftButton:
            self._hold = self._what_is_at(event.position())
            self._move_to(event.position())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if self._hold is not None:
            self._move_to(event.position())
            return
        shapes = {
            "time": Qt.CursorShape.SizeHorCursor,
            "distance": Qt.CursorShape.SizeVerCursor,
            "both": Qt.CursorShape.CrossCursor,
        }
        self.setCursor(shapes[self._what_is_at(event.position())])

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        self._hold = None

    def _what_is_at(self, at: QPointF) -> Hold:
        scale = self.scale
        if at.x() < scale.box.left() - _GRAB_PX:
            return "distance"
        if not self._is_one or abs(at.x() - scale.x(self._viewing.minutes)) <= _GRAB_PX / 2:
            return "time"
        return "distance" if abs(at.y() - scale.y(self._viewing.distance_m)) <= _GRAB_PX / 2 else "both"

    def _move_to(self, at: QPointF) -> None:
        scale = self.scale
        self._viewing.move_to(
            minutes=None if self._hold == "distance" else scale.minutes(at.x()),
            distance_m=None if self._hold == "time" else scale.distance_m(at.y()),
        )

    def keyPressEvent(self, event: QKeyEvent) -> None:
        viewing, key = self._viewing, event.key()
        far = 5 if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else 1
        minute_steps = {Qt.Key.Key_Right: far, Qt.Key.Key_Left: -far}
        distance_steps = {
            Qt.Key.Key_Up: far,
            Qt.Key.Key_Down: -far,
            Qt.Key.Key_PageUp: 5,
            Qt.Key.Key_PageDown: -5,
        }
        if key in minute_steps:
            viewing.move_to(minutes=minutes_stepped(viewing.minutes, minute_steps[Qt.Key(key)]))
        elif key in distance_steps:
            viewing.move_to(distance_m=distance_stepped(viewing.distance_m, distance_steps[Qt.Key(key)]))
        elif key == Qt.Key.Key_Home:
            viewing.move_to(minutes=0.0)
        elif key == Qt.Key.Key_End:
            viewing.move_to(minutes=self.scale.most_minutes)
        else:
            event.ignore()
            return
        event.accept()

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.update()
