"""What every gesture on the canvas works with."""

from dataclasses import dataclass

from PySide6.QtCore import QPointF

from app.canvas.drag import Room, Verdict
from app.canvas.pixels import Tone
from app.canvas.placed_shapes import PlacedShapes
from app.canvas.scene import SheetScene
from app.canvas.words import write_room
from app.document import Document
from app.selection import Selection
from app.settings import Settings

SNAP_REACH_PX = 7.0

TONES = {
    Verdict.CLEAR: Tone.CALM,
    Verdict.CLOSE: Tone.CAUTION,
    Verdict.MARGIN: Tone.CAUTION,
    Verdict.OVERLAP: Tone.STOP,
    Verdict.OFF_SHEET: Tone.STOP,
}


@dataclass(frozen=True, slots=True)
class Board:
    """The scene, and the objects of the workbench that a gesture reads or asks to change."""

    scene: SheetScene
    shapes: PlacedShapes
    document: Document
    selection: Selection
    settings: Settings

    def snap_reach_mm(self, is_free: bool) -> float | None:
        """How near a line must be to catch; None when snapping is off or held off by `is_free`."""
        if is_free or not self.settings.snapping:
            return None
        return SNAP_REACH_PX / self.scene.px_per_mm

    def show_room(self, room: Room, sheet_id: int, label_at: QPointF) -> None:
        """Draw a distance on its sheet; a verdict without a distance stands at `label_at` on the matte."""
        sheet = self.document.job.sheet(sheet_id)
        place = self.scene.matte.place(sheet_id)
        text = write_room(room, sheet.gap_mm, self.scene.unit)
        if not text:
            self.scene.measure.hide_measure()
            return
        ends = None
        if room.from_mm is not None and room.to_mm is not None:
            corner = QPointF(place.x_mm, place.y_mm)
            ends = (QPointF(*room.from_mm) + corner, QPointF(*room.to_mm) + corner)
        self.scene.measure.show_measure(ends, text, TONES[room.verdict], label_at)

    def clear_hints(self) -> None:
        """Take away what only a gesture shows."""
        self.scene.measure.hide_measure()
        self.scene.guides.show_guides(())
        self.scene.rubber.setVisible(False)
        for item in self.scene.sheet_items.values():
            item.set_target(False)
