"""The right panel of one piece: what it is, its size and place, what the printer will see, its findings."""

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QCheckBox, QGridLayout, QLineEdit, QVBoxLayout, QWidget

from app.panels.finding_cards import make_card, told_and_left
from app.panels.finding_groups import grouped
from app.panels.job_words import counted, of_piece, titled
from app.panels.placed_fields import PlacedFields
from app.panels.printer_sees import PrinterSees
from app.panels.seen_far import SeenFar
from app.widgets.labels import ElidedLabel, captioned, label
from app.widgets.length_field import LengthField
from app.widgets.quiet import FIELD_PX, QuietCombo, QuietSpin
from app.widgets.scrolling import ScrollColumn
from app.widgets.seen import WhenSeen
from app.wiring import Workbench
from layout_core.errors import TableError
from layout_core.job.bounds import LEAST_PIECE_MM, MOST_COPIES, MOST_PIECE_MM
from layout_core.job.edits import change_piece, size_piece_for
from layout_core.job.model import Job, Piece
from layout_core.job.placements import TABLE, Placement, load_placements
from layout_core.shipped import shipped


def usable_placements() -> tuple[tuple[Placement, ...], TableError | None]:
    """The shop's placements; the shipped ones, with the fault, while the shop's own table has a mistake."""
    try:
        return load_placements(), None
    except TableError as error:
        return load_placements(shipped("resources", TABLE)), error


class PiecePanel(WhenSeen, ScrollColumn):
    """Shows the chosen piece and changes it; `show_asked` carries a Finding, `refused` a sentence."""

    show_asked = Signal(object)
    refused = Signal(str)

    def __init__(self, bench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self._placements, self.table_fault = usable_placements()
        self._carded: object = None
        self._make_fields()
        self.placed = PlacedFields(bench, self)
        self.placed.refused.connect(self.refused)
        self.printer = PrinterSees()
        self.seen = SeenFar(bench)
        self._cards = QVBoxLayout()
        self._cards.setSpacing(8)
        self._lay_out()
        self._connect()
        for signal in (
            bench.document.job_changed,
            bench.selection.changed,
            bench.checker.findings_changed,
            bench.settings.changed,
        ):
            signal.connect(self.follow)
        self.refresh()

    @property
    def piece(self) -> Piece | None:
        """The piece shown; None while none is chosen."""
        piece_id = self._bench.selection.piece_id
        return None if piece_id is None else self._bench.document.job.piece(piece_id)

    def _make_fields(self) -> None:
        self.head = ElidedLabel("", "title")
        self.sub = ElidedLabel("", "small")
        self.name = QLineEdit()
        self.name.setFixedHeight(FIELD_PX)
        self.placement = QuietCombo("Placement")
        for placement in self._placements:
            self.placement.addItem(placement.name, placement.key)
        self.garment_size = QuietCombo("Garment size")
        self.width_field = LengthField("Width", least_mm=LEAST_PIECE_MM, most_mm=MOST_PIECE_MM)
        self.copies = QuietSpin("Copies", 0, MOST_COPIES)
        self.order = QuietCombo("Order")
        self.filler = QCheckBox("Filler")
        self.filler.setToolTip("Autopack lays it wherever film is left over")
        self.may_turn = QCheckBox("May be turned")
        self.may_turn.setToolTip("Autopack may lay it at other turns than the one set here")

    def _lay_out(self) -> None:
        heads = QVBoxLayout()
        heads.setSpacing(2)
        heads.addWidget(self.head)
        heads.addWidget(self.sub)
        self.column.addLayout(heads)
        self.column.addWidget(captioned("Na&me", self.name))
        grid = QGridLayout()
        grid.setHorizontalSpacing(10)
        grid.setVerticalSpacing(8)
        placed = self.placed
        rows = (
            (captioned("Pl&acement", self.placement), captioned("&Garment size", self.garment_size)),
            (captioned("&Width", self.width_field), captioned("T&urn", placed.turn)),
            (
                captioned("Middle from &left", placed.from_left),
                captioned("Middle from &top", placed.from_top),
            ),
            (captioned("&Copies", self.copies), self._checks()),
        )
        for at, (first, second) in enumerate(rows):
            grid.addWidget(first, at, 0, Qt.AlignmentFlag.AlignTop)
            grid.addWidget(second, at, 1, Qt.AlignmentFlag.AlignTop)
        grid.addWidget(captioned("&Order", self.order), len(rows), 0, 1, 2)
        self.sheet_row = captioned("O&n sheet", placed.sheet)
        grid.addWidget(self.sheet_row, len(rows) + 1, 0, 1, 2)
        grid.setColumnStretch(0, 1)
        grid.setColumnStretch(1, 1)
        self.column.addLayout(grid)
        self.column.addSpacing(2)
        self.column.addWidget(self.printer)
        self.column.addSpacing(2)
        self.column.addWidget(self.seen)
        self._findings_head = label("Findings", "heading")
        self.column.addSpacing(2)
        self.column.addWidget(self._findings_head)
        self.column.addLayout(self._cards)
        self.column.addStretch(1)

    def _checks(self) -> QWidget:
        holder = QWidget()
        column = QVBoxLayout(holder)
        column.setContentsMargins(2, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.filler)
        column.addWidget(self.may_turn)
        column.addWidget(self.placed.locked)
        return holder

    def _connect(self) -> None:
        self.name.editingFinished.connect(self._rename)
        self.placement.activated.connect(self._size_for)
        self.garment_size.activated.connect(self._size_for)
        self.width_field.committed.connect(lambda mm: self._change("Width of", width_mm=mm))
        self.width_field.refused.connect(self.refused)
        self.copies.valueChanged.connect(lambda count: self._change("Copies of", copies=count))
        self.order.activated.connect(lambda: self._change("Order of", order_id=self.order.currentData()))
        self.filler.toggled.connect(lambda on: self._change("Filler", filler=on))
        self.may_turn.toggled.connect(lambda on: self._change("Turning of", may_turn=on))

    def _change(self, what: str, **changes: Any) -> None:
        piece = self.piece
        if piece is None:
            return
        self._apply(f"{what} {piece.name}", lambda job: change_piece(job, piece.piece_id, **changes))

    def _apply(self, text: str, edit: Callable[[Job], Job]) -> None:
        self._bench.document.apply(text, edit)
        self.refresh()

    def _rename(self) -> None:
        if self.name.isModified():
            self.name.setModified(False)
            self._change("Rename", name=self.name.text())

    def _size_for(self) -> None:
        piece = self.piece
        if piece is None:
            return
        key = self.placement.currentData()
        sizes = self._sizes_of(key)
        size = str(self.garment_size.currentData())
        wanted = size if size in sizes else sizes[-1] if "adult" not in sizes else "adult"
        self._apply(f"Size {piece.name}", lambda job: size_piece_for(job, piece.piece_id, key, wanted))

    def _sizes_of(self, placement_key: str) -> tuple[str, ...]:
        return next((p.garment_sizes for p in self._placements if p.key == placement_key), ("adult",))

    def refresh(self) -> None:
        """Bring every field in line with the chosen piece, without telling anyone."""
        piece = self.piece
        if piece is None:
            return
        fields = (
            self.placement,
            self.garment_size,
            self.copies,
            self.order,
            self.filler,
            self.may_turn,
        )
        held = [field.blockSignals(True) for field in fields]
        self._show_piece(piece)
        for field, was in zip(fields, held, strict=True):
            field.blockSignals(was)
        bench = self._bench
        self.printer.show_report(
            bench.checker.report(piece.piece_id), bench.document.job.limits, bench.settings.unit
        )
        self.seen.show_piece(piece.piece_id)
        self._show_findings(piece)

    def _show_piece(self, piece: Piece) -> None:
        job, unit = self._bench.document.job, self._bench.settings.unit
        self.sheet_row.setVisible(len(job.sheets) > 1 and bool(self._bench.selection.placed_ids))
        self.head.setText(piece.name)
        self.sub.setText(self._sub_words(piece))
        if not self.name.isModified():
            self.name.setText(piece.name)
            self.name.setCursorPosition(0)
        self.placement.setCurrentIndex(self.placement.findData(piece.placement))
        self._fill(self.garment_size, [(titled(size), size) for size in self._sizes_of(piece.placement)])
        self.garment_size.setCurrentIndex(self.garment_size.findData(piece.garment_size))
        self.width_field.set_unit(unit)
        self.width_field.set_value_mm(piece.width_mm)
        self.copies.setValue(piece.copies)
        orders: list[tuple[str, object]] = [("None, it is the shop's own", None)]
        orders += [(order.name, order.order_id) for order in job.orders]
        self._fill(self.order, orders)
        self.order.setCurrentIndex(
            next((at for at, (_, key) in enumerate(orders) if key == piece.order_id), 0)
        )
        self.filler.setChecked(piece.filler)
        self.may_turn.setChecked(piece.may_turn)

    def _fill(self, combo: QuietCombo, entries: list[tuple[str, Any]]) -> None:
        shown = [(combo.itemText(at), combo.itemData(at)) for at in range(combo.count())]
        if shown != entries:
            combo.clear()
            for text, data in entries:
                combo.addItem(text, data)

    def _sub_words(self, piece: Piece) -> str:
        job, chosen = self._bench.document.job, self._bench.selection.placed_ids
        laid = [placed.placed_id for sheet in job.sheets for placed in sheet.placed
                if placed.piece_id == piece.piece_id]  # fmt: skip
        if not chosen:
            if piece.filler:
                return f"filler · {counted(len(laid), 'copy', 'copies')} laid"
            if len(laid) == piece.copies:
                return f"{counted(piece.copies, 'copy', 'copies')} laid"
            return f"{len(laid)} of {counted(piece.copies, 'copy', 'copies')} laid"
        sheets = {job.sheet_of(placed_id).name for placed_id in chosen}
        where = sheets.pop() if len(sheets) == 1 else f"{len(sheets)} sheets"
        if len(chosen) == 1:
            return f"{where} · copy {laid.index(min(chosen)) + 1} of {len(laid)}"
        return f"{where} · {len(chosen)} copies chosen"

    def _show_findings(self, piece: Piece) -> None:
        bench = self._bench
        chosen = bench.selection.placed_ids
        own = of_piece(bench.checker.findings, piece.piece_id)
        here = [f for f in bench.checker.findings if f.sheet_id is not None and chosen & set(f.placed_ids)]
        groups = grouped(bench.document.job, (*own, *here))
        state = (piece.piece_id, groups, bench.settings.unit)
        if state == self._carded:
            return
        self._carded = state
        while self._cards.count():
            item = self._cards.takeAt(0)
            widget = item.widget() if item is not None else None
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        self._findings_head.setVisible(bool(groups))
        told, left = told_and_left(groups)
        for group in told:
            self._cards.addWidget(make_card(bench, group, self.show_asked.emit, names_subject=False))
        if left:
            self._cards.addWidget(label(left, "small", wraps=True))
