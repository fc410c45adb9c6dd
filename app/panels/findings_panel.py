"""The findings station: every finding by severity, with a filter, the way to each, and waivers."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.panels.finding_cards import make_card, told_and_left
from app.panels.finding_groups import FindingGroup, grouped
from app.panels.job_words import counted, open_findings, severity_words
from app.widgets.empty_state import EmptyState
from app.widgets.labels import label
from app.widgets.scrolling import ScrollColumn
from app.widgets.seen import WhenSeen
from app.widgets.segmented import Segmented
from app.wiring import Workbench
from layout_core.checks.findings import Severity

_HEADS = {Severity.STOP: "Stops", Severity.CAUTION: "Cautions", Severity.NOTE: "Notes"}


class FindingsPanel(WhenSeen, QWidget):
    """Rebuilt whenever the findings change; `show_asked` carries the Finding to jump to."""

    show_asked = Signal(object)

    def __init__(self, bench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self._shown: tuple[object, ...] | None = None
        self.setProperty("look", "panel")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.filter = Segmented(
            "Show", [("all", "All"), ("stop", "Stops"), ("caution", "Cautions"), ("waived", "Waived")]
        )
        self.filter.chosen.connect(self.refresh)
        self._summary = label("", "muted", wraps=True)
        self._scroll = ScrollColumn()
        self._scroll.column.setContentsMargins(16, 4, 16, 12)
        self._scroll.column.setSpacing(8)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 14, 0, 0)
        column.setSpacing(10)
        head = QVBoxLayout()
        head.setContentsMargins(16, 0, 16, 0)
        head.setSpacing(10)
        head.addWidget(label("Findings", "title"))
        head.addWidget(self._summary)
        head.addWidget(self.filter)
        column.addLayout(head)
        column.addWidget(self._scroll, 1)
        bench.checker.findings_changed.connect(self.follow)
        bench.checker.busy_changed.connect(self.follow)
        bench.document.job_changed.connect(self.follow)
        bench.settings.changed.connect(self.follow)
        self.refresh()

    def refresh(self) -> None:
        bench = self._bench
        job, findings = bench.document.job, bench.checker.findings
        groups = grouped(job, findings)
        is_waiting = bench.checker.is_busy and not groups
        state = (groups, self.filter.current, bench.settings.unit, is_waiting, bool(job.pieces))
        if state == self._shown:
            return
        self._shown = state
        self._summary.setText(severity_words(open_findings(job, findings)))
        self._clear()
        shown = [group for group in groups if self._is_wanted(group)]
        if shown:
            self._fill(shown)
        else:
            self._scroll.column.addWidget(EmptyState(self._empty_words(bool(groups))))
        self._scroll.column.addStretch(1)

    def _is_wanted(self, group: FindingGroup) -> bool:
        wanted = self.filter.current
        if wanted == "waived":
            return group.waiver is not None
        return wanted == "all" or (group.waiver is None and group.severity == wanted)

    def _empty_words(self, others: bool) -> str:
        if not self._bench.document.job.pieces:
            return "Nothing to check yet. Add art, and what will not print shows up here."
        if self._bench.checker.is_busy:
            return "Checking the art and the sheets."
        return "Nothing of this kind." if others else "Nothing to fix. Lay out the sheets and make the proof."

    def _fill(self, groups: list[FindingGroup]) -> None:
        head = ""
        told, left = told_and_left(groups)
        for group in told:
            own = "Waived" if group.waiver is not None else _HEADS[group.severity]
            if own != head:
                head = own
                kin = [g for g in groups if (g.waiver is not None, g.severity) == (group.waiver is not None,
                       group.severity)]  # fmt: skip
                self._scroll.column.addWidget(label(f"{own} · {counted(len(kin), 'kind')}", "caption"))
            self._scroll.column.addWidget(
                make_card(self._bench, group, self.show_asked.emit, names_subject=True)
            )
        if left:
            self._scroll.column.addWidget(label(left, "small", wraps=True))

    def _clear(self) -> None:
        column = self._scroll.column
        while column.count():
            item = column.takeAt(0)
            widget = item.widget() if item is not None else None
            if widget is not None:
                widget.hide()
                widget.deleteLater()
