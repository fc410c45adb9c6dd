"""How much a search may do, counted in work and not by the clock, so that the same input repeats."""

from layout_core.progress import Progress, no_progress

WORK_PER_SECOND = 450_000
"""Free rectangles looked at in a second of a common desktop core (measured on one machine)."""

_FIRST_ANSWER = 50


class Effort:
    """A budget of work; `spend` reports progress and lets `Cancelled` through when Stop was pressed."""

    def __init__(self, seconds: float, progress: Progress = no_progress, label: str = "Filling") -> None:
        self._most = max(int(seconds * WORK_PER_SECOND), 1)
        self._spent = 0
        self._progress = progress
        self._label = label

    def spend(self, work: int) -> None:
        self._spent += work
        self._progress(self.share, self._label)

    @property
    def is_begun(self) -> bool:
        return self._spent > 0

    @property
    def share(self) -> float:
        """The spent share of the budget, 0 to 1."""
        return min(self._spent / self._most, 1.0)

    @property
    def is_exhausted(self) -> bool:
        """Far beyond the budget: even a first answer has to end here."""
        return self._spent >= _FIRST_ANSWER * self._most

    @property
    def is_spent(self) -> bool:
        return self._spent >= self._most
