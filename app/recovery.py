"""Offers back, in a line across the window, the unsaved work that a crash left behind."""

from PySide6.QtCore import QDateTime, QLocale

from app.widgets.marks import Mark
from app.widgets.notice_bar import NoticeBar
from app.wiring import Workbench
from layout_core.errors import DuskwrightError
from layout_core.job.snapshots import Recoverable

RESTORES_BEFORE_DOUBT = 2


class Recovery:
    """One offer after the other, newest first; nothing is lost by closing the line."""

    def __init__(self, bench: Workbench, bar: NoticeBar) -> None:
        self._bench = bench
        self._bar = bar
        self._waiting: list[Recoverable] = []

    def offer(self) -> None:
        """Look for what was left behind and offer the newest."""
        self._waiting = list(self._bench.autosave.left_behind())
        self._offer_next()

    def _offer_next(self) -> None:
        if not self._waiting:
            return
        left = self._waiting.pop(0)
        back, away = lambda: self._bring_back(left), lambda: self._throw_away(left)
        if left.restores < RESTORES_BEFORE_DOUBT:
            self._bar.say(
                Mark.NOTE,
                offer_words(left),
                [("Bring it back", back), ("Throw it away", away)],
                close="Not now",
            )
        else:
            self._bar.say(
                Mark.CAUTION,
                offer_words(left),
                [("Open without it", self._offer_next), ("Try once more", back), ("Throw it away", away)],
                close="Not now",
            )

    def _bring_back(self, left: Recoverable) -> None:
        try:
            self._bench.autosave.bring_back(left)
        except DuskwrightError as error:
            self._bench.notices.tell_error(error, "bringing the work back")

    def _throw_away(self, left: Recoverable) -> None:
        self._bench.autosave.decline(left)
        self._offer_next()


def offer_words(left: Recoverable) -> str:
    """What was left, since when, and a doubt when restoring it ended in a crash twice in a row."""
    moment = QDateTime.fromSecsSinceEpoch(int(left.saved_at))
    when = QLocale.system().toString(moment, QLocale.FormatType.ShortFormat)
    words = f"Unsaved work on “{left.job_name}” was kept when the program ended ({when})."
    if left.restores >= RESTORES_BEFORE_DOUBT:
        words += f" Bringing it back ended badly {left.restores} times in a row; it stays kept either way."
    return words
