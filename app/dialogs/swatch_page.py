"""The swatch card: print it, look at it in the dark, enter what was seen, and the shop has its own ink."""

from dataclasses import replace
from typing import get_args

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QLineEdit, QListWidget, QPushButton, QVBoxLayout, QWidget

from app.dialogs.job_light import change_lighting, lighting_of
from app.dialogs.own_ink_page import say
from app.messages import message_for
from app.widgets.labels import captioned, label
from app.widgets.quiet import FIELD_PX, QuietCombo, QuietDecimal
from app.wiring import Workbench
from layout_core.art.stock import stock_shape
from layout_core.art.swatch_card import SIZES_MM, Kind, swatch_items
from layout_core.errors import DuskwrightError, GlowError
from layout_core.glow.calibration import Calibration, Sighting, calibrated
from layout_core.glow.inks import keep_ink
from layout_core.glow.scene import scene_of
from layout_core.job.edits import add_piece
from layout_core.job.edits_made import add_stock
from layout_core.job.model import Job

_SEEN = {"stroke": "Stroke", "gap": "Gap", "dot": "Dot", "letter": "Letter"}
_HOW_TO = (
    "Print the card with the job, charge it as the job is, go to the venue, and walk backwards: note from "
    "how far you can just read a stroke, gap or letter, or just see a dot."
)


class SwatchPage(QWidget):
    """Sightings of the card make the shop's own ink, which beats the model; `kept` tells of it."""

    kept = Signal()

    def __init__(self, bench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self._sightings: list[Sighting] = []
        self.add_card = QPushButton("Add the swatch card to the job")
        self.kind = QuietCombo("What was seen")
        for kind in get_args(Kind):
            self.kind.addItem(_SEEN[kind], kind)
        self.size_mm = QuietCombo("Its size")
        self.distance = QuietDecimal("From", 0.1, 100.0, " m")
        self.distance.setValue(2.0)
        self.minutes = QuietDecimal("After lights-out", 0.0, 2100.0, " min")
        self.minutes.setValue(20.0)
        self.add = QPushButton("Add what was seen")
        self.list = QListWidget()
        self.list.setAccessibleName("What was seen")
        self.list.setFixedHeight(96)
        self.remove = QPushButton("Remove")
        self.name = QLineEdit("own swatch")
        self.name.setFixedHeight(FIELD_PX)
        self.calibrate = QPushButton("Keep and use this ink")
        self.calibrate.setProperty("look", "tonal")
        self.said = label("", "small", wraps=True)
        self._lay_out()
        self._join()
        self._show_sizes()
        self._show_list()

    def _lay_out(self) -> None:
        grid = QGridLayout()
        grid.setSpacing(8)
        grid.addWidget(label(_HOW_TO, "small", wraps=True), 0, 0, 1, 2)
        grid.addWidget(self.add_card, 1, 0, 1, 2)
        grid.addWidget(captioned("&What was seen", self.kind), 2, 0)
        grid.addWidget(captioned("S&ize in mm", self.size_mm), 2, 1)
        grid.addWidget(captioned("F&rom", self.distance), 3, 0)
        grid.addWidget(captioned("&After lights-out", self.minutes), 3, 1)
        grid.addWidget(self.add, 4, 0)
        grid.addWidget(self.remove, 4, 1)
        grid.addWidget(self.list, 5, 0, 1, 2)
        grid.addWidget(captioned("&Name of the ink", self.name), 6, 0, 1, 2)
        grid.addWidget(self.calibrate, 7, 0, 1, 2)
        grid.addWidget(self.said, 8, 0, 1, 2)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 12, 0, 0)
        outer.addLayout(grid)
        outer.addStretch(1)

    def _join(self) -> None:
        self.add_card.clicked.connect(self._add_card)
        self.kind.activated.connect(self._show_sizes)
        self.add.clicked.connect(self._add)
        self.remove.clicked.connect(self._remove)
        self.calibrate.clicked.connect(self._calibrate)
        self.list.currentRowChanged.connect(lambda row: self.remove.setEnabled(row >= 0))

    @property
    def sightings(self) -> tuple[Sighting, ...]:
        return tuple(self._sightings)

    def _add_card(self) -> None:
        document = self._bench.document
        before = document.job.next_id
        if document.apply("Add the swatch card", _with_card):
            self._bench.selection.choose_piece(before + 1)
            say(self.said, "The card is in the list of pieces: lay a copy on a sheet.", "small")

    def _show_sizes(self) -> None:
        kind = self.kind.currentData()
        sizes = [item.size_mm for item in swatch_items() if item.kind == kind]
        held = self.size_mm.currentData()
        self.size_mm.clear()
        for size in sizes:
            self.size_mm.addItem(f"{size:g} mm", size)
        self.size_mm.setCurrentIndex(max(self.size_mm.findData(held), 0) if held else SIZES_MM.index(2.0))

    def _add(self) -> None:
        size_mm, kind = float(self.size_mm.currentData()), self.kind.currentData()
        self._sightings.append(Sighting(kind, size_mm, self.distance.value(), self.minutes.value()))
        self._show_list()

    def _remove(self) -> None:
        del self._sightings[self.list.currentRow()]
        self._show_list()

    def _show_list(self) -> None:
        self.list.clear()
        self.list.addItems([sighting.words for sighting in self._sightings])
        self.remove.setEnabled(False)
        self.calibrate.setEnabled(bool(self._sightings))

    def _calibrate(self) -> None:
        try:
            found = self._calibration()
            keep_ink(found.ink)
        except DuskwrightError as error:
            say(self.said, message_for(error).text, "stop")
            return
        change_lighting(self._bench, f"Use {found.ink.name}", ink=found.ink)
        agree = (
            "" if len(self._sightings) < 2 else f" What you saw agrees within a factor of {found.spread:.1f}."
        )
        words = f"{found.ink.name}: {found.ink.l10_mcd_m2:.3g} mcd/m² after 10 min.{agree}"
        say(self.said, f"{words} The shop's own swatch is used from now on.", "small")
        self.kept.emit()

    def _calibration(self) -> Calibration:
        lighting, job = lighting_of(self._bench), self._bench.document.job
        if lighting is None:
            raise GlowError("the light of the job is not known yet")
        # Whoever walks backwards looks for the card: the glance is not asked of a swatch.
        scene = scene_of(replace(lighting, at_a_glance=False), job.garment_colour)
        return calibrated(self.name.text().strip() or "own swatch", scene, self._sightings)


def _with_card(job: Job) -> Job:
    """The job with the card as a piece at its true size, whose id is the old `next_id` and one."""
    art_id = job.next_id
    job = add_stock(job, stock_shape("swatch"))
    width_mm = job.art(art_id).artwork.width_mm
    return add_piece(job, art_id, width_mm=width_mm, name="Swatch card")
