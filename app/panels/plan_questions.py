"""What if: asks what a few more garments or an inch more of sheet would cost, and opens the price list."""

from collections.abc import Callable

from PySide6.QtCore import QUrl, Signal
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from app.planning import Planning
from app.widgets.labels import label
from app.widgets.quiet import QuietCombo, QuietSpin
from layout_core.errors import SaveError
from layout_core.plan.prices import TABLE
from layout_core.tables import make_own_table

USUAL_MORE = 6
MOST_MORE = 10_000


def opened(url: QUrl) -> bool:
    """Whether the system opened the file in what the person edits text with."""
    return bool(QDesktopServices.openUrl(url))


class PlanQuestions(QWidget):
    """Two questions about the plan worked out last; the answer stays until the plan changes."""

    said = Signal(str)
    refused = Signal(str)

    def __init__(self, planning: Planning, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._planning = planning
        self.open_file: Callable[[QUrl], bool] = opened
        self.more = QuietSpin("So many more garments", 1, MOST_MORE)
        self.more.setValue(USUAL_MORE)
        self.order = QuietCombo("Order that grows")
        self.order.setMinimumWidth(120)
        self.order.setMaximumWidth(320)
        self.ask_more = QPushButton("More garments?")
        self.ask_longer = QPushButton("One more inch of sheet?")
        self.price_list = QPushButton("Price list…")
        self.price_list.setToolTip(f"Open {TABLE}, your own copy, in a text editor")
        self.answer = label("", wraps=True)
        self._lay_out()
        self.ask_more.clicked.connect(
            lambda: planning.ask_more(int(self.order.currentData()), self.more.value())
        )
        self.ask_longer.clicked.connect(planning.ask_longer)
        self.price_list.clicked.connect(self._open_prices)

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        column.addWidget(label("What if?", "heading"))
        rows = QHBoxLayout(), QHBoxLayout()
        for row, widgets in zip(
            rows, ((self.more, self.order, self.ask_more), (self.ask_longer, self.price_list)), strict=True
        ):
            row.setSpacing(10)
            for widget in widgets:
                row.addWidget(widget, 10 if widget is self.order else 0)
            row.addStretch(1)
        for button in (self.ask_more, self.ask_longer, self.price_list):
            button.setProperty("look", "compact")
        for row in rows:
            column.addLayout(row)
        column.addWidget(self.answer)

    def show_state(self) -> None:
        """Offer the orders of the plan, and the questions while they can be asked."""
        worked = self._planning.worked
        can_ask = worked is not None and self._planning.is_current and not self._planning.is_running
        chosen = self.order.currentData()
        self.order.clear()
        for one in worked.orders if worked is not None else ():
            self.order.addItem(one.name, one.order_id)
        self.order.setCurrentIndex(max(self.order.findData(chosen), 0) if self.order.count() else -1)
        for widget in (self.more, self.order, self.ask_more):
            widget.setEnabled(can_ask and self.order.count() > 0)
        self.ask_longer.setEnabled(can_ask)
        words = self._planning.answer if self._planning.is_current else ""
        self.answer.setText(words)
        self.answer.setVisible(bool(words))

    def _open_prices(self) -> None:
        try:
            path = make_own_table(TABLE)
        except SaveError as error:
            self.refused.emit(str(error))
            return
        if self.open_file(QUrl.fromLocalFile(str(path))):
            self.said.emit(f"{TABLE} is yours to change; save it, then work out the plan again.")
        else:
            self.refused.emit(f"Nothing here opens text files; the price list is {path}.")
