"""The orders of the job: customers, and which garments get which piece."""

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QLineEdit, QPushButton, QVBoxLayout, QWidget

from app.panels.job_words import counted
from app.panels.table_model import Cell, TableModel
from app.widgets.empty_state import EmptyState
from app.widgets.labels import captioned, label
from app.widgets.quiet import FIELD_PX, QuietCombo
from app.widgets.seen import WhenSeen
from app.widgets.table import Table
from app.wiring import Workbench
from layout_core.errors import LayoutError, OrderListError
from layout_core.job.edits import add_order, change_order, remove_order, set_order_lines
from layout_core.job.edits_lines import add_order_rows
from layout_core.job.model import Job, Order, OrderLine
from layout_core.job.order_lines import OrderRow, order_rows, read_order_rows

_HEADS = ("Piece", "Garment", "Colour", "Fabric", "Sizes", "Garments")
NO_FABRIC = "not said"
_SIZE = re.compile(
    r"""\s*(?P<size>[^\s,;:×*=]+(?:\s+[^\s\d,;:×*=]+)*?)   # M, 2XL, one size
        \s*(?:[:×*=]\s*|\s+(?:x\s*)?)                      # M 12, M: 12, M x 12
        (?P<count>\d{1,6})\s*""",
    re.VERBOSE,
)


def parse_sizes(text: str) -> tuple[tuple[str, int], ...]:
    """Counts by garment size as people write them: "M 12, L 8" or "2XL: 3; one size 5".

    Raises LayoutError for anything else.
    """
    sizes = []
    for part in re.split(r"[,;]", text):
        if not part.strip():
            continue
        match = _SIZE.fullmatch(part)
        if match is None:
            raise LayoutError(f"“{part.strip()[:30]}” is not a size and a count; write them like M 12, L 8")
        sizes.append((match["size"], int(match["count"])))
    return tuple(sizes)


def write_sizes(sizes: tuple[tuple[str, int], ...]) -> str:
    return ", ".join(f"{size} {count}" for size, count in sizes)


class OrdersPanel(WhenSeen, QWidget):
    """One order in view at a time; its lines are edited in place."""

    refused = Signal(str)

    def __init__(self, bench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self.chooser = QuietCombo("Order in view")
        self.name, self.customer = QLineEdit(), QLineEdit()
        for field in (self.name, self.customer):
            field.setFixedHeight(FIELD_PX)
        self.lines = TableModel(_HEADS, figures=(5,), parent=self)
        self.table = Table("Lines of the order", self.lines, grows=False)
        self.piece = QuietCombo("Piece for a new line")
        self.add_button, self.remove_button = QPushButton("Add order"), QPushButton("Remove order")
        self.add_line_button, self.remove_line_button = QPushButton("Add line"), QPushButton("Remove line")
        self.paste_button, self.read_button = QPushButton("Paste lines"), QPushButton("Read lines…")
        for button, source in (
            (self.paste_button, "copied in a spreadsheet"),
            (self.read_button, "of a CSV"),
        ):
            button.setToolTip(f"Add the rows {source}: design, placement, garment, colour, a column a size")
        for button in (self.add_button, self.remove_button, self.add_line_button, self.remove_line_button,
                       self.paste_button, self.read_button):  # fmt: skip
            button.setProperty("look", "compact")
        self._empty = EmptyState(
            "No order yet. Add one to say who wants what, and the plan counts the spares."
        )
        self._filled = QWidget()
        self._lay_out()
        self._connect()
        self.refresh()

    @property
    def order(self) -> Order | None:
        """The order in view."""
        order_id = self.chooser.currentData()
        return next((o for o in self._bench.document.job.orders if o.order_id == order_id), None)

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(16, 12, 16, 12)
        column.setSpacing(10)
        head = QHBoxLayout()
        head.addWidget(label("Orders", "title"))
        head.addStretch(1)
        for button in (self.paste_button, self.read_button, self.add_button):
            head.addWidget(button)
        column.addLayout(head)
        inner = QVBoxLayout(self._filled)
        inner.setContentsMargins(0, 0, 0, 0)
        inner.setSpacing(10)
        row = QHBoxLayout()
        row.setSpacing(10)
        self.chooser_holder = captioned("In view", self.chooser)
        for holder in (
            self.chooser_holder, captioned("Order", self.name), captioned("Customer", self.customer),
        ):  # fmt: skip
            row.addWidget(holder, 1)
        row.addWidget(self.remove_button, 0, Qt.AlignmentFlag.AlignBottom)
        inner.addLayout(row)
        inner.addWidget(self.table, 1)
        foot = QHBoxLayout()
        foot.addWidget(self.piece, 1)
        for button in (self.add_line_button, self.remove_line_button):
            foot.addWidget(button)
        self.total = label("", "muted")
        foot.addWidget(self.total)
        inner.addLayout(foot)
        column.addWidget(self._filled, 1)
        column.addWidget(self._empty, 1)

    def _connect(self) -> None:
        self._bench.document.job_changed.connect(self.follow)
        self.chooser.activated.connect(self.refresh)
        self.add_button.clicked.connect(self._add_order)
        self.remove_button.clicked.connect(self._remove_order)
        self.paste_button.clicked.connect(self.paste_lines)
        self.read_button.clicked.connect(self._ask_and_read)
        self.add_line_button.clicked.connect(self._add_line)
        self.remove_line_button.clicked.connect(self._remove_line)
        self.name.editingFinished.connect(lambda: self._change("name", self.name))
        self.customer.editingFinished.connect(lambda: self._change("customer", self.customer))

    def refresh(self) -> None:
        job = self._bench.document.job
        chosen = self.chooser.currentData()
        self.chooser.clear()
        for one in job.orders:
            self.chooser.addItem(one.name, one.order_id)
        self.chooser.setCurrentIndex(max(self.chooser.findData(chosen), 0) if job.orders else -1)
        order = self.order
        self._filled.setVisible(order is not None)
        self._empty.setVisible(order is None)
        self.chooser_holder.setVisible(len(job.orders) > 1)
        if order is not None:
            self._show_order(job, order)

    def _show_order(self, job: Job, order: Order) -> None:
        for field, text in ((self.name, order.name), (self.customer, order.customer)):
            if not field.isModified() and field.text() != text:
                field.setText(text)
                field.setCursorPosition(0)
        self.lines.show_rows([self._line_row(job, line) for line in order.lines])
        chosen = self.piece.currentData()
        self.piece.clear()
        for piece in job.pieces:
            if piece.order_id in (None, order.order_id):
                self.piece.addItem(piece.name, piece.piece_id)
        self.piece.setCurrentIndex(max(self.piece.findData(chosen), 0) if self.piece.count() else -1)
        self.add_line_button.setEnabled(self.piece.count() > 0)
        self.remove_line_button.setEnabled(bool(order.lines))
        self.total.setText(counted(sum(line.count for line in order.lines), "garment"))

    def _line_row(self, job: Job, line: OrderLine) -> tuple[Cell, ...]:
        def take(field: str) -> Callable[[object], bool]:
            return lambda value: self._edit_line(line.line_id, field, value)

        return (
            Cell(job.piece(line.piece_id).name),
            Cell(line.garment, take=take("garment")),
            Cell(line.garment_colour, take=take("garment_colour")),
            Cell(line.fabric or NO_FABRIC, edit_value=line.fabric, take=take("fabric")),
            Cell(write_sizes(line.sizes), take=take("sizes")),
            Cell(f"{line.count:,}", True),
        )

    def _edit_line(self, line_id: int, field: str, value: object) -> bool:
        order = self.order
        if order is None:
            return False
        entry: Any = str(value)
        try:
            entry = parse_sizes(entry) if field == "sizes" else entry
        except LayoutError as error:
            self.refused.emit(str(error))
            return False
        lines = [replace(one, **{field: entry}) if one.line_id == line_id else one for one in order.lines]
        return self._set_lines("Change the line", order, lines)

    def _set_lines(self, text: str, order: Order, lines: list[OrderLine]) -> bool:
        return self._bench.document.apply(text, lambda job: set_order_lines(job, order.order_id, lines))

    def _add_order(self) -> None:
        document = self._bench.document
        new_id = document.job.next_id
        name = f"Order {len(document.job.orders) + 1}"
        if document.apply(f"Add {name}", lambda job: add_order(job, name, "Customer")):
            self.chooser.setCurrentIndex(self.chooser.findData(new_id))
            self.refresh()
            self.name.setFocus()
            self.name.selectAll()

    def _remove_order(self) -> None:
        order = self.order
        if order is not None:
            self._bench.document.apply(f"Remove {order.name}", lambda job: remove_order(job, order.order_id))

    def paste_lines(self) -> None:
        """Add the order rows on the clipboard to the order in view."""
        self._add_rows("Paste lines", lambda: order_rows(self._bench.app.clipboard().text()))

    def read_lines(self, path: Path) -> None:
        """Add the order rows of a CSV file to the order in view."""
        self._add_rows("Read lines", lambda: read_order_rows(path))

    def _ask_and_read(self) -> None:
        start = self._bench.settings.choices.last_folder or "."
        name, _ = QFileDialog.getOpenFileName(self, "Read order lines", start, "Tables (*.csv *.tsv *.txt)")
        if name:
            self.read_lines(Path(name))

    def _add_rows(self, text: str, read: Callable[[], tuple[OrderRow, ...]]) -> None:
        """One undo step, which also adds an order where there is none yet."""
        try:
            rows = read()
        except OrderListError as error:
            self.refused.emit(str(error))
            return
        order = self.order

        def edit(job: Job) -> Job:
            if order is not None:
                return add_order_rows(job, order.order_id, rows)
            return add_order_rows(add_order(job, "Order 1", "Customer"), job.next_id, rows)

        self._bench.document.apply(text, edit)

    def _add_line(self) -> None:
        order, piece_id = self.order, self.piece.currentData()
        if order is None or piece_id is None:
            return
        job = self._bench.document.job
        line = OrderLine(0, piece_id, "tee", job.garment_colour, (("M", 12),))
        self._set_lines("Add a line", order, [*order.lines, line])

    def _remove_line(self) -> None:
        order, row = self.order, self.table.currentIndex().row()
        if order is not None and order.lines:
            gone = row if 0 <= row < len(order.lines) else len(order.lines) - 1
            kept = [line for at, line in enumerate(order.lines) if at != gone]
            self._set_lines("Remove a line", order, kept)

    def _change(self, field: str, line: QLineEdit) -> None:
        order = self.order
        if order is not None and line.isModified():
            line.setModified(False)
            text = line.text()
            self._bench.document.apply(
                f"Rename {order.name}", lambda job: change_order(job, order.order_id, **{field: text})
            )
            self.refresh()
