"""What a plan may take, counted in work and not by the clock, so that the same input gives the same plan."""

import math
import time
from collections.abc import Iterator
from contextlib import contextmanager

from layout_core.errors import Cancelled
from layout_core.progress import Progress, no_progress

SLACK = 2.0


class OverTimeError(Cancelled):
    """The time is over in the middle of a piece of work."""


class Clock:
    """The work a plan may take, in seconds of a common desktop core, shared by all that works for it.

    On a busy or slow machine the work takes longer than it counts; after `slack` times its seconds it is late
    and over all the same. Reports the spent fraction.
    """

    def __init__(self, seconds: float, progress: Progress = no_progress, *, slack: float = SLACK) -> None:
        self._start = time.monotonic()
        self._seconds = seconds
        self._most_wall_s = slack * seconds
        self._spent_s = 0.0
        self._fence_s = math.inf
        self._is_ended = False
        self._progress = progress
        self.label = "Planning"

    def spend(self, seconds: float) -> None:
        self._spent_s += seconds

    @property
    def spent_s(self) -> float:
        """Work done, in seconds of a common core."""
        return self._spent_s

    @property
    def left_s(self) -> float:
        """Work left; none when it is late or ended."""
        return 0.0 if self._is_ended or self.is_late else self._seconds - self._spent_s

    @property
    def wall_s(self) -> float:
        """Seconds gone by."""
        return time.monotonic() - self._start

    @property
    def wall_left_s(self) -> float:
        return self._most_wall_s - self.wall_s

    @property
    def is_late(self) -> bool:
        return self.wall_left_s <= 0.0

    @property
    def is_over(self) -> bool:
        return self.left_s <= 0.0

    def end(self) -> None:
        """Leave no work: what is left is too little for what comes next."""
        self._is_ended = True

    def tick(self) -> None:
        """Report; lets `Cancelled` through when Stop was pressed, and `OverTimeError` beyond the fence."""
        self._progress(min(self._spent_s / max(self._seconds, 1e-9), 1.0), self.label)
        if self._fence_s < math.inf and (self._spent_s > self._fence_s or self.is_late):
            raise OverTimeError

    @contextmanager
    def fenced(self, until_s: float) -> Iterator[None]:
        """Work inside ends, wherever it is, once so much is spent in all."""
        self._fence_s = until_s
        try:
            yield
        finally:
            self._fence_s = math.inf

    def inside(self, effort_s: float) -> Progress:
        """A Progress for work of that effort: counts the share it reports as spent, and hears Stop."""
        done = 0.0

        def listen(fraction: float, label: str) -> None:
            nonlocal done
            self.spend(max(fraction - done, 0.0) * effort_s)
            done = max(done, fraction)
            self.tick()

        return listen
