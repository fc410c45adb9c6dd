"""Chooses a font: every installed and bundled one by name and sample, and what cannot be used and why."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QItemSelectionModel, QModelIndex, QTimer, Signal
from PySide6.QtGui import QPainterPath
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QLineEdit, QVBoxLayout, QWidget

from app.canvas.paths import path_of
from app.panels.job_words import counted
from app.widgets.buttons import small_button
from app.widgets.face_list import FACE_ROLE, FaceList, FaceRows
from app.widgets.labels import label, set_look
from app.widgets.quiet import FIELD_PX
from app.wiring import Workbench
from layout_core.art.face_sample import face_sample
from layout_core.art.fonts import Face, FontShelf, font_shelf, forget_fonts, keep_font
from layout_core.errors import LetteringError
from layout_core.progress import Progress

LIST_PX = 170
_MOST_REASONS = 12
FONT_FILTER = "Fonts (*.ttf *.otf *.ttc *.otc)"


class FaceChooser(QWidget):
    """`chosen(name)` tells what a person chose. A name that is not in the list may be shown all the same."""

    chosen = Signal(str)

    def __init__(self, bench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self._name = ""
        self._kept = ""
        self._is_marking = False
        self._asked: list[Face] = []
        self.shelf: FontShelf | None = None
        self.rows = FaceRows(self)
        self.search = QLineEdit()
        self.search.setPlaceholderText("Find a font")
        self.search.setAccessibleName("Find a font")
        self.search.setClearButtonEnabled(True)
        self.search.setFixedHeight(FIELD_PX)
        self.list = FaceList(bench.theme, self.rows)
        self.list.setFixedHeight(LIST_PX)
        self.said = label("Looking for fonts…", "small", wraps=True)
        self.why = small_button("Why", "Why some fonts cannot be used", self._tell_why)
        self.why.hide()
        self.add = small_button("Add a font file…", "Add a font file", self._ask)
        self._lay_out()
        self._pause = QTimer(self, singleShot=True, interval=0)
        self._pause.timeout.connect(self._draw_samples)
        self.search.textChanged.connect(self._find)
        self.rows.sample_asked.connect(self._ask_sample)
        self.list.selectionModel().currentChanged.connect(self._choose)
        self._look(lambda _progress: font_shelf())

    @property
    def name(self) -> str:
        return self._name

    def show_name(self, name: str) -> None:
        """Show a font as chosen without telling anyone."""
        self._name = name
        self._mark()

    def add_file(self, path: Path) -> None:
        """Keep a font file in the shop's own folder and choose its first face, or say why it cannot be."""
        try:
            faces = keep_font(path)
        except LetteringError as error:
            self._say(str(error), is_fault=True)
            return
        self._kept = faces[0].name
        self._look(_found_anew)

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        column.addWidget(self.search)
        column.addWidget(self.list)
        foot = QHBoxLayout()
        foot.setSpacing(6)
        foot.addWidget(self.said, 1)
        foot.addWidget(self.why)
        foot.addWidget(self.add)
        column.addLayout(foot)

    def _look(self, find: Callable[[Progress], FontShelf]) -> None:
        """Look for the fonts of this computer, off the window's thread."""
        self._bench.tasks.start("Looking for fonts", find, self._take_shelf, lane="samples")

    def _take_shelf(self, shelf: FontShelf) -> None:
        self.shelf = shelf
        self.rows.show_faces(shelf.faces)
        self._mark()
        refused = len(shelf.refused)
        left_out = f", {counted(refused, 'file')} cannot be used" if refused else ""
        self._say(f"{counted(len(shelf.faces), 'font')}{left_out}")
        self.why.setVisible(refused > 0)
        if self._kept:
            self._name, self._kept = self._kept, ""
            self._mark()
            self.chosen.emit(self._name)

    def _tell_why(self) -> None:
        if self.shelf is not None:
            shown = self.shelf.refused[:_MOST_REASONS]
            rest = len(self.shelf.refused) - len(shown)
            more = [f"and {counted(rest, 'other file')}"] if rest else []
            self._say("\n".join([*shown, *more]))

    def _say(self, sentence: str, *, is_fault: bool = False) -> None:
        self.said.setText(sentence)
        set_look(self.said, "stop" if is_fault else "small")

    def _find(self, words: str) -> None:
        self.rows.look_for(words)
        self._mark()

    def _mark(self) -> None:
        selection, row = self.list.selectionModel(), self.rows.row_of(self._name)
        self._is_marking = True
        if row is None:
            selection.clear()
        else:
            index = self.rows.index(row)
            selection.setCurrentIndex(index, QItemSelectionModel.SelectionFlag.ClearAndSelect)
            self.list.scrollTo(index)
        self._is_marking = False

    def _choose(self, current: QModelIndex, previous: QModelIndex) -> None:
        face = current.data(FACE_ROLE) if current.isValid() else None
        if face is not None and face.name != self._name and not self._is_marking:
            self._name = face.name
            self.chosen.emit(face.name)

    def _ask_sample(self, face: Face) -> None:
        self._asked.append(face)
        if not self._pause.isActive():
            self._pause.start()

    def _draw_samples(self) -> None:
        faces, self._asked = tuple(self._asked), []
        self._bench.tasks.start(
            "Drawing font samples",
            lambda progress: _samples(faces, progress),
            self.rows.take_samples,
            lane="samples",
        )

    def _ask(self) -> None:
        start = self._bench.settings.choices.last_folder or "."
        name, _ = QFileDialog.getOpenFileName(self, "Add a font file", start, FONT_FILTER)
        if name:
            self.add_file(Path(name))


def _found_anew(_progress: Progress) -> FontShelf:
    """In the lane of the first search, so that it cannot be overtaken by what that one found."""
    forget_fonts()
    return font_shelf()


def _samples(faces: tuple[Face, ...], progress: Progress) -> dict[Face, QPainterPath]:
    """The samples that can be drawn."""
    found = {}
    for number, face in enumerate(faces):
        progress(number / len(faces), face.name)
        try:
            found[face] = path_of(face_sample(face))
        except LetteringError:
            continue
    return found
