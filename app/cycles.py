"""When Python's cycle collection is due, by the interpreter's own thresholds; the caller's thread does it."""

import gc

_BURST = 20
"""So many thresholds of new objects at once are a burst: all of them are looked at, or a heap of widgets that
was thrown away in one go would wait for minutes. Invented."""


def collect_when_due() -> int | None:
    """Collect on this thread if it is time; the oldest generation collected, None if none was due."""
    counts, thresholds = gc.get_count(), gc.get_threshold()
    due = [level for level in range(3) if counts[level] > thresholds[level] > 0]
    if not due:
        return None
    oldest = 2 if counts[0] > _BURST * thresholds[0] else due[-1]
    gc.collect(oldest)
    return oldest
