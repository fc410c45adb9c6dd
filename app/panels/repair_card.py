"""The card above the panels that tells of a repair: how far it is, before and after, and the way back."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QGridLayout, QHBoxLayout, QProgressBar, QVBoxLayout, QWidget

from app.repairing import Repaired
from app.widgets.art_look import ArtLook
from app.widgets.buttons import in_a_row, small_button
from app.widgets.labels import label
from app.widgets.marks import Mark, StateMark
from app.wiring import Workbench
from layout_core.art.before_after import BeforeAfter

MOST_SHOWN = 2
"""Of several arts repaired at once so many are shown; the panel is narrow and its findings matter more."""


class RepairCard(QWidget):
    """Hidden while there is nothing to tell; what is done is done already, and one click undoes it."""

    def __init__(self, bench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self._holder = QVBoxLayout(self)
        self._holder.setContentsMargins(12, 10, 12, 2)
        self._card: QFrame | None = None
        self._bar: QProgressBar | None = None
        bench.repairing.changed.connect(self.refresh)
        bench.repairing.progressed.connect(self._show_progress)
        self.refresh()

    def refresh(self) -> None:
        """Build the card anew for what the repair has come to."""
        if self._card is not None:
            self._holder.removeWidget(self._card)
            self._card.hide()
            self._card.deleteLater()
        self._card = self._bar = None
        repairing = self._bench.repairing
        if repairing.task_id is not None:
            self._show_card(self._running())
        elif repairing.done is not None:
            self._show_card(self._done(repairing.done))
        elif repairing.fault:
            self._show_card(self._fault(repairing.fault))
        self.setVisible(self._card is not None)

    def _show_card(self, card: QFrame) -> None:
        self._card = card
        self._holder.addWidget(card)

    def _show_progress(self, fraction: float) -> None:
        if self._bar is not None:
            self._bar.setRange(0, 1000)
            self._bar.setValue(int(1000 * fraction))

    def _running(self) -> QFrame:
        card, column = self._frame(Mark.PENDING, self._bench.repairing.text)
        self._bar = QProgressBar()
        self._bar.setRange(0, 0)
        self._bar.setTextVisible(False)
        self._bar.setFixedHeight(6)
        self._bar.setAccessibleName("Progress of the repair")
        self.stop_button = small_button("Stop", "Stop the repair", self._bench.repairing.stop)
        row = QHBoxLayout()
        row.addWidget(self._bar, 1, Qt.AlignmentFlag.AlignVCenter)
        row.addWidget(self.stop_button)
        column.addLayout(row)
        return card

    def _done(self, done: Repaired) -> QFrame:
        card, column = self._frame(Mark.CHECK, done.text)
        pictures = QGridLayout()
        pictures.setHorizontalSpacing(8)
        pictures.setVerticalSpacing(4)
        for row, (before, after) in enumerate(self._pairs(done.pictures)):
            pictures.addWidget(before, row, 0)
            pictures.addWidget(after, row, 1)
        pictures.setColumnStretch(2, 1)
        column.addLayout(pictures)
        left = len(done.pictures) - MOST_SHOWN
        more = (f"and {left} more",) if left > 0 else ()
        for note in (*more, *done.notes):
            column.addWidget(label(note, "small", wraps=True))
        self.undo_button = small_button("Undo", f"Undo: {done.text}", self._bench.repairing.undo)
        self.close_button = small_button("Close", "Close the pictures", self._bench.repairing.dismiss)
        column.addLayout(in_a_row(self.undo_button, self.close_button))
        return card

    def _pairs(self, pictures: tuple[BeforeAfter, ...]) -> list[tuple[ArtLook, ArtLook]]:
        theme = self._bench.theme
        pairs = []
        for pair in pictures[:MOST_SHOWN]:
            name = "" if len(pictures) == 1 else f" · {pair.name}"
            pairs.append((ArtLook(pair.before, f"Before{name}", theme),
                          ArtLook(pair.after, "After", theme)))  # fmt: skip
            if len(pictures) == 1 and pair.close_before is not None and pair.close_after is not None:
                pairs.append((ArtLook(pair.close_before, "Before, close", theme),
                              ArtLook(pair.close_after, "After, close", theme)))  # fmt: skip
        return pairs

    def _fault(self, sentence: str) -> QFrame:
        card, column = self._frame(Mark.CAUTION, self._bench.repairing.text)
        column.addWidget(label(sentence, "small", wraps=True))
        self.close_button = small_button("Close", "Close the message", self._bench.repairing.dismiss)
        column.addLayout(in_a_row(self.close_button))
        return card

    def _frame(self, mark: Mark, title: str) -> tuple[QFrame, QVBoxLayout]:
        card = QFrame()
        card.setProperty("look", "card")
        card.setAccessibleName(f"Repair, {mark.value}: {title}")
        column = QVBoxLayout(card)
        column.setContentsMargins(12, 10, 12, 10)
        column.setSpacing(6)
        head = QHBoxLayout()
        head.setSpacing(8)
        head.addWidget(StateMark(mark, self._bench.theme), 0, Qt.AlignmentFlag.AlignTop)
        head.addWidget(label(title, "strong", wraps=True), 1)
        column.addLayout(head)
        return card, column
