"""The hand-off station: whose proof, on which garment, in which ink, and the way to a file."""

import re
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QLineEdit, QPushButton, QWidget

from app.panels.open_stops import OpenStops
from app.panels.print_files import PrintFiles
from app.panels.proof_maker import ProofMaker
from app.panels.sign_off import SignOff
from app.widgets.labels import captioned, label
from app.widgets.quiet import FIELD_PX, QuietCombo
from app.widgets.scrolling import ScrollColumn
from app.widgets.seen import WhenSeen
from app.widgets.segmented import Segmented
from app.wiring import Workbench
from layout_core.job.edits import set_garment_colour, set_ink_name
from layout_core.job.model import Job

GARMENT_COLOURS = ("black", "navy", "charcoal", "forest", "maroon", "purple")


class HandOffPanel(WhenSeen, ScrollColumn):
    """Makes the proof and saves it; `said(sentence)` carries good news, `refused` the rest."""

    said = Signal(str)
    refused = Signal(str)
    show_asked = Signal(object)

    def __init__(self, bench: Workbench, maker: ProofMaker, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self._maker = maker
        self.whose = QuietCombo("Whose proof")
        self.colour = QuietCombo("Garment colour")
        self.colour.setEditable(True)
        self.colour.addItems(GARMENT_COLOURS)
        self.ink = QLineEdit()
        self.ink.setFixedHeight(FIELD_PX)
        self.form = Segmented("Form of the proof", [("picture", "Picture"), ("pages", "Pages")])
        self.make_button = QPushButton("Make it again")
        self.save_button = QPushButton("Save the proof…")
        self.save_button.setProperty("look", "primary")
        self.each_button = QPushButton("Save one for each order…")
        self.folder_button = QPushButton("Hand off to a folder…")
        self.written = label("", "small", wraps=True)
        self.sign_off = SignOff(bench)
        self.print_files = PrintFiles(bench)
        self.stops = OpenStops(bench)
        self._lay_out()
        self._connect()
        self.refresh()

    def _lay_out(self) -> None:
        self.column.addWidget(label("Layout proof", "title"))
        self.column.addWidget(
            label(
                "What the customer signs. One order's proof shows nothing of any other.", "small", wraps=True
            )
        )
        self.column.addWidget(captioned("&Whose proof", self.whose))
        row = QHBoxLayout()
        row.setSpacing(10)
        row.addWidget(captioned("&Garment colour", self.colour), 1)
        row.addWidget(captioned("&Ink", self.ink), 1)
        self.column.addLayout(row)
        self.column.addWidget(self.form)
        self.column.addSpacing(4)
        for button in (self.save_button, self.each_button, self.make_button):
            self.column.addWidget(button)
        for part in (self.sign_off, self.print_files):
            self.column.addSpacing(12)
            self.column.addWidget(part)
        self.column.addSpacing(12)
        self.column.addWidget(label("Hand-off", "title"))
        about = (
            "Print files, plates, cut guides, proofs, press ticket and order list, in a folder of their own; "
            "quotes too, once a plan is worked out."
        )
        self.column.addWidget(label(about, "small", wraps=True))
        self.column.addWidget(self.stops)
        self.column.addWidget(self.folder_button)
        self.column.addWidget(self.written)
        self.column.addStretch(1)

    def _connect(self) -> None:
        bench = self._bench
        bench.document.job_changed.connect(self.follow)
        self._maker.made.connect(self.follow)
        bench.checker.findings_changed.connect(self.follow)
        self.whose.activated.connect(self._show_other)
        self.form.chosen.connect(self._show_other)
        self.make_button.clicked.connect(self.preview)
        self.print_files.refused.connect(self.refused)
        self.stops.show_asked.connect(self.show_asked)
        self.save_button.clicked.connect(self.ask_and_save)
        self.each_button.clicked.connect(self._ask_and_save_each)
        self.folder_button.clicked.connect(self._ask_and_hand_off)
        self._maker.handed_off.connect(self._tell_handed_off)
        self.colour.activated.connect(self._set_colour)
        entry = self.colour.lineEdit()
        if entry is not None:
            entry.setAccessibleName("Garment colour")
            entry.editingFinished.connect(self._set_colour)
        self.ink.editingFinished.connect(self._set_ink)
        self._maker.saved.connect(self._tell_saved)

    @property
    def order_id(self) -> int | None:
        """Whose proof: an order, or None for the whole job."""
        chosen = self.whose.currentData()
        return chosen if isinstance(chosen, int) else None

    @property
    def suffix(self) -> str:
        """The ending of the file that the chosen form is saved as."""
        return ".pdf" if self.form.current == "pages" else ".png"

    def preview(self) -> None:
        """Make the chosen proof and show it."""
        self._maker.preview(self.order_id, "pages" if self.form.current == "pages" else "picture")

    def _show_other(self) -> None:
        self.sign_off.show_order(self.order_id)
        if self._bench.document.job.pieces:
            self.preview()

    def refresh(self) -> None:
        job, chosen = self._bench.document.job, self.order_id
        self.whose.clear()
        self.whose.addItem("Whole job, for the shop", None)
        for order in job.orders:
            self.whose.addItem(order.name, order.order_id)
        self.whose.setCurrentIndex(max(self.whose.findData(chosen), 0) if chosen is not None else 0)
        self.colour.setCurrentText(job.garment_colour)
        self.ink.setText(job.ink_name)
        self.ink.setCursorPosition(0)
        self.each_button.setVisible(bool(job.orders))
        self.make_button.setVisible(self._maker.shown is not None and not self._maker.is_fresh)
        for button in (self.save_button, self.each_button):
            button.setEnabled(bool(job.pieces))
        self.sign_off.show_order(self.order_id)
        self.print_files.show_options(job.printing)
        self.stops.refresh()
        self.folder_button.setEnabled(any(sheet.placed for sheet in job.sheets) and not self.stops.count)
        self.written.setVisible(self._maker.proofed == job and bool(self.written.text()))

    def ask_and_save(self) -> None:
        """Ask for a file name and save the chosen proof there."""
        start = self._folder() / proof_file_name(self._bench.document.job, self.order_id, self.suffix)
        kinds = ["PNG picture (*.png)", "PDF document (*.pdf)"]
        if self.suffix == ".pdf":
            kinds.reverse()
        name, _ = QFileDialog.getSaveFileName(self, "Save the layout proof", str(start), ";;".join(kinds))
        if name:
            path = Path(name)
            self._maker.save({self.order_id: path if path.suffix else path.with_suffix(self.suffix)})

    def _ask_and_save_each(self) -> None:
        name = QFileDialog.getExistingDirectory(self, "Folder for the proofs", str(self._folder()))
        if name:
            self.save_each(Path(name))

    def save_each(self, folder: Path) -> None:
        """Save one proof an order into the folder."""
        job = self._bench.document.job
        self._maker.save(
            {
                order.order_id: folder / proof_file_name(job, order.order_id, self.suffix)
                for order in job.orders
            }
        )

    def _ask_and_hand_off(self) -> None:
        name = QFileDialog.getExistingDirectory(self, "Where the hand-off folder goes", str(self._folder()))
        if name:
            stem = proof_file_name(self._bench.document.job, None).removesuffix("-proof.png")
            self._maker.hand_off(Path(name) / f"{stem}-hand-off")

    def _tell_handed_off(self, folder: Path, files: list[str]) -> None:
        self.written.setText(f"{folder.name}: {', '.join(files)}")
        self.refresh()
        self.said.emit(f"Handed off {len(files)} files in {folder.name}.")

    def _folder(self) -> Path:
        path = self._bench.document.path
        return path.parent if path is not None else Path(self._bench.settings.choices.last_folder or ".")

    def _set_colour(self) -> None:
        colour = self.colour.currentText()
        if colour != self._bench.document.job.garment_colour:
            self._bench.document.apply("Garment colour", lambda job: set_garment_colour(job, colour))
        self.refresh()

    def _set_ink(self) -> None:
        if self.ink.isModified():
            self.ink.setModified(False)
            name = self.ink.text()
            self._bench.document.apply("Ink", lambda job: set_ink_name(job, name))
            self.refresh()

    def _tell_saved(self, paths: list[Path]) -> None:
        what = paths[0].name if len(paths) == 1 else f"{len(paths)} proofs"
        self.said.emit(f"Saved {what} in {paths[0].parent.name or paths[0].parent}.")


def proof_file_name(job: Job, order_id: int | None, suffix: str = ".png") -> str:
    """A file name for the proof made of letters, digits and hyphens, from the job's and the order's name."""
    words = job.name if order_id is None else f"{job.name} {job.order(order_id).name}"
    stem = re.sub(r"[^\w]+", "-", words).strip("-_").lower() or "job"
    return f"{stem[:80]}-proof{suffix}"
