"""Where the chosen copies lie: turn, place and lock, the typed twin of dragging."""

from dataclasses import replace

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QCheckBox

from app.widgets.length_field import LengthField
from app.widgets.quiet import QuietCombo, TurnField
from app.wiring import Workbench
from layout_core.job.bounds import FARTHEST_MM
from layout_core.job.edits import change_piece, lock_placed, move_to_sheet, set_poses
from layout_core.job.model import PlacedPiece


class PlacedFields(QObject):
    """The fields of the chosen copies, laid out by the panel that owns them.

    With no copy chosen, Turn is the turn that new copies are laid with. The place is that of the middle of
    the piece, from the sheet's left and top edges.
    """

    refused = Signal(str)

    def __init__(self, bench: Workbench, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self.turn = TurnField("Turn")
        self.from_left = LengthField("Middle from left", most_mm=FARTHEST_MM)
        self.from_top = LengthField("Middle from top", most_mm=FARTHEST_MM)
        self.sheet = QuietCombo("On sheet")
        self.locked = QCheckBox("Locked")
        self.locked.setToolTip("Keep the chosen copies where they are")
        self.turn.valueChanged.connect(self._turn)
        self.from_left.committed.connect(lambda mm: self._move(x_mm=mm))
        self.from_top.committed.connect(lambda mm: self._move(y_mm=mm))
        for field in (self.from_left, self.from_top):
            field.refused.connect(self.refused)
        self.sheet.activated.connect(self._move_to_sheet)
        self.locked.clicked.connect(self._lock)
        bench.document.job_changed.connect(self.refresh)
        bench.selection.changed.connect(self.refresh)
        bench.settings.changed.connect(self.refresh)
        self.refresh()

    @property
    def _chosen(self) -> tuple[PlacedPiece, ...]:
        ids = self._bench.selection.placed_ids
        sheets = self._bench.document.job.sheets
        return tuple(placed for sheet in sheets for placed in sheet.placed if placed.placed_id in ids)

    def refresh(self) -> None:
        bench, chosen = self._bench, self._chosen
        one = chosen[0] if len(chosen) == 1 else None
        for field in (self.from_left, self.from_top):
            field.set_unit(bench.settings.unit)
            field.setEnabled(one is not None and not one.locked)
        self.from_left.set_value_mm(None if one is None else one.pose.x_mm)
        self.from_top.set_value_mm(None if one is None else one.pose.y_mm)
        self._show_sheets(chosen)
        was = self.turn.blockSignals(True)
        self.turn.setValue(self._shown_turn(chosen))
        self.turn.setEnabled(not any(placed.locked for placed in chosen))
        self.turn.blockSignals(was)
        self.locked.setEnabled(bool(chosen))
        self.locked.setChecked(bool(chosen) and all(placed.locked for placed in chosen))

    def _show_sheets(self, chosen: tuple[PlacedPiece, ...]) -> None:
        job = self._bench.document.job
        self.sheet.clear()
        for sheet in job.sheets:
            self.sheet.addItem(sheet.name, sheet.sheet_id)
        homes = {job.sheet_of(placed.placed_id).sheet_id for placed in chosen}
        self.sheet.setCurrentIndex(self.sheet.findData(homes.pop()) if len(homes) == 1 else -1)
        self.sheet.setEnabled(bool(chosen) and not any(placed.locked for placed in chosen))

    def _move_to_sheet(self) -> None:
        sheet_id, ids = self.sheet.currentData(), self._bench.selection.placed_ids
        if ids and sheet_id is not None:
            self._bench.document.apply(
                f"Move to {self.sheet.currentText()}",
                lambda job: move_to_sheet(job, ids, sheet_id, 0.0, 0.0),
            )
        self.refresh()

    def _shown_turn(self, chosen: tuple[PlacedPiece, ...]) -> float:
        if chosen:
            return chosen[0].pose.turn_deg
        piece_id = self._bench.selection.piece_id
        return 0.0 if piece_id is None else self._bench.document.job.piece(piece_id).turn_deg

    def _turn(self, turn_deg: float) -> None:
        chosen, piece_id = self._chosen, self._bench.selection.piece_id
        document = self._bench.document
        if chosen:
            poses = {p.placed_id: replace(p.pose, turn_deg=turn_deg) for p in chosen}
            document.apply("Turn", lambda job: set_poses(job, poses))
        elif piece_id is not None:
            document.apply("Turn", lambda job: change_piece(job, piece_id, turn_deg=turn_deg))
        self.refresh()

    def _move(self, **place: float) -> None:
        chosen = self._chosen
        if len(chosen) == 1:
            pose = replace(chosen[0].pose, **place)
            self._bench.document.apply("Move", lambda job: set_poses(job, {chosen[0].placed_id: pose}))
        self.refresh()

    def _lock(self, locked: bool) -> None:
        ids = self._bench.selection.placed_ids
        if ids:
            self._bench.document.apply(
                "Lock" if locked else "Unlock", lambda job: lock_placed(job, ids, locked)
            )
