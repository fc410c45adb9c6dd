"""The plan station: which sheets are run how often, and what that yields of each piece."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from app.panels.job_words import counted, percent, size_words
from app.panels.plan_answer import PlanAnswer
from app.panels.plan_figures import PlanFigures, PlanRow, plan_figures
from app.panels.sheet_figures import sheet_use
from app.panels.table_model import Cell, TableModel
from app.planning import Planning
from app.widgets.empty_state import EmptyState
from app.widgets.labels import label
from app.widgets.marks import Mark, StateMark
from app.widgets.scrolling import ScrollColumn
from app.widgets.seen import WhenSeen
from app.widgets.table import Table
from app.wiring import Workbench
from layout_core.job.edits import change_sheet
from layout_core.job.model import Sheet
from layout_core.units import write_area, write_length

_SHEET_HEADS = ("Sheet", "Size", "Pieces", "Used", "Run", "Film")
_PIECE_HEADS = ("Piece", "On the sheets", "Made", "Ordered", "Spare")


class PlanPanel(WhenSeen, ScrollColumn):
    """The cheapest plan on request; below it what the job's own sheets yield, their runs edited in place."""

    refused = Signal(str)
    said = Signal(str)

    def __init__(self, bench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self.setProperty("look", "ground")
        self.body.setProperty("look", "ground")
        self.sheets = TableModel(_SHEET_HEADS, figures=(2, 3, 4, 5), parent=self)
        self.pieces = TableModel(_PIECE_HEADS, figures=(1, 2, 3, 4), parent=self)
        self.sheet_table = Table("Sheets and runs", self.sheets)
        self.piece_table = Table("What the runs yield", self.pieces)
        self.summary = label("", "muted", wraps=True)
        self.mark = StateMark(Mark.CHECK, bench.theme)
        self.planning = Planning(bench.document, bench.tasks, bench.notices, self)
        self.answer = PlanAnswer(bench, self.planning)
        self.answer.refused.connect(self.refused)
        self.answer.said.connect(self.said)
        self._filled = QWidget()
        self._empty = EmptyState(
            "Nothing is laid on a sheet yet. Work out the plan, or autopack the sheets and set their runs."
        )
        self._lay_out()
        for signal in (bench.document.job_changed, bench.settings.changed):
            signal.connect(self.follow)
        self.refresh()

    def _lay_out(self) -> None:
        self.column.setContentsMargins(28, 22, 28, 28)
        column = QVBoxLayout(self._filled)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(10)
        column.addWidget(label("On the sheets now", "title"))
        row = QHBoxLayout()
        row.setSpacing(10)
        row.addWidget(self.mark)
        row.addWidget(self.summary, 1)
        column.addLayout(row)
        column.addSpacing(10)
        column.addWidget(label("Sheets and runs", "heading"))
        column.addWidget(self.sheet_table)
        column.addSpacing(14)
        column.addWidget(label("What the runs yield", "heading"))
        column.addWidget(self.piece_table)
        self.column.addWidget(self.answer)
        self.column.addSpacing(14)
        self.column.addWidget(self._filled)
        self.column.addWidget(self._empty)
        self.column.addStretch(1)

    def refresh(self) -> None:
        job = self._bench.document.job
        plan = plan_figures(job)
        self._filled.setVisible(bool(plan.sheet_count))
        self._empty.setVisible(not plan.sheet_count)
        self.sheets.show_rows([self._sheet_row(sheet) for sheet in job.sheets])
        self.pieces.show_rows([_piece_row(row) for row in plan.rows])
        self.summary.setText(self._summary_words(plan))
        trouble = plan.short or plan.below_run
        self.mark.set_mark(Mark.CAUTION if trouble else Mark.CHECK if plan.ordered else Mark.NOTE)

    def _sheet_row(self, sheet: Sheet) -> tuple[Cell, ...]:
        job, unit = self._bench.document.job, self._bench.settings.unit
        return (
            Cell(sheet.name),
            Cell(size_words(sheet.width_mm, sheet.length_mm, unit)),
            Cell(f"{len(sheet.placed):,}", True),
            Cell(percent(sheet_use(job, [sheet]).box), True),
            Cell(
                f"{sheet.run:,}",
                True,
                edit_value=sheet.run,
                take=lambda value: self._set_run(sheet.sheet_id, value),
            ),
            Cell(write_area(sheet.width_mm * sheet.length_mm * sheet.run, unit), True),
        )

    def _set_run(self, sheet_id: int, value: object) -> bool:
        try:
            run = int(str(value))
        except ValueError:
            self.refused.emit(f"“{str(value)[:20]}” is not a run; write a whole number from 1")
            return False
        name = self._bench.document.job.sheet(sheet_id).name
        return self._bench.document.apply(f"Run of {name}", lambda job: change_sheet(job, sheet_id, run=run))

    def _summary_words(self, plan: PlanFigures) -> str:
        unit = self._bench.settings.unit
        words = [
            f"{counted(plan.sheet_count, 'sheet')} to print, {write_length(plan.film_mm, unit)} of film."
        ]
        if plan.short:
            words.append(
                f"{counted(plan.short, 'ordered copy', 'ordered copies')} short: raise a run or lay more."
            )
        elif plan.ordered:
            words.append(f"Every order is covered, with {counted(plan.spare, 'spare')}.")
        else:
            words.append("No order names a piece yet, so every copy is stock.")
        if plan.below_run:
            names = ", ".join(self._bench.document.job.sheet(one).name for one in plan.below_run)
            words.append(
                f"{names}: below the smallest run of {self._bench.document.job.limits.smallest_run}."
            )
        return " ".join(words)


def _piece_row(row: PlanRow) -> tuple[Cell, ...]:
    spare = f"{row.spare:,}" if row.spare >= 0 else f"{-row.spare:,} short"
    return (
        Cell(row.name),
        Cell(f"{row.laid:,}", True),
        Cell(f"{row.made:,}", True),
        Cell(f"{row.ordered:,}" if row.ordered else "stock", True),
        Cell(spare, True),
    )
