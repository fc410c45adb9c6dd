"""What the editors of made art share: fields beside a live preview, its verdict, and one button."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from app.drafting import Drafting
from app.made_art import Made, made_of, with_changed, with_made
from app.panels.draft_view import DraftView
from app.panels.job_words import MARK_OF, rule_title, severity_words, worst
from app.widgets.buttons import small_button
from app.widgets.labels import capital, label, set_look
from app.widgets.marks import Mark, StateMark
from app.widgets.scrolling import ScrollColumn
from app.widgets.side_by_side import SideBySide
from app.wiring import Workbench
from layout_core.errors import LetteringError
from layout_core.job.model import Art, Job

FIELDS_PX = 336


class MadeEditor(QWidget):
    """Makes one art, or changes one in place as one undo step. Nothing waits for it.

    `closed` tells that it is done with.
    """

    closed = Signal()

    def __init__(
        self, bench: Workbench, new_title: str, change_title: str, hint: str, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._bench = bench
        self._titles = (new_title, change_title)
        self._art: Art | None = None
        self.drafting = Drafting(bench.document, bench.tasks, self)
        self.view = DraftView(bench, self.drafting, hint)
        self.title = label(new_title, "title")
        self.close_button = small_button("Close", "Close without a change", self.leave)
        self.keep_button = QPushButton("Add to the job")
        self.keep_button.setProperty("look", "primary")
        self.keep_button.clicked.connect(self.keep)
        self.mark = StateMark(Mark.CHECK, bench.theme)
        self.verdict: QLabel = label("", "body", wraps=True)
        self.extra = QHBoxLayout()
        self.fields = ScrollColumn()
        self._lay_out()
        self.drafting.changed.connect(self.show_draft)
        bench.document.job_changed.connect(self._follow_job)

    @property
    def art(self) -> Art | None:
        """The art that is being changed; None while a new one is made."""
        return self._art

    def begin(self, art: Art | None) -> None:
        """Show a new wish, or the art to change."""
        self._art = art
        self.title.setText(self._titles[0 if art is None else 1])
        self.keep_button.setText("Add to the job" if art is None else "Keep the change")
        self.show_made(None if art is None else made_of(art))
        self.take_wish()

    def leave(self) -> None:
        self._art = None
        self.drafting.want(None)
        self.closed.emit()

    def keep(self) -> None:
        """Add or change the art; does nothing while the preview is behind."""
        wish, artwork, art = self.drafting.wish, self.drafting.artwork, self._art
        if wish is None or artwork is None or not self.drafting.is_ready:
            return
        document = self._bench.document
        before = document.job.next_id
        if art is None:
            if document.apply(f"Add {artwork.name}", lambda job: with_made(job, wish, artwork)):
                self._bench.selection.choose_piece(before + 1)
                self.leave()
            return
        # Its own signal would bring the old art back into the fields.
        self._art = None
        document.apply(f"Change {artwork.name}", lambda job: with_changed(job, art.art_id, wish, artwork))
        self.leave()

    def take_wish(self) -> None:
        """Let the preview follow the fields."""
        self.drafting.want(self.wish())
        self.show_draft()

    def wish(self) -> Made | None:
        """What the fields say; None while they say nothing yet."""
        raise NotImplementedError

    def show_made(self, made: Made | None) -> None:
        """Bring the fields in line with what is being changed, or with a new one."""
        raise NotImplementedError

    def show_fault(self, fault: LetteringError | None) -> None:
        """Say what is in the way beside the field it is about."""
        raise NotImplementedError

    def show_draft(self) -> None:
        drafting = self.drafting
        self.show_fault(drafting.fault)
        is_same = self._art is not None and drafting.wish == made_of(self._art)
        self.keep_button.setEnabled(drafting.is_ready and not is_same)
        report = drafting.report if drafting.is_ready else None
        self.mark.setVisible(report is not None)
        if report is None:
            self.verdict.setText("" if drafting.artwork is None else "Checking…")
            return
        grade = worst(report.findings)
        self.mark.set_mark(Mark.CHECK if grade is None else MARK_OF[grade])
        words = severity_words(report.findings)
        titles = ", ".join(dict.fromkeys(rule_title(finding.rule) for finding in report.findings))
        self.verdict.setText(f"{capital(words)}{': ' + titles if titles else ''}")

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.setContentsMargins(16, 12, 16, 10)
        head.addWidget(self.title, 1)
        head.addWidget(self.close_button)
        foot = QHBoxLayout()
        foot.setContentsMargins(16, 10, 16, 12)
        foot.setSpacing(10)
        said = QVBoxLayout()
        said.setSpacing(6)
        row = QHBoxLayout()
        row.setSpacing(8)
        row.addWidget(self.mark, 0, Qt.AlignmentFlag.AlignVCenter)
        row.addWidget(self.verdict, 1)
        said.addLayout(row)
        said.addLayout(self.extra)
        foot.addLayout(said, 1)
        foot.addWidget(self.keep_button, 0, Qt.AlignmentFlag.AlignVCenter)
        right = QWidget()
        right.setProperty("look", "panel")
        right.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        pane = QVBoxLayout(right)
        pane.setContentsMargins(0, 0, 0, 0)
        pane.setSpacing(0)
        pane.addWidget(self.view, 1)
        pane.addLayout(foot)
        self.setProperty("look", "panel")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(head)
        column.addWidget(SideBySide(self.fields, right, FIELDS_PX), 1)

    def _follow_job(self, old: Job, new: Job) -> None:
        """Art that left the job is no longer changed; art that changed otherwise is shown as it is."""
        shown = self._art
        if shown is None:
            return
        art = next((one for one in new.arts if one.art_id == shown.art_id), None)
        made = None if art is None else made_of(art)
        if made is None:
            self.leave()
        elif made != made_of(shown):
            self.begin(art)


def set_caution(where: QLabel, sentence: str, *, is_caution: bool) -> None:
    """Show a sentence as a figure, or as something to look at."""
    where.setText(sentence)
    set_look(where, "caution" if is_caution else "muted")
