"""Adds or changes a stock shape: which kind, by its picture, and its figures."""

from textwrap import fill

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QWidget

from app.made_art import Made
from app.panels.lettering_fields import fault_label, show_fault
from app.panels.made_editor import MadeEditor
from app.panels.shape_fields import ShapeFields
from app.tokens import Theme
from app.widgets.labels import captioned
from app.widgets.themed import Themed
from app.widgets.thumbnail import thumbnail
from app.wiring import Workbench
from layout_core.art.artwork import Artwork
from layout_core.art.stock import StockShape, stock_artwork, stock_kinds, stock_shape
from layout_core.errors import LetteringError
from layout_core.progress import Progress

_PICTURE_PX = 48
_CELL_PX = QSize(88, 100)
_KINDS_PX = 316
_LETTERS_A_LINE = 10


class ShapeKinds(Themed, QListWidget):
    """Every kind by its true picture."""

    def __init__(self, bench: Workbench) -> None:
        super().__init__()
        self._bench = bench
        self.theme = bench.theme
        self._artworks: dict[str, Artwork] = {}
        self.setAccessibleName("Shape")
        self.setProperty("look", "boxed")
        self.setViewMode(QListWidget.ViewMode.IconMode)
        self.setMovement(QListWidget.Movement.Static)
        self.setResizeMode(QListWidget.ResizeMode.Adjust)
        self.setIconSize(QSize(_PICTURE_PX, _PICTURE_PX))
        self.setGridSize(_CELL_PX)
        self.setWordWrap(True)
        self.setFixedHeight(_KINDS_PX)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        for kind in stock_kinds():
            if kind.parameters:
                item = QListWidgetItem(fill(kind.name, _LETTERS_A_LINE))
                item.setData(Qt.ItemDataRole.UserRole, kind.key)
                item.setSizeHint(_CELL_PX - QSize(4, 4))
                item.setToolTip(kind.name)
                item.setData(Qt.ItemDataRole.AccessibleTextRole, kind.name)
                self.addItem(item)
        bench.tasks.start("Drawing the shapes", _pictures, self._take, lane="samples")

    @property
    def kind(self) -> str | None:
        item = self.currentItem()
        return None if item is None else str(item.data(Qt.ItemDataRole.UserRole))

    def choose(self, key: str) -> None:
        """Show a kind as chosen without telling anyone."""
        was = self.blockSignals(True)
        self.setCurrentRow(-1)
        for row in range(self.count()):
            if self.item(row).data(Qt.ItemDataRole.UserRole) == key:
                self.setCurrentRow(row)
        self.blockSignals(was)

    def set_theme(self, theme: Theme) -> None:
        self.theme = theme
        self._paint_icons()

    def _take(self, artworks: dict[str, Artwork]) -> None:
        self._artworks = artworks
        self._paint_icons()

    def _paint_icons(self) -> None:
        for row in range(self.count()):
            item = self.item(row)
            artwork = self._artworks.get(item.data(Qt.ItemDataRole.UserRole))
            if artwork is not None:
                picture = thumbnail(artwork, _PICTURE_PX, self.devicePixelRatioF(), self.theme.text)
                icon = QIcon()
                for mode in (QIcon.Mode.Normal, QIcon.Mode.Selected):
                    icon.addPixmap(picture, mode)
                item.setIcon(icon)


class ShapeEditor(MadeEditor):
    """A kind of shape and its figures; each kind keeps what was entered while the editor is open."""

    def __init__(self, bench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(bench, "Add shape", "Change shape", "Choose a shape and see it here.", parent)
        self.kinds = ShapeKinds(bench)
        self.figures = ShapeFields(bench)
        self.fault = fault_label()
        self._held: dict[str, StockShape] = {}
        column = self.fields.column
        column.addWidget(captioned("Shape", self.kinds))
        column.addWidget(self.figures)
        column.addWidget(self.fault)
        column.addStretch(1)
        self.kinds.currentItemChanged.connect(lambda _new, _old: self._choose_kind())
        self.figures.changed.connect(self._take_figures)
        bench.settings.changed.connect(lambda: self.figures.set_unit(bench.settings.unit))
        self.begin(None)

    def wish(self) -> Made | None:
        return self.figures.shape

    def show_made(self, made: Made | None) -> None:
        self._held = {}
        if isinstance(made, StockShape):
            self.kinds.choose(made.kind)
            self.figures.show_shape(made)
        else:
            self.kinds.choose("")
            self.figures.show_shape(None)

    def show_fault(self, fault: LetteringError | None) -> None:
        show_fault(self.fault, "" if fault is None else str(fault))

    def _choose_kind(self) -> None:
        key = self.kinds.kind
        if key is not None:
            self.figures.show_shape(self._held.get(key) or stock_shape(key))
            self.take_wish()

    def _take_figures(self) -> None:
        shape = self.figures.shape
        if shape is not None:
            self._held[shape.kind] = shape
        self.take_wish()


def _pictures(progress: Progress) -> dict[str, Artwork]:
    """Every kind with its own defaults."""
    kinds = [kind for kind in stock_kinds() if kind.parameters]
    made = {}
    for number, kind in enumerate(kinds):
        progress(number / len(kinds), kind.name)
        made[kind.key] = stock_artwork(stock_shape(kind.key))
    return made
