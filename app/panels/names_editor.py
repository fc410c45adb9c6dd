"""Names from a list: one piece of lettering for each row, all of one size, each checked."""

from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QPlainTextEdit, QPushButton, QVBoxLayout, QWidget

from app.drafting import Drafting
from app.name_checks import NameChecks, artworks_by_text
from app.panels.draft_view import DraftView
from app.panels.job_words import counted, titled
from app.panels.lettering_fields import LetteringFields, fault_label, show_fault
from app.panels.made_editor import FIELDS_PX
from app.panels.name_rows import CHECK_COLUMN, NameRows
from app.panels.piece_panel import usable_placements
from app.tokens import Theme
from app.widgets.buttons import small_button
from app.widgets.labels import captioned, label
from app.widgets.quiet import QuietCombo
from app.widgets.scrolling import ScrollColumn
from app.widgets.side_by_side import SideBySide
from app.widgets.table import ROW_PX, Table
from app.widgets.themed import Themed
from app.wiring import Workbench
from layout_core.art.lettering import Lettering
from layout_core.errors import NameListError
from layout_core.job.edits_made import add_name_list
from layout_core.job.model import Job
from layout_core.job.name_list import NameList, list_text, read_list_text
from layout_core.units import mm

TEXT = "{name}"
_FIRST_CAP_MM = mm(0.75)
_PLACEMENT = "left chest"
_LEAST_TABLE_PX = 34 + 2 * ROW_PX
_VIEW_PX = 210
LIST_FILTER = "Lists (*.csv *.tsv *.txt)"


class NamesEditor(Themed, QWidget):
    """The list and how its names are set on the left, the rows with their checks on the right."""

    closed = Signal()

    def __init__(self, bench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self.theme = bench.theme
        self.checks = NameChecks(bench.document, bench.tasks, self)
        self.drafting = Drafting(bench.document, bench.tasks, self, finds_smallest=False)
        self.close_button = small_button("Close", "Close without adding names", self.leave)
        self.list, self.text = QPlainTextEdit(), QPlainTextEdit(TEXT)
        self.read_button = small_button("Read a list…", "Read a list of names from a file", self._ask)
        self.list_fault, self.text_fault = fault_label(), fault_label()
        self.setting = LetteringFields(bench)
        self.placement, self.order = QuietCombo("Placement"), QuietCombo("Order")
        self.view = DraftView(bench, self.drafting, "Type or paste names, or read a list, and see them here.")
        self.rows = NameRows(self.checks, bench.theme, bench.settings.unit, self)
        self.table = Table("Names", self.rows, stretched=CHECK_COLUMN, grows=False)
        self.table.setMinimumHeight(_LEAST_TABLE_PX)
        self.said = label("", "body", wraps=True)
        self.stop_button = small_button("Stop", "Stop checking the names", self.checks.stop)
        self.keep_button = QPushButton("Add names")
        self.keep_button.setProperty("look", "primary")
        self._lay_out()
        self._join()
        self._fill_choices()
        self.setting.show_setting(Lettering(TEXT, cap_height_mm=_FIRST_CAP_MM))
        self.show_state()

    @property
    def lettering(self) -> Lettering:
        """How each name is set; {name} and {number} stand for the row's own words."""
        return self.setting.lettering(self.text.toPlainText() or TEXT)

    def begin(self) -> None:
        """Show what was typed last; a list is never lost by closing."""
        self._fill_choices()
        self._follow()

    def leave(self) -> None:
        self.checks.stop()
        self.drafting.want(None)
        self.closed.emit()

    def read_list(self, path: Path) -> None:
        """Put the list of a file into the field, where it can still be changed."""
        try:
            text = read_list_text(path)
        except NameListError as error:
            show_fault(self.list_fault, str(error))
            return
        self.list.setPlainText(text)

    def keep(self) -> None:
        """Add a piece for each good row as one undo step; the rows left out stay in the list."""
        good = self.checks.good()
        if not good or not self._may_keep:
            return
        document, lettering = self._bench.document, self.lettering
        names = NameList("the list", tuple(row for row, _ in good))
        artworks, first_id = artworks_by_text(good), document.job.next_id
        placement, order_id = str(self.placement.currentData()), self.order.currentData()

        def edit(job: Job) -> Job:
            return add_name_list(
                job, names, lettering, placement=placement, order_id=order_id, artworks=artworks
            )

        if document.apply(f"Add {counted(len(good), 'name')}", edit):
            added = {row.row for row in names.rows}
            rest = [row for row in self.checks.rows if row.row not in added]
            self._bench.selection.choose_piece(first_id + 1)
            self.list.setPlainText(list_text(rest) if rest else "")
            if not rest:
                self.leave()

    def set_theme(self, theme: Theme) -> None:
        self.theme = theme
        self.rows.dress(theme, self._bench.settings.unit)

    @property
    def _may_keep(self) -> bool:
        """Every row that would be added must have been looked at."""
        checks = self.checks
        return bool(checks.good()) and (not checks.is_busy or len(checks.good()) >= checks.room)

    def _lay_out(self) -> None:
        for field, name, height_px in ((self.list, "List of names", 130), (self.text, "Each piece says", 54)):
            field.setAccessibleName(name)
            field.setTabChangesFocus(True)
            field.setFixedHeight(height_px)
            field.setLineWrapMode(QPlainTextEdit.LineWrapMode.NoWrap)
        self.list.setPlaceholderText("One name a line, or the columns\nname, number, copies")
        fields = ScrollColumn()
        column = fields.column
        column.addWidget(captioned("Names", self.list))
        column.addWidget(self.read_button, 0, Qt.AlignmentFlag.AlignLeft)
        column.addWidget(self.list_fault)
        column.addWidget(captioned("Each piece says", self.text))
        column.addWidget(self.text_fault)
        column.addWidget(self.setting)
        column.addWidget(captioned("Placement", self.placement))
        column.addWidget(captioned("Order", self.order))
        column.addStretch(1)
        head = QHBoxLayout()
        head.setContentsMargins(16, 12, 16, 10)
        head.addWidget(label("Names from a list", "title"), 1)
        head.addWidget(self.close_button)
        self.setProperty("look", "panel")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(0)
        outer.addLayout(head)
        outer.addWidget(SideBySide(fields, self._right(), FIELDS_PX), 1)

    def _right(self) -> QWidget:
        right = QWidget()
        pane = QVBoxLayout(right)
        pane.setContentsMargins(0, 0, 0, 0)
        pane.setSpacing(0)
        self.view.setMaximumHeight(_VIEW_PX)
        pane.addWidget(self.view, 3)
        middle = QVBoxLayout()
        middle.setContentsMargins(16, 12, 16, 0)
        middle.addWidget(self.table)
        pane.addLayout(middle, 4)
        foot = QHBoxLayout()
        foot.setContentsMargins(16, 10, 16, 12)
        foot.setSpacing(10)
        foot.addWidget(self.said, 1)
        foot.addWidget(self.stop_button)
        foot.addWidget(self.keep_button)
        pane.addLayout(foot)
        return right

    def _join(self) -> None:
        bench = self._bench
        for field in (self.list, self.text):
            field.textChanged.connect(self._follow)
        self.setting.changed.connect(self._follow)
        self.table.selectionModel().currentRowChanged.connect(lambda *_rows: self._preview())
        self.keep_button.clicked.connect(self.keep)
        self.checks.listed.connect(self._choose_first)
        for signal in (self.checks.listed, self.checks.ended):
            signal.connect(self.show_state)
        self.checks.checked.connect(lambda _first, _last: self.show_state())
        self.drafting.changed.connect(self._show_fault)
        bench.settings.changed.connect(self._follow_unit)
        bench.document.job_changed.connect(self.show_state)

    def _fill_choices(self) -> None:
        self.placement.clear()
        for one in usable_placements()[0]:
            self.placement.addItem(titled(one.key), one.key)
        self.placement.setCurrentIndex(max(self.placement.findData(_PLACEMENT), 0))
        self.order.clear()
        self.order.addItem("No order", None)
        for order in self._bench.document.job.orders:
            self.order.addItem(order.name, order.order_id)

    def _follow(self) -> None:
        self.checks.follow(self.list.toPlainText(), self.lettering)
        self._preview()
        self.show_state()

    def _choose_first(self) -> None:
        if self.checks.rows:
            self.table.selectRow(0)
        self._preview()

    def _preview(self) -> None:
        """Show the row in view, as its lettering is set now."""
        row, rows = self.table.currentIndex().row(), self.checks.rows
        if not rows:
            self.drafting.want(None)
            return
        entry = rows[row if 0 <= row < len(rows) else 0]
        lettering = self.lettering
        text = lettering.text.replace("{name}", entry.name).replace("{number}", entry.number)
        self.drafting.want(self.setting.lettering(text))

    def _show_fault(self) -> None:
        fault = self.drafting.fault
        self.setting.show_error(fault)
        is_own = fault is not None and fault.about not in ("font", "bend")
        show_fault(self.text_fault, str(fault) if is_own else "")

    def show_state(self) -> None:
        """Say how far the checks are and what the button would add."""
        checks = self.checks
        show_fault(self.list_fault, checks.fault)
        good, total = len(checks.good()), len(checks.rows)
        faults = [at for at, result in enumerate(checks.results) if result.report is None]
        self.stop_button.setVisible(checks.is_busy and total > 0)
        self.keep_button.setEnabled(self._may_keep)
        whole = good == total
        self.keep_button.setText(
            f"Add {counted(good, 'name')}" if whole else f"Add {good:,} of {counted(total, 'name')}"
        )
        words = [f"{len(checks.results):,} of {counted(total, 'name')} checked"] if total else []
        if faults:
            stay = "stays in the list" if len(faults) == 1 else "stay in the list"
            first = f"row {checks.rows[faults[0]].row}: {checks.results[faults[0]].fault}"
            words.append(f"{len(faults):,} that cannot be set {stay} ({first})")
        if total > checks.room:
            words.append(f"a job takes {checks.room:,} more at a time, and the rest stays in the list")
        self.said.setText("; ".join(words))

    def _follow_unit(self) -> None:
        self.setting.set_unit(self._bench.settings.unit)
        self.rows.dress(self.theme, self._bench.settings.unit)

    def _ask(self) -> None:
        start = self._bench.settings.choices.last_folder or "."
        name, _ = QFileDialog.getOpenFileName(self, "Read a list of names", start, LIST_FILTER)
        if name:
            self.read_list(Path(name))
