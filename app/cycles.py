"""When Python's cycle collection is due, by the interpreter's own thresholds; the caller's thread does it."""

import gc


def collect_when_due() -> int | None:
    """Collect on this thread if it is time; the oldest generation collected, None if none was due."""
    counts, thresholds = gc.get_count(), gc.get_threshold()
    due = [level for level in range(3) if counts[level] > thresholds[level] > 0]
    if not due:
        return None
    gc.collect(due[-1])
    return due[-1]
