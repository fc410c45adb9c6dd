"""Brings the record of an older job file to today's format, one step a format."""

from collections.abc import Callable, Mapping
from typing import Any

from layout_core.errors import JobFileError, JobFileNewerError

Record = dict[str, Any]
Step = Callable[[Record], Record]

FORMAT = 2
"""The format this program writes. Whoever changes the record raises it and adds the step from the old one."""


def _unchanged(record: Record) -> Record:
    """Format 2 only adds what an art may say of itself; an older job says nothing."""
    return record


STEPS: Mapping[int, Step] = {1: _unchanged}
"""Step n turns a record of format n into one of format n + 1. Each has a frozen file in tests/data/jobs."""


def migrated(name: str, record: Record, steps: Mapping[int, Step] = STEPS, newest: int = FORMAT) -> Record:
    """The record in the newest format; the one given is not changed where a step makes a new one.

    Raises JobFileNewerError for a later format and JobFileError for one that never was.
    """
    number = record.get("format")
    if isinstance(number, bool) or not isinstance(number, int) or number < 1:
        raise JobFileError(f"{name}: states no format number, so it is not a Duskwright job")
    if number > newest:
        raise JobFileNewerError(
            f"{name}: was saved by a later Duskwright (format {str(number)[:12]}; this one reads up to "
            f"{newest}); update the program to open it"
        )
    while number < newest:
        try:
            record = {**steps[number](record), "format": number + 1}
        except (KeyError, TypeError, ValueError, AttributeError, IndexError) as error:
            raise JobFileError(f"{name}: is broken inside its format {number} record") from error
        number += 1
    return record
