"""The sign-off of a proof: who signed, when, for what, and whether it still stands."""

from PySide6.QtCore import QDate, Qt
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QPushButton, QVBoxLayout, QWidget

from app.widgets.labels import captioned, label, set_look
from app.widgets.marks import Mark, StateMark
from app.widgets.quiet import FIELD_PX
from app.wiring import Workbench
from layout_core.job.approvals import approval_of, approval_state, printable_digest, shown_digest
from layout_core.job.edits import sign_off, withdraw_approval

_MARKS = {"none": Mark.PENDING, "holds": Mark.CHECK, "void": Mark.CAUTION}


class SignOff(QWidget):
    """Of one order's proof, or of the whole job's with None: signing it, withdrawing it, its state."""

    def __init__(self, bench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self._order_id: int | None = None
        self._is_open = False
        self.mark = StateMark(Mark.PENDING, bench.theme)
        self.state = label("", "strong", wraps=True)
        self.detail = label("", "small", wraps=True)
        self.who, self.signed_on = QLineEdit(), QLineEdit()
        self.open_button = QPushButton("Sign off…")
        self.sign_button = QPushButton("Sign off")
        self.withdraw_button = QPushButton("Withdraw")
        self._lay_out()
        self.who.textChanged.connect(self._weigh)
        self.signed_on.textChanged.connect(self._weigh)
        self.who.returnPressed.connect(self._sign)
        self.signed_on.returnPressed.connect(self._sign)
        self.open_button.clicked.connect(self._open)
        self.sign_button.clicked.connect(self._sign)
        self.withdraw_button.clicked.connect(self._withdraw)
        self.show_order(None)

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        column.addWidget(label("Sign-off", "title"))
        head = QHBoxLayout()
        head.setSpacing(8)
        head.addWidget(self.mark, 0, Qt.AlignmentFlag.AlignTop)
        head.addWidget(self.state, 1)
        column.addLayout(head)
        column.addWidget(self.detail)
        self._form = QWidget()
        form = QVBoxLayout(self._form)
        form.setContentsMargins(0, 0, 0, 0)
        form.setSpacing(8)
        for field in (self.who, self.signed_on):
            field.setFixedHeight(FIELD_PX)
        form.addWidget(captioned("Signed by", self.who))
        form.addWidget(captioned("Date as written", self.signed_on))
        form.addWidget(self.sign_button)
        self._form.hide()
        column.addWidget(self.open_button)
        column.addWidget(self._form)
        column.addWidget(self.withdraw_button)

    def show_order(self, order_id: int | None) -> None:
        """Show the sign-off of that order's proof, as the job is now."""
        if order_id != self._order_id or not self.signed_on.text():
            self._is_open = False
            self.who.clear()
            self.signed_on.setText(QDate.currentDate().toString(Qt.DateFormat.ISODate))
        self._order_id = order_id
        job = self._bench.document.job
        state, approval = approval_state(job, order_id), approval_of(job, order_id)
        digest = shown_digest(printable_digest(job, order_id))
        if approval is None:
            self.state.setText("Not signed")
            self.detail.setText(f"Signing holds for the proof with the digest {digest}.")
        elif state == "holds":
            self.state.setText(f"Signed by {approval.who}, {approval.signed_on}")
            self.detail.setText(f"Holds: digest {shown_digest(approval.digest)}, the same as now.")
        else:
            self.state.setText("Approval void")
            self.detail.setText(
                f"{approval.who} signed {shown_digest(approval.digest)} on {approval.signed_on}; something "
                f"printable has changed since, and it is {digest} now. Have a new proof signed."
            )
        set_look(self.state, "caution" if state == "void" else "strong")
        self.mark.set_mark(_MARKS[state])
        self._form.setVisible(self._is_open and state != "holds")
        self.open_button.setVisible(not self._is_open and state != "holds")
        self.open_button.setEnabled(bool(job.pieces))
        self.open_button.setText("Sign off again…" if state == "void" else "Sign off…")
        self.withdraw_button.setVisible(approval is not None)
        self._weigh()

    def _open(self) -> None:
        self._is_open = True
        self.show_order(self._order_id)
        self.who.setFocus()

    def _weigh(self) -> None:
        has_words = bool(self.who.text().strip() and self.signed_on.text().strip())
        self.sign_button.setEnabled(has_words and bool(self._bench.document.job.pieces))

    def _sign(self) -> None:
        if self.sign_button.isEnabled() and self._form.isVisibleTo(self):
            order_id, who, when = self._order_id, self.who.text(), self.signed_on.text()
            self._is_open = False
            self._bench.document.apply("Sign off the proof", lambda job: sign_off(job, order_id, who, when))

    def _withdraw(self) -> None:
        order_id = self._order_id
        self._bench.document.apply("Withdraw the sign-off", lambda job: withdraw_approval(job, order_id))
