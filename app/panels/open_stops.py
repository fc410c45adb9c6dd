"""The stops that keep a job from being handed off, each with the way to it and its waiver."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.panels.finding_cards import make_card, told_and_left
from app.panels.finding_groups import FindingGroup, grouped
from app.panels.job_words import counted, open_findings
from app.widgets.labels import label
from app.wiring import Workbench
from layout_core.checks.findings import Severity


class OpenStops(QWidget):
    """A card a stop that nobody has accepted; hidden when there is none. `show_asked` carries a Finding."""

    show_asked = Signal(object)

    def __init__(self, bench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self._shown: tuple[FindingGroup, ...] = ()
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(8)
        self.head = label("", "stop", wraps=True)
        self._column.addWidget(self.head)
        self.refresh()

    @property
    def count(self) -> int:
        """How many kinds of stop are open."""
        return len(self._shown)

    def refresh(self) -> None:
        """Follow the findings; cards that are still true keep what was typed into them."""
        job = self._bench.document.job
        stops = [
            finding
            for finding in open_findings(job, self._bench.checker.findings)
            if finding.severity is Severity.STOP
        ]
        groups = grouped(job, stops)
        self.setVisible(bool(groups))
        if groups == self._shown:
            return
        self._shown = groups
        self.head.setText(
            f"{counted(len(groups), 'open stop')}: mend each, or waive it by name with a reason, which the "
            "proof prints."
        )
        while self._column.count() > 1:
            item = self._column.takeAt(1)
            card = item.widget() if item is not None else None
            if card is not None:
                card.hide()
                card.deleteLater()
        told, left = told_and_left(groups)
        for group in told:
            self._column.addWidget(make_card(self._bench, group, self.show_asked.emit, names_subject=True))
        if left:
            self._column.addWidget(label(left, "small", wraps=True))
