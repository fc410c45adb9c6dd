"""The main window: joins the stations, the sheets, the panels, the menus and the messages."""

from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtGui import QCloseEvent, QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QHBoxLayout, QMainWindow, QSplitter, QStackedWidget, QVBoxLayout, QWidget

from app.actions import Actions
from app.canvas.view import SheetView
from app.clipboard import can_take
from app.job_files import JobFiles
from app.menus import Menus, alt_number
from app.messages import Message
from app.panels.art_and_pieces import WIDTH_PX as LEFT_PX
from app.panels.art_and_pieces import ArtAndPieces
from app.panels.art_page import ArtPage
from app.panels.current_sheet import CurrentSheet
from app.panels.lights_out import LightsOut
from app.panels.plan_panel import PlanPanel
from app.panels.proof_maker import ProofMaker
from app.panels.proof_view import ProofView
from app.panels.right_side import WIDTH_PX as RIGHT_PX
from app.panels.right_side import RightSide
from app.panels.start_strip import StartStrip
from app.panels.station_figures import STATIONS, stations
from app.panels.status_line import StatusLine
from app.panels.tools_row import ToolsRow
from app.panels.top_line import TopLine
from app.recovery import Recovery
from app.widgets.marks import Mark
from app.widgets.notice_bar import NoticeBar
from app.widgets.stations_rail import StationsRail
from app.widgets.style import window_style
from app.widgets.themed import hand_down
from app.window_deeds import WindowDeeds
from app.window_state import bring_back, keep_state
from app.wiring import Workbench
from layout_core.checks.findings import Finding

_MARKS = {"note": Mark.NOTE, "caution": Mark.CAUTION, "stop": Mark.STOP}
_ACTION_OF = {
    "art": "station_art",
    "sheets": "station_sheets",
    "findings": "station_findings",
    "plan": "station_plan",
    "hand-off": "station_handoff",
}


class MainWindow(QMainWindow):
    """One window round one workbench; everything it shows follows the job."""

    def __init__(self, bench: Workbench) -> None:
        super().__init__()
        self.bench = bench
        self._tells_refusal = False
        self.setAcceptDrops(True)
        self.resize(1440, 900)
        self.actions_by_name = Actions(bench, self)
        self.files = JobFiles(bench, self)
        self.current = CurrentSheet(bench.document, bench.selection, self)
        self.maker = ProofMaker(bench, self)
        self._make_parts()
        self._lay_out()
        self.deeds = WindowDeeds(self)
        self.recovery = Recovery(bench, self.offer)
        self._join()
        bring_back(self, self.splitters, bench.settings)
        self._dress()
        self._show_state()
        self.go_to("sheets")
        self.view.zoom_to_fit()
        if self.right.piece.table_fault is not None:
            bench.notices.tell_error(self.right.piece.table_fault, "reading the placements")
        self.recovery.offer()
        self.view.setFocus()

    def _make_parts(self) -> None:
        bench = self.bench
        self.menus = Menus(self.actions_by_name, bench.settings, self.files)
        self.top_line = TopLine(bench, self.menus)
        self.rail = StationsRail(stations(bench.document.job, ()), bench.theme)
        self.notice = NoticeBar(bench.theme)
        self.offer = NoticeBar(bench.theme)
        self.left = ArtAndPieces(bench)
        self.view = SheetView(bench)
        self.view.viewport().setAccessibleName("Sheets")
        self.tools = ToolsRow(self.actions_by_name, bench.packing, bench.viewing)
        self.lights_out = LightsOut(bench)
        self.start_strip = StartStrip(bench)
        self.art_page = ArtPage(bench)
        self.plan = PlanPanel(bench)
        self.proof = ProofView(bench, self.maker)
        self.right = RightSide(bench, self.current, self.maker)
        self.status = StatusLine(bench)

    def _lay_out(self) -> None:
        self.middle = QStackedWidget()
        self.work = QWidget()
        work = QVBoxLayout(self.work)
        work.setContentsMargins(0, 0, 0, 0)
        work.setSpacing(0)
        work.addWidget(self.tools)
        work.addWidget(self.start_strip)
        work.addWidget(self.view, 1)
        work.addWidget(self.lights_out)
        for page in (self.art_page, self.work, self.plan, self.proof):
            self.middle.addWidget(page)
        self.middle.setMinimumWidth(426)
        self.splitter = QSplitter(Qt.Orientation.Horizontal)
        self.splitter.setObjectName("main")
        for widget in (self.left, self.middle, self.right):
            self.splitter.addWidget(widget)
        self.splitter.setStretchFactor(1, 1)
        self.splitter.setCollapsible(1, False)
        self.splitter.setSizes([LEFT_PX, self.width() - LEFT_PX - RIGHT_PX, RIGHT_PX])
        self.splitters = (self.splitter, self.art_page.splitter)
        ground = QWidget()
        ground.setProperty("look", "ground")
        column = QVBoxLayout(ground)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.top_line)
        rail_row = QHBoxLayout()
        rail_row.setContentsMargins(16, 8, 16, 12)
        rail_row.addWidget(self.rail)
        column.addLayout(rail_row)
        column.addWidget(self.offer)
        column.addWidget(self.notice)
        column.addWidget(self.splitter, 1)
        self.setCentralWidget(ground)
        self.setStatusBar(self.status)

    def _join(self) -> None:
        bench, planning = self.bench, self.plan.planning
        document, checker = bench.document, bench.checker
        for signal in (document.job_changed, checker.findings_changed, checker.busy_changed, self.maker.made,
                       self.maker.saved, document.saved_changed, document.path_changed):  # fmt: skip
            signal.connect(self._show_state)
        document.job_changed.connect(self._drop_old_note)
        document.refused.connect(self._mark_refusal)
        bench.theming.changed.connect(self._dress)
        bench.notices.told.connect(self._tell)
        self.rail.chosen.connect(self._show_station)
        self.left.lay_asked.connect(self.deeds.lay_copy)
        self.left.add_art_asked.connect(self.deeds.add_art)
        self.start_strip.add_art_asked.connect(self.deeds.add_art)
        self.art_page.empty.pressed.connect(self.deeds.add_art)
        self.proof.empty.pressed.connect(self.deeds.make_proof)
        self.start_strip.sample_asked.connect(self.deeds.open_sample)
        self.view.cursor_moved.connect(self.status.show_place)
        self.view.zoom_changed.connect(self.status.show_zoom)
        self.view.files_dropped.connect(self.deeds.take_files)
        self.view.picture_dropped.connect(self.deeds.take_picture)
        self.right.show_asked.connect(self.show_finding)
        for part in (self.right, self.plan, self.art_page.orders):
            part.refused.connect(self._refuse)
        self.maker.failed.connect(lambda error: bench.notices.tell_error(error, "making the proof"))
        self.right.hand_off.said.connect(self._say)
        self.plan.said.connect(self._say)
        self.plan.planning.changed.connect(self._show_state)
        self.maker.priced = lambda: planning.worked if planning.is_current else None
        document.replaced.connect(self._show_other_job)
        for number, station in enumerate(STATIONS, 1):
            action = self.actions_by_name[_ACTION_OF[station]]
            alt_number(action, number)
            self.actions_by_name.on(_ACTION_OF[station], partial(self.go_to, station))

    def go_to(self, station: str) -> None:
        """Bring a station into view."""
        self.rail.choose(station)

    def show_finding(self, finding: Finding) -> None:
        """Go to where a finding is: on its sheet, or on the light table for art that lies on none."""
        job, selection = self.bench.document.job, self.bench.selection
        if finding.placed_ids:
            selection.choose_placed(finding.placed_ids)
        elif finding.piece_id is not None and selection.piece_id != finding.piece_id:
            selection.choose_piece(finding.piece_id)
        on_table = finding.sheet_id is None and (
            self.rail.in_view == "art"
            or (finding.piece_id is not None and not job.copies_placed(finding.piece_id))
        )
        if on_table:
            if self.rail.in_view not in ("art", "findings"):
                self.go_to("art")
            self.middle.setCurrentWidget(self.art_page)
            self.art_page.table.point_at(finding)
            return
        if self.rail.in_view not in ("sheets", "findings"):
            self.go_to("sheets")
        self.middle.setCurrentWidget(self.work)
        if finding.where_mm is not None:
            self.view.show_finding(finding)
            return
        if finding.piece_id is not None:
            placed = [p for sheet in job.sheets for p in sheet.placed if p.piece_id == finding.piece_id]
            selection.choose_placed(one.placed_id for one in placed)
        self.view.zoom_to_chosen()

    def _show_station(self, station: str) -> None:
        focused = self.focusWidget()
        pages = {"art": self.art_page, "plan": self.plan, "hand-off": self.proof}
        self.middle.setCurrentWidget(pages.get(station, self.work))
        self.right.show_station(station)
        if focused is None or not focused.isVisibleTo(self):
            self.rail.card(station).setFocus(Qt.FocusReason.OtherFocusReason)

    def _show_other_job(self) -> None:
        self.maker.forget()
        self.notice.dismiss()
        self.view.zoom_to_fit()

    def _drop_old_note(self) -> None:
        """A note, or what was refused, says nothing any more once the next change was taken."""
        if self.notice.mark is Mark.NOTE or self._tells_refusal:
            self.notice.dismiss()

    def _show_state(self) -> None:
        bench = self.bench
        job = bench.document.job
        shown = stations(
            job,
            bench.checker.findings,
            is_checking=bench.checker.is_busy,
            proofed=self.maker.proofed,
            previewed=None if self.maker.shown is None else self.maker.shown[0],
            prices=self.plan.planning.prices,
        )
        for station in shown:
            self.rail.set_station(station)
        self.setWindowTitle(f"{job.name}[*] · Duskwright")
        self.setWindowModified(bench.document.is_dirty)

    def _dress(self) -> None:
        self.setStyleSheet(window_style(self.bench.theme))
        hand_down(self, self.bench.theme)

    def _mark_refusal(self) -> None:
        self._tells_refusal = True

    def _tell(self, message: Message, grade: str) -> None:
        self._tells_refusal = False
        self.notice.say(_MARKS.get(grade, Mark.NOTE), message.text)

    def _refuse(self, sentence: str) -> None:
        self.bench.notices.tell(Message(sentence, "", ""), "caution")
        self._mark_refusal()

    def _say(self, sentence: str) -> None:
        self.bench.notices.tell(Message(sentence, "", ""))

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        if can_take(event.mimeData()):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        event.acceptProposedAction()
        self.deeds.take_mime(event.mimeData())

    def closeEvent(self, event: QCloseEvent) -> None:
        if not self.files.may_leave():
            event.ignore()
            return
        keep_state(self, self.splitters, self.bench.settings)
        self.bench.tasks.stop_all()
        event.accept()
