"""How long work reports itself and is stopped: call `progress(fraction, label)` often."""

import threading
from collections.abc import Callable

from layout_core.errors import Cancelled

Progress = Callable[[float, str], None]
"""Takes the finished fraction (0 to 1) and a short label; raises `Cancelled` when Stop was pressed."""


def no_progress(fraction: float, label: str) -> None:
    """Report to nobody and never stop."""


class StopFlag:
    """A thread-safe Stop; `tick` is a Progress that raises `Cancelled` once `stop` was called."""

    def __init__(self, listener: Progress = no_progress) -> None:
        self._stopped = threading.Event()
        self._listener = listener

    def stop(self) -> None:
        self._stopped.set()

    @property
    def is_stopped(self) -> bool:
        return self._stopped.is_set()

    def tick(self, fraction: float, label: str) -> None:
        if self._stopped.is_set():
            raise Cancelled
        self._listener(fraction, label)


def within(progress: Progress, start: float, end: float) -> Progress:
    """A Progress for a sub-task that fills only the stretch from start to end."""

    def tick(fraction: float, label: str) -> None:
        progress(start + (end - start) * fraction, label)

    return tick
