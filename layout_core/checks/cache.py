"""Remembers results of checks, so that an edit re-runs only what it touches."""

from collections import OrderedDict
from collections.abc import Callable, Hashable
from threading import Lock
from typing import Generic, TypeVar

from layout_core.checks.findings import Finding
from layout_core.checks.misses import Miss
from layout_core.checks.report import ArtReport

V = TypeVar("V")

_REPORTS_MOST = 500
_SHEETS_MOST = 50
_FINDINGS_MOST = 20_000
"""Of all sheets, and of all reports: a crowded sheet has thousands, each with the shape of its place."""


class Remembered(Generic[V]):
    """The latest values by key; safe to ask from several threads, who may then both do the work.

    At most `most` of them, and fewer when together they are heavier than `most_weight` by `weigh`; the
    latest is kept whatever it weighs.
    """

    def __init__(
        self, most: int, weigh: Callable[[V], int] = lambda _: 0, most_weight: int = _FINDINGS_MOST
    ) -> None:
        self._most, self._most_weight = most, most_weight
        self._weigh = weigh
        self._weight = 0
        self._values: OrderedDict[Hashable, V] = OrderedDict()
        self._lock = Lock()

    def get(self, key: Hashable, make: Callable[[], V]) -> V:
        """The value of the key, made now if it is not known; what `make` raises is passed on."""
        with self._lock:
            if key in self._values:
                self._values.move_to_end(key)
                return self._values[key]
        value = make()
        with self._lock:
            self._drop(key)
            self._values[key] = value
            self._weight += self._weigh(value)
            while len(self._values) > self._most or (
                self._weight > self._most_weight and len(self._values) > 1
            ):
                self._drop(next(iter(self._values)))
        return value

    def _drop(self, key: Hashable) -> None:
        if key in self._values:
            self._weight -= self._weigh(self._values.pop(key))


class CheckCache:
    """Reports by art, size and limits; findings of a sheet by what lies on it; misses of a promise by art,
    size and lighting."""

    def __init__(self) -> None:
        self.reports: Remembered[ArtReport] = Remembered(_REPORTS_MOST, lambda report: len(report.findings))
        self.sheets: Remembered[tuple[Finding, ...]] = Remembered(_SHEETS_MOST, len)
        self.misses: Remembered[tuple[Miss, ...]] = Remembered(_REPORTS_MOST)
