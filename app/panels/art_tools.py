"""The row of tools at the art station: the ways to make art, and to change what was made."""

from collections.abc import Callable

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QSizePolicy, QWidget

from app.made_art import made_of
from app.wiring import Workbench
from layout_core.art.lettering import Lettering


class ArtTools(QWidget):
    """`deeds` are what the buttons do: lettering, shape, names, change; the last only for made art."""

    def __init__(
        self, bench: Workbench, deeds: dict[str, Callable[[], None]], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._bench = bench
        self.setProperty("look", "matte")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.lettering = _button("Add lettering", deeds["lettering"])
        self.shape = _button("Add shape", deeds["shape"])
        self.names = _button("Names from a list", deeds["names"])
        self.change = _button("Change lettering", deeds["change"])
        self.change.setProperty("look", "tonal")
        row = QHBoxLayout(self)
        row.setContentsMargins(16, 12, 16, 8)
        row.setSpacing(6)
        for button in (self.lettering, self.shape, self.names):
            row.addWidget(button)
        row.addStretch(1)
        row.addWidget(self.change)
        bench.document.job_changed.connect(self.refresh)
        bench.selection.changed.connect(self.refresh)
        self.refresh()

    def minimumSizeHint(self) -> QSize:
        return QSize(360, super().minimumSizeHint().height())

    def refresh(self) -> None:
        job, piece_id = self._bench.document.job, self._bench.selection.piece_id
        made = None if piece_id is None else made_of(job.art(job.piece(piece_id).art_id))
        self.change.setVisible(made is not None)
        self.change.setText("Change lettering" if isinstance(made, Lettering) else "Change shape")


def _button(words: str, deed: Callable[[], None]) -> QPushButton:
    button = QPushButton(words)
    button.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
    button.clicked.connect(lambda _checked=False: deed())
    return button
