"""The canvas widget: shows all sheets of the job on an endless matte and passes on mouse, keys and drops."""

from PySide6.QtCore import QEvent, QPoint, QPointF, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import (
    QDragEnterEvent,
    QDragLeaveEvent,
    QDragMoveEvent,
    QDropEvent,
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QNativeGestureEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QFrame, QGraphicsView, QWidget

from app.canvas.board import Board
from app.canvas.camera import Camera
from app.canvas.cut_layer import CutLayer
from app.canvas.dark_layer import DarkLayer
from app.canvas.drop_target import DropTarget
from app.canvas.findings_layer import FindingsLayer
from app.canvas.frames import show_chosen
from app.canvas.keys import nudge_of
from app.canvas.look import Look, look_in_view
from app.canvas.motion import Beacon, Slides
from app.canvas.nudge import nudge, room_of_chosen
from app.canvas.placed_shapes import PlacedShapes
from app.canvas.pointer import Pointer
from app.canvas.scene import SheetScene
from app.canvas.words import describe_job
from app.canvas.zoom import STEP
from app.wiring import Workbench
from layout_core.checks.findings import Finding
from layout_core.job.model import Job

HINT_MS = 1500
_KEY_FOCUS = (
    Qt.FocusReason.TabFocusReason,
    Qt.FocusReason.BacktabFocusReason,
    Qt.FocusReason.ShortcutFocusReason,
)


class SheetView(QGraphicsView):
    """All sheets of the job.

    `cursor_moved((x_mm, y_mm), sheet_id)` follows the pointer in the frame of the sheet beneath it, with
    (None, None) off every sheet. `zoom_changed(ratio)` is 1.0 at true size. `files_dropped(paths, sheet_id,
    pose)` and `picture_dropped(png, sheet_id, pose)` say what was dropped where: sheet id and pose are None
    off every sheet.
    """

    cursor_moved = Signal(object, object)
    zoom_changed = Signal(float)
    files_dropped = Signal(list, object, object)
    picture_dropped = Signal(bytes, object, object)

    def __init__(self, workbench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._workbench = workbench
        scene = SheetScene(self._look(), workbench.settings.unit)
        self._board = Board(
            scene, PlacedShapes(), workbench.document, workbench.selection, workbench.settings
        )
        self._camera = Camera(self, scene, self.zoom_changed.emit)
        self._dark = DarkLayer(
            scene, self._device_px_per_mm, workbench.document, workbench.viewing, workbench.glow,
            workbench.tasks, self,
        )  # fmt: skip
        self._cuts = CutLayer(scene, workbench.document, workbench.tasks, self)
        self._findings = FindingsLayer(self._board)
        self._pointer = Pointer(self._board, self._camera, self._findings, self.viewport())
        self._drops = DropTarget(self._board, self._camera, workbench.clipboard)
        self._drops.files_dropped.connect(self.files_dropped)
        self._drops.picture_dropped.connect(self.picture_dropped)
        self._slides = Slides(scene, self)
        self._beacon = Beacon(scene.beacon, self)
        self._hint_timer = QTimer(self, singleShot=True, interval=HINT_MS)
        self._hint_timer.timeout.connect(self._board.clear_hints)
        self._shows_focus = False
        self.setScene(scene)
        self._set_up_widget()
        self._join()
        self._mirror(workbench.document.job)
        self.zoom_changed.connect(self._dark.refresh)

    def _set_up_widget(self) -> None:
        self.setAccessibleName("Sheets")
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setTransformationAnchor(QGraphicsView.ViewportAnchor.NoAnchor)
        self.setResizeAnchor(QGraphicsView.ViewportAnchor.NoAnchor)
        self.setRenderHint(QPainter.RenderHint.Antialiasing)
        self.setAcceptDrops(True)
        self.viewport().setMouseTracking(True)
        self.setBackgroundBrush(self._board.scene.look.matte)
        self.setMinimumSize(240, 200)

    def _join(self) -> None:
        bench = self._workbench
        bench.document.job_changed.connect(self._job_changed)
        bench.selection.changed.connect(self._selection_changed)
        bench.settings.changed.connect(self._settings_changed)
        bench.theming.changed.connect(self._show_look)
        bench.viewing.view_changed.connect(self._view_changed)
        bench.checker.findings_changed.connect(self._findings_changed)

    @property
    def sheet_scene(self) -> SheetScene:
        """The scene, for those who draw more on it."""
        return self._board.scene

    @property
    def findings_layer(self) -> FindingsLayer:
        return self._findings

    @property
    def cut_layer(self) -> CutLayer:
        return self._cuts

    @property
    def dark_layer(self) -> DarkLayer:
        return self._dark

    def _device_px_per_mm(self) -> float:
        return self._board.scene.px_per_mm * self.devicePixelRatioF()

    def _look(self) -> Look:
        bench = self._workbench
        return look_in_view(bench.theme, bench.viewing.view, bench.document.job.garment_colour)

    # What the workbench tells

    def _job_changed(self, old: Job, new: Job) -> None:
        self._pointer.cancel()
        self._slides.stop()
        self._hint_timer.stop()
        self._board.clear_hints()
        self._mirror(new)
        if old.garment_colour != new.garment_colour:
            self._show_look()
        self._dark.refresh()

    def _mirror(self, job: Job) -> None:
        scene = self._board.scene
        before = scene.matte
        arrived = scene.show_job(job)
        self._board.shapes.forget_all_but(job)
        self.setAccessibleDescription(describe_job(job))
        if scene.matte != before and self._camera.keeps_fitting:
            self._camera.fit_all()
        self._findings.redraw()
        self._cuts.refresh()
        show_chosen(self._board)
        if len(arrived) > 1 and self.isVisible() and self._workbench.settings.motion:
            self._slides.start(arrived)

    def _selection_changed(self) -> None:
        if not self._pointer.is_busy:
            self._board.clear_hints()
            show_chosen(self._board)

    def _settings_changed(self) -> None:
        if self._workbench.settings.unit == self._board.scene.unit:
            return
        self._board.scene.set_unit(self._workbench.settings.unit)
        self._findings.redraw()
        show_chosen(self._board)

    def _show_look(self) -> None:
        look = self._look()
        self._board.scene.set_look(look)
        self.setBackgroundBrush(look.matte)

    def _view_changed(self) -> None:
        # Marks of findings would outshine what glows; the list still holds them.
        self._findings.set_shown(self._workbench.viewing.view != "dark")
        self._show_look()
        self._dark.refresh()

    def _findings_changed(self) -> None:
        self._findings.show_findings(self._workbench.checker.findings)

    # What the window asks for

    def zoom_to_fit(self) -> None:
        """Bring all sheets into sight."""
        self._camera.fit_all()

    def zoom_to(self, sheet_id: int) -> None:
        """Bring one sheet into sight, as large as it goes."""
        place = self._board.scene.matte.place(sheet_id)
        self._camera.fit(QRectF(place.x_mm, place.y_mm, place.width_mm, place.length_mm))
        self._camera.keeps_fitting = False

    def zoom_to_chosen(self) -> None:
        """Bring what is chosen into sight; all sheets when nothing is."""
        frames = self._board.scene.frames.frames
        box = QRectF()
        for frame in frames:
            box = box.united(frame.polygon.boundingRect())
        if frames:
            self._camera.look_at(box)
        else:
            self._camera.fit_all()

    def zoom_in(self) -> None:
        self._camera.zoom_by(STEP)

    def zoom_out(self) -> None:
        self._camera.zoom_by(1 / STEP)

    def show_finding(self, finding: Finding) -> None:
        """Centre the place of a finding and ring it for a moment; nothing for one that lies on no sheet."""
        found = self._findings.place_of(finding)
        if found is None:
            return
        box, tone = found
        self._camera.look_at(box)
        self._board.scene.beacon.show_at(box, tone)
        self._beacon.start(has_motion=self._workbench.settings.motion)

    def set_findings_shown(self, is_shown: bool) -> None:
        """Draw the findings on the sheets, or leave them to the list."""
        self._findings.set_shown(is_shown)

    def select_all(self) -> None:
        """Choose every placed piece of the job."""
        self._workbench.selection.choose_placed(self._board.scene.piece_items)

    def nudge(self, dx_mm: float, dy_mm: float) -> None:
        """Shift what is chosen, told with the room it has left; shifts in a row are one undo step."""
        if nudge(self._board, dx_mm, dy_mm):
            room_of_chosen(self._board)
            self._hint_timer.start()

    def sheet_in_sight(self) -> int | None:
        """The sheet nearest to the middle of the view, where pasted art belongs."""
        middle = self._camera.to_matte(QPointF(self.viewport().rect().center()))
        place = self._board.scene.matte.nearest(middle.x(), middle.y())
        return None if place is None else place.sheet_id

    # Mouse, wheel and fingers

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self._pointer.press(event)
        event.accept()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        self._pointer.move(event)
        at = self._camera.to_matte(event.position())
        place = self._board.scene.matte.sheet_at(at.x(), at.y())
        if place is None:
            self.cursor_moved.emit(None, None)
        else:
            self.cursor_moved.emit(place.to_sheet(at.x(), at.y()), place.sheet_id)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        self._pointer.release(event)
        event.accept()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        self._pointer.press(event)
        event.accept()

    def leaveEvent(self, event: QEvent) -> None:
        self.cursor_moved.emit(None, None)
        super().leaveEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        turned, shift = event.angleDelta(), event.modifiers() & Qt.KeyboardModifier.ShiftModifier
        if shift:
            self._camera.pan(QPoint(turned.y() or turned.x(), 0))
        else:
            self._camera.turn_wheel(turned.y(), event.position())
        event.accept()

    def viewportEvent(self, event: QEvent) -> bool:
        if (
            isinstance(event, QNativeGestureEvent)
            and event.gestureType() == Qt.NativeGestureType.ZoomNativeGesture
        ):
            self._camera.zoom_by(1.0 + event.value(), event.position())
            return True
        return super().viewportEvent(event)

    # Keys

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            # Keys that mean something here while they do come before the window's own shortcuts.
            is_escape = event.key() == Qt.Key.Key_Escape and self._pointer.is_busy
            if is_escape or event.key() == Qt.Key.Key_Space or nudge_of(event, self._board.scene.unit):
                event.accept()
                return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        shift = nudge_of(event, self._workbench.settings.unit)
        if shift is not None and self._workbench.selection.placed_ids:
            if not self._pointer.is_busy:
                self.nudge(*shift)
        elif event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._hold_space(True)
        elif event.key() == Qt.Key.Key_Escape:
            if not self._pointer.cancel():
                self._workbench.selection.clear()
        elif not self._short_cut(event):
            # Not the base class: it would scroll, or hand the key to the scene.
            event.ignore()
            return
        event.accept()

    def _short_cut(self, event: QKeyEvent) -> bool:
        control = event.modifiers() == Qt.KeyboardModifier.ControlModifier
        plain = event.modifiers() == Qt.KeyboardModifier.NoModifier
        if (control and event.key() == Qt.Key.Key_0) or (plain and event.key() == Qt.Key.Key_F):
            self.zoom_to_fit()
        elif control and event.key() == Qt.Key.Key_A:
            self.select_all()
        elif event.text() in ("+", "="):
            self.zoom_in()
        elif event.text() == "-":
            self.zoom_out()
        else:
            return False
        return True

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._hold_space(False)
            event.accept()
        else:
            event.ignore()

    def _hold_space(self, is_down: bool) -> None:
        self._pointer.space_is_down = is_down
        self._pointer.show_cursor(self.viewport().mapFromGlobal(self.cursor().pos()))

    # Drops

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        self._drops.enter(event)

    def dragMoveEvent(self, event: QDragMoveEvent) -> None:
        self._drops.move(event)

    def dragLeaveEvent(self, event: QDragLeaveEvent) -> None:
        self._drops.leave()

    def dropEvent(self, event: QDropEvent) -> None:
        self._drops.drop(event)

    # The widget itself

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if self._camera.keeps_fitting:
            self._camera.fit_all()

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self._show_focus(event.reason() in _KEY_FOCUS)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self._pointer.cancel()
        self._hold_space(False)
        self._show_focus(False)

    def _show_focus(self, is_shown: bool) -> None:
        if is_shown != self._shows_focus:
            self._shows_focus = is_shown
            self.viewport().update()

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if self._shows_focus:
            painter = QPainter(self.viewport())
            painter.setPen(QPen(self._board.scene.look.accent, 2.0))
            painter.drawRect(QRectF(self.viewport().rect()).adjusted(1, 1, -1, -1))
            painter.end()
