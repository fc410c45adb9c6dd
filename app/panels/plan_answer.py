"""The cheapest plan: sought on request, then its sheets with how full each is, its cost and its proof."""

from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QFileDialog,
    QGridLayout,
    QHBoxLayout,
    QProgressBar,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.panels.job_words import counted, on_order, percent
from app.panels.plan_questions import PlanQuestions
from app.panels.plan_words import (
    caution_words,
    contents_words,
    cost_words,
    sheet_letter,
    tier_words,
)
from app.panels.table_model import Cell, TableModel
from app.plan_reports import floor_words, fullness, room_words
from app.planning import USUAL_DESIGNS, Planning, Worked
from app.widgets.labels import capital, label
from app.widgets.quiet import QuietSpin
from app.widgets.seen import WhenSeen
from app.widgets.table import Table
from app.wiring import Workbench
from layout_core.errors import SaveError
from layout_core.plan.money import written
from layout_core.plan.problem import MOST_TEMPLATES

_ORDER_HEADS = ("Order", "Garments", "Sheets", "Cost", "Price", "Each", "Sheets paid from")
_PIECE_HEADS = ("Piece", "Made", "Ordered", "Spare")


class PlanAnswer(WhenSeen, QWidget):
    """Asks for the cheapest plan, shows it, lays it out and saves the quotes of its orders."""

    said = Signal(str)
    refused = Signal(str)

    def __init__(self, bench: Workbench, planning: Planning, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self._planning = planning
        self.work_out = QPushButton("Work out the plan")
        self.work_out.setProperty("look", "tonal")
        self.stop = QPushButton("Stop planning")
        self.designs = QuietSpin("At most so many designs of sheet", 1, MOST_TEMPLATES)
        self.designs.setValue(USUAL_DESIGNS)
        self.lay_out = QPushButton("Lay this plan out")
        self.lay_out.setProperty("look", "primary")
        self.quotes = QPushButton("Save quotes…")
        self.cost, self.floor = label("", "strong", wraps=True), label("", wraps=True)
        self.tiers, self.cautions = label("", "muted", wraps=True), label("", "caution", wraps=True)
        self.questions = PlanQuestions(planning)
        self.bars: list[QProgressBar] = []
        self._bar_box = QWidget()
        self.pieces = TableModel(_PIECE_HEADS, figures=(1, 2, 3), parent=self)
        self.orders = TableModel(_ORDER_HEADS, figures=(1, 2, 3, 4, 5, 6), parent=self)
        self.order_table = Table("What each order costs and pays", self.orders)
        self._found = QWidget()
        self._lay_out()
        self._connect()
        self.refresh()

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(10)
        head = QHBoxLayout()
        head.setSpacing(10)
        column.addWidget(label("Cheapest plan", "title"))
        caption = label("&Designs at most", "muted")
        caption.setBuddy(self.designs)
        for widget in (caption, self.designs, self.work_out, self.stop):
            head.addWidget(widget)
        head.addStretch(1)
        column.addLayout(head)
        found = self._found_column = QVBoxLayout(self._found)
        found.setContentsMargins(0, 0, 0, 0)
        found.setSpacing(10)
        for words in (self.cost, self.floor):
            found.addWidget(words)
        found.addWidget(self._bar_box)
        for words in (self.tiers, self.cautions):
            found.addWidget(words)
        buttons = QHBoxLayout()
        buttons.setSpacing(10)
        buttons.addWidget(self.lay_out)
        buttons.addWidget(self.quotes)
        buttons.addStretch(1)
        found.addLayout(buttons)
        found.addWidget(self.questions)
        found.addWidget(Table("What the plan yields", self.pieces))
        found.addWidget(self.order_table)
        column.addWidget(self._found)

    def _connect(self) -> None:
        self.work_out.clicked.connect(
            lambda: self._planning.start(self.designs.value(), self._bench.settings.pack_wish)
        )
        self.stop.clicked.connect(self._planning.stop)
        self.lay_out.clicked.connect(self._planning.lay_out)
        self.quotes.clicked.connect(self._ask_and_save)
        self.questions.said.connect(self.said)
        self.questions.refused.connect(self.refused)
        self._planning.changed.connect(self.follow)
        self._planning.running_changed.connect(self.follow)
        self._bench.document.job_changed.connect(self.follow)
        self._bench.settings.changed.connect(self.follow)

    def refresh(self) -> None:
        is_running, worked = self._planning.is_running, self._planning.worked
        job = self._bench.document.job
        had_focus = self.work_out.hasFocus() or self.stop.hasFocus()
        self.work_out.setVisible(not is_running)
        self.work_out.setEnabled(any(on_order(job, piece.piece_id) for piece in job.pieces))
        self.stop.setVisible(is_running)
        if had_focus:
            (self.stop if is_running else self.work_out).setFocus()
        self._found.setVisible(worked is not None)
        self.questions.show_state()
        if worked is not None:
            self._show(worked)

    def _show(self, worked: Worked) -> None:
        is_current, currency = self._planning.is_current, worked.prices.currency
        self.cost.setText(cost_words(worked))
        self.floor.setText(floor_words(worked.plan, worked.prices))
        for words, sentences in (
            (self.tiers, tier_words(worked)),
            (self.cautions, caution_words(worked, is_current, self._bench.settings.pack_wish)),
        ):
            words.setText("\n".join(sentences))
            words.setVisible(bool(sentences))
        self._show_bars(worked)
        self.lay_out.setEnabled(is_current)
        self.quotes.setEnabled(is_current and bool(worked.orders))
        self.pieces.show_rows(
            [
                (Cell(one.name), *(Cell(f"{n:,}", True) for n in (one.made, one.ordered, one.spares)))
                for one in worked.plan.pieces
            ]
        )
        self.orders.show_rows(
            [
                (
                    Cell(one.name),
                    Cell(f"{one.garments:,}", True),
                    *(
                        Cell(written(amount, currency), True)
                        for amount in (one.sheets, one.cost, one.total, one.each)
                    ),
                    Cell("never" if one.break_even is None else f"{one.break_even:,}", True),
                )
                for one in worked.orders
            ]
        )
        self.order_table.setVisible(bool(worked.orders))

    def _show_bars(self, worked: Worked) -> None:
        """A line a sheet: its letter and run, a bar of how full it is, its price and what lies on it."""
        fresh = QWidget()
        grid = QGridLayout(fresh)
        grid.setContentsMargins(0, 4, 0, 4)
        grid.setHorizontalSpacing(14)
        grid.setColumnStretch(1, 1)
        self.bars = []
        for row, sheet in enumerate(worked.plan.sheets):
            name, used = f"Sheet {sheet_letter(row)}", fullness(worked.job, worked.plan, sheet)
            bar = QProgressBar()
            bar.setRange(0, 100)
            bar.setValue(round(used * 100))
            bar.setTextVisible(False)
            bar.setMinimumWidth(80)
            bar.setAccessibleName(f"{name}, used")
            self.bars.append(bar)
            cost = f"{written(sheet.each, worked.prices.currency)} each"
            words = f"{contents_words(worked, sheet)}. {capital(room_words(worked.job, worked.rooms[row]))}."
            load = label(words, "muted", wraps=True)
            grid.addWidget(label(f"{name} · {sheet.run} ×", "strong"), 2 * row, 0)
            grid.addWidget(bar, 2 * row, 1, Qt.AlignmentFlag.AlignVCenter)
            grid.addWidget(label(f"{percent(used)} used · {cost}"), 2 * row, 2)
            grid.addWidget(load, 2 * row + 1, 0, 1, 3)
        self._found_column.replaceWidget(self._bar_box, fresh)
        self._bar_box.hide()  # until it is deleted it would still be drawn
        self._bar_box.deleteLater()
        self._bar_box = fresh

    def _ask_and_save(self) -> None:
        path = self._bench.document.path
        start = path.parent if path is not None else Path(self._bench.settings.choices.last_folder or ".")
        name = QFileDialog.getExistingDirectory(self, "Folder for the quotes", str(start))
        if name:
            self.save_quotes(Path(name))

    def save_quotes(self, folder: Path) -> None:
        """Save the quote of each order, PDF and CSV, into the folder."""
        try:
            files = self._planning.save_quotes(folder)
        except SaveError as error:
            self.refused.emit(str(error))
            return
        self.said.emit(f"Saved {counted(len(files), 'file')} of quotes in {folder.name}.")
