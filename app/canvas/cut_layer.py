"""The cut lines of the sheets, drawn over them on demand: straight cuts numbered in their order, outlines."""

from dataclasses import dataclass

from PySide6.QtCore import QObject, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QTransform
from PySide6.QtWidgets import QStyleOptionGraphicsItem, QWidget

from app.canvas.look import Look
from app.canvas.overlays import OVERLAY_Z
from app.canvas.paths import path_of
from app.canvas.pixels import PixelItem, pixel_space
from app.canvas.scene import SheetScene
from app.document import Document
from app.tasks import TaskRunner
from layout_core.job.model import Job, Sheet
from layout_core.outputs.cut_plan import CutPlan, StraightCut, cut_plan
from layout_core.progress import Progress, within

LABEL = "Planning the cuts"
CUTS_Z = OVERLAY_Z - 1.0
_NUMBER_PX = 9.0
"""Radius of the disc that a cut's number stands in."""


class CutItem(PixelItem):
    """The cuts of one sheet, in the sheet's frame."""

    def __init__(self, look: Look, plan: CutPlan) -> None:
        super().__init__(look)
        self.setZValue(CUTS_Z)
        self.setAcceptedMouseButtons(Qt.MouseButton.NoButton)
        self.plan = plan
        self._contours = QPainterPath()
        box = QRectF()
        for contour in plan.contours:
            self._contours.addPath(path_of(contour.shape))
        for cut in plan.cuts:
            box = box.united(
                QRectF(*map(_point, cut.ends_mm)).normalized().adjusted(-0.01, -0.01, 0.01, 0.01)
            )
        self._box = box.united(self._contours.boundingRect())

    def boundingRect(self) -> QRectF:
        room = 2 * _NUMBER_PX + 4
        return self.padded(self._box, room, room, room, room)

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        with pixel_space(painter) as to_px:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            outlines = to_px.map(self._contours)
            for pen in self._pens([5, 3]):
                painter.setPen(pen)
                painter.drawPath(outlines)
                for cut in self.plan.cuts:
                    painter.drawLine(*(to_px.map(_point(end)) for end in cut.ends_mm))
            for cut in self.plan.cuts:
                self._paint_number(painter, cut, to_px)

    def _pens(self, dashes: list[float]) -> tuple[QPen, QPen]:
        line = QPen(QColor(self.look.theme.note), 1.75)
        line.setDashPattern(dashes)
        return QPen(self.look.casing, 4.0), line

    def _paint_number(self, painter: QPainter, cut: StraightCut, to_px: QTransform) -> None:
        first, last = (to_px.map(_point(end)) for end in cut.ends_mm)
        along = last - first
        length = max((along.x() ** 2 + along.y() ** 2) ** 0.5, 1e-6)
        centre = first + along * min(0.5, (_NUMBER_PX + 6.0) / length)
        painter.setPen(QPen(QColor(self.look.theme.note), 1.5))
        painter.setBrush(self.look.raised)
        painter.drawEllipse(centre, _NUMBER_PX, _NUMBER_PX)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(self.look.text)
        painter.setFont(self.look.figure_font)
        disc = QRectF(0, 0, 4 * _NUMBER_PX, 2 * _NUMBER_PX)
        disc.moveCenter(centre)
        painter.drawText(disc, Qt.AlignmentFlag.AlignCenter, str(cut.number))


@dataclass(frozen=True, slots=True)
class _Wanted:
    """What the cuts depend on, and the job they are worked out from."""

    job: Job

    @property
    def key(self) -> tuple[object, ...]:
        return self.job.sheets, self.job.pieces, tuple(art.artwork.digest for art in self.job.arts)


class CutLayer(QObject):
    """Shows the cuts while it is switched on; they follow the job, worked out off the GUI thread.

    `changed` follows every new state: switched on or off, or other cuts on the sheets.
    """

    changed = Signal()

    def __init__(
        self, scene: SheetScene, document: Document, tasks: TaskRunner, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._scene = scene
        self._document = document
        self._tasks = tasks
        self._is_shown = False
        self._task_id: int | None = None
        self._drawn: tuple[object, ...] = ()
        self._items: dict[int, CutItem] = {}
        tasks.ended.connect(self._end)

    @property
    def is_shown(self) -> bool:
        return self._is_shown

    @property
    def plans(self) -> tuple[CutPlan, ...]:
        """The cuts on the canvas, in the order of the sheets."""
        return tuple(item.plan for item in self._items.values())

    def set_shown(self, is_shown: bool) -> None:
        """Switch the cut lines on or off."""
        self._is_shown = is_shown
        self.refresh()
        self.changed.emit()

    def refresh(self) -> None:
        """Bring the lines in line with the job; old ones are taken away at once, for they are wrong."""
        wanted = _Wanted(self._document.job)
        if not self._is_shown or wanted.key != self._drawn:
            self._clear()
        if self._is_shown and self._task_id is None and wanted.key != self._drawn:
            self._plan(wanted)

    def _plan(self, wanted: _Wanted) -> None:
        sheets = [sheet for sheet in wanted.job.sheets if len(sheet.placed) > 1]

        def work(progress: Progress) -> dict[int, CutPlan]:
            return {
                sheet.sheet_id: cut_plan(wanted.job, sheet, _share(progress, number, sheets))
                for number, sheet in enumerate(sheets)
            }

        def take(plans: dict[int, CutPlan]) -> None:
            self._task_id = None
            self._show(wanted, plans)

        self._task_id = self._tasks.start(LABEL, work, take, self._fail)

    def _show(self, wanted: _Wanted, plans: dict[int, CutPlan]) -> None:
        if not self._is_shown or wanted.key != _Wanted(self._document.job).key:
            self.refresh()
            return
        self._clear()
        self._drawn = wanted.key
        for sheet_id, plan in plans.items():
            item = self._items[sheet_id] = CutItem(self._scene.look, plan)
            place = self._scene.matte.place(sheet_id)
            item.setPos(place.x_mm, place.y_mm)
            self._scene.add_extra(item)
        self.changed.emit()

    def _clear(self) -> None:
        self._drawn = ()
        for item in self._items.values():
            self._scene.remove_extra(item)
        self._items.clear()

    def _fail(self, error: Exception) -> None:
        self._tasks.went_wrong.emit(LABEL, error)

    def _end(self, task_id: int) -> None:
        # Work that was stopped or broke is not tried again until the job changes.
        if task_id == self._task_id:
            self._task_id = None


def _share(progress: Progress, number: int, sheets: list[Sheet]) -> Progress:
    return within(progress, number / len(sheets), (number + 1) / len(sheets))


def _point(at_mm: tuple[float, float]) -> QPointF:
    return QPointF(*at_mm)
