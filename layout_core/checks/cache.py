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


class Remembered(Generic[V]):
    """The latest values by key; safe to ask from several threads, who may then both do the work."""

    def __init__(self, most: int) -> None:
        self._most = most
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
            self._values[key] = value
            while len(self._values) > self._most:
                self._values.popitem(last=False)
        return value


class CheckCache:
    """Reports by art, size and limits; findings of a sheet by what lies on it; misses of a promise by art,
    size and lighting."""

    def __init__(self) -> None:
        self.reports: Remembered[ArtReport] = Remembered(_REPORTS_MOST)
        self.sheets: Remembered[tuple[Finding, ...]] = Remembered(_SHEETS_MOST)
        self.misses: Remembered[tuple[Miss, ...]] = Remembered(_REPORTS_MOST)
