"""The right panel of one sheet: its size, margin, gap and run, how full it is, and all that lies on it."""

from typing import Any

from PySide6.QtCore import QItemSelection, QItemSelectionModel, Signal
from PySide6.QtWidgets import (
    QAbstractItemView,
    QGridLayout,
    QLabel,
    QLineEdit,
    QListView,
    QVBoxLayout,
    QWidget,
)

from app.panels.current_sheet import CurrentSheet
from app.panels.job_words import counted, percent
from app.panels.pack_wishes import PackWishes
from app.panels.placed_rows import PLACED_ID, PlacedRows
from app.panels.sheet_figures import sheet_use, tightest_mm
from app.widgets.labels import captioned, label, measure_row, set_look
from app.widgets.length_field import LengthField
from app.widgets.quiet import FIELD_PX, QuietCombo, QuietSpin
from app.widgets.scrolling import ScrollColumn
from app.widgets.seen import WhenSeen
from app.wiring import Workbench
from layout_core.job.bounds import LEAST_SHEET_MM, MOST_GAP_MM, MOST_RUN, MOST_SHEET_MM
from layout_core.job.edits import change_sheet
from layout_core.units import write_length, write_number


class SheetPanel(WhenSeen, ScrollColumn):
    """Shows the current sheet and changes it; its list chooses what lies on the sheet."""

    refused = Signal(str)

    def __init__(self, bench: Workbench, current: CurrentSheet, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self._current = current
        self._is_showing = False
        self._make_fields()
        self._lay_out()
        self._connect()
        self.refresh()

    def _make_fields(self) -> None:
        limits = self._bench.document.job.limits
        self.chooser = QuietCombo("Sheet in view")
        self.name = QLineEdit()
        self.name.setFixedHeight(FIELD_PX)
        self.width_field = LengthField("Width", least_mm=LEAST_SHEET_MM, most_mm=MOST_SHEET_MM)
        self.length_field = LengthField(
            "Length", least_mm=limits.sheet_length_least_mm, most_mm=limits.sheet_length_most_mm
        )
        self.margin = LengthField("Margin", most_mm=MOST_GAP_MM)
        self.gap = LengthField("Gap", most_mm=MOST_GAP_MM)
        self.run = QuietSpin("Run", 1, MOST_RUN)
        self.wishes = PackWishes(self._bench, self._current)
        self._values = {name: label("", "measure") for name in ("Boxes", "Ink", "Smallest gap")}
        self.model = PlacedRows(self)
        self.list = QListView()
        self.list.setModel(self.model)
        self.list.setAccessibleName("On this sheet")
        self.list.setUniformItemSizes(True)
        self.list.setMinimumHeight(140)
        self.list.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)

    def _lay_out(self) -> None:
        self.column.addWidget(label("Sheet", "title"))
        self.column.addWidget(self.chooser)
        self.column.addWidget(captioned("&Name", self.name))
        grid = QGridLayout()
        grid.setSpacing(10)
        self.length_holder = captioned("&Length", self.length_field)
        self.length_caption = self.length_holder.findChildren(QLabel)[0]
        places = (
            ("&Width", self.width_field),
            ("", self.length_holder),
            ("&Margin", self.margin),
            ("&Gap between pieces", self.gap),
            ("&Run", self.run),
        )
        for at, (caption, field) in enumerate(places):
            grid.addWidget(captioned(caption, field) if caption else field, at // 2, at % 2)
        self.run_note = label("", "small", wraps=True)
        grid.addWidget(self.run_note, 2, 1)
        grid.setColumnStretch(0, 1)
        grid.setColumnStretch(1, 1)
        self.column.addLayout(grid)
        self.column.addWidget(label("How full it is", "heading"))
        measures = QVBoxLayout()
        measures.setSpacing(6)
        for name, value in self._values.items():
            measures.addLayout(measure_row(name, value))
        self.column.addLayout(measures)
        self.column.addWidget(self.wishes)
        self.list_head = label("", "heading")
        self.column.addWidget(self.list_head)
        self.column.addWidget(self.list, 1)

    def _connect(self) -> None:
        bench = self._bench
        for signal in (
            bench.document.job_changed,
            bench.settings.changed,
            bench.selection.changed,
            bench.checker.findings_changed,
            self._current.changed,
        ):
            signal.connect(self.follow)
        self.chooser.activated.connect(lambda: self._current.choose(self.chooser.currentData()))
        self.name.editingFinished.connect(self._rename)
        self.width_field.committed.connect(lambda mm: self._change("Width", width_mm=mm))
        self.length_field.committed.connect(lambda mm: self._change("Length", length_mm=mm))
        self.margin.committed.connect(lambda mm: self._change("Margin", margin_mm=mm))
        self.gap.committed.connect(lambda mm: self._change("Gap", gap_mm=mm))
        self.run.valueChanged.connect(lambda count: self._change("Run", run=count))
        for field in (self.width_field, self.length_field, self.margin, self.gap):
            field.refused.connect(self.refused)
        self.list.selectionModel().selectionChanged.connect(self._choose)

    def _change(self, what: str, **changes: Any) -> None:
        if self._is_showing:
            return
        sheet = self._current.sheet
        self._bench.document.apply(
            f"{what} of {sheet.name}", lambda job: change_sheet(job, sheet.sheet_id, **changes)
        )
        self.refresh()

    def _rename(self) -> None:
        if self.name.isModified():
            self.name.setModified(False)
            self._change("Name", name=self.name.text())

    def text_of(self, measure: str) -> str:
        """What a measure of "How full it is" says."""
        return self._values[measure].text()

    def refresh(self) -> None:
        """Bring every field in line with the current sheet, without telling anyone."""
        self._is_showing = True
        self._show_fields()
        self._show_measures()
        self._show_list()
        self._is_showing = False

    def _show_fields(self) -> None:
        job, sheet, unit = self._bench.document.job, self._current.sheet, self._bench.settings.unit
        entries = [(one.name, one.sheet_id) for one in job.sheets]
        if entries != [(self.chooser.itemText(i), self.chooser.itemData(i))
                       for i in range(self.chooser.count())]:  # fmt: skip
            self.chooser.clear()
            for text, sheet_id in entries:
                self.chooser.addItem(text, sheet_id)
        self.chooser.setCurrentIndex(self.chooser.findData(sheet.sheet_id))
        self.chooser.setVisible(len(entries) > 1)
        if not self.name.isModified():
            self.name.setText(sheet.name)
            self.name.setCursorPosition(0)
        values = (
            (self.width_field, sheet.width_mm),
            (self.length_field, sheet.length_mm),
            (self.margin, sheet.margin_mm),
            (self.gap, sheet.gap_mm),
        )
        for field, value_mm in values:
            field.set_unit(unit)
            field.set_value_mm(value_mm)
        self.run.setValue(sheet.run)
        limits = job.limits
        least, most = limits.sheet_length_least_mm, limits.sheet_length_most_mm
        self.length_field.set_range_mm(least, most)
        places = 0 if unit == "mm" else None
        self.length_caption.setText(
            f"&Length, {write_number(least, unit, places)} to {write_length(most, unit, places)}"
        )
        below = sheet.run < limits.smallest_run
        self.run_note.setText(f"below the smallest run of {limits.smallest_run}" if below else "")

    def _show_measures(self) -> None:
        job, sheet, unit = self._bench.document.job, self._current.sheet, self._bench.settings.unit
        use = sheet_use(job, [sheet])
        gap_mm = tightest_mm(self._bench.checker.findings, sheet.sheet_id)
        gap = f"{write_length(sheet.gap_mm, unit)} or more"
        if gap_mm is not None:
            gap = f"{write_length(gap_mm, unit)} · below {write_number(sheet.gap_mm, unit)}"
        if len(sheet.placed) < 2:
            gap = "nothing to measure"
        for name, text in (("Boxes", percent(use.box)), ("Ink", percent(use.ink)), ("Smallest gap", gap)):
            self._values[name].setText(text)
            self._values[name].setAccessibleName(f"{name}: {text}")
        set_look(self._values["Smallest gap"], "measure" if gap_mm is None else "caution")

    def _show_list(self) -> None:
        job, sheet, unit = self._bench.document.job, self._current.sheet, self._bench.settings.unit
        self.model.show_sheet(job, sheet, unit)
        count = counted(len(sheet.placed), "piece") if sheet.placed else "nothing yet"
        self.list_head.setText(f"On this sheet · {count}")
        chosen = sum(p.placed_id in self._bench.selection.placed_ids for p in sheet.placed)
        if chosen > 1:
            self.list_head.setText(f"On this sheet · {chosen:,} of {count} chosen")
        selection = QItemSelection()
        for at, row in enumerate(self.model.rows):
            if row.placed_id in self._bench.selection.placed_ids:
                selection.select(self.model.index(at), self.model.index(at))
        self.list.selectionModel().select(selection, QItemSelectionModel.SelectionFlag.ClearAndSelect)

    def _choose(self) -> None:
        if not self._is_showing:
            chosen = self.list.selectionModel().selectedIndexes()
            self._bench.selection.choose_placed(index.data(PLACED_ID) for index in chosen)
