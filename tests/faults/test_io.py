"""F1: every call to the system fails in turn, on each way by which the program saves."""

from pathlib import Path

import pytest

from tests.faults.io_loop import io_loop
from tests.faults.saves import NEW_BYTES, OLD_BYTES, all_saves, file_save, in_place, use_folder


@pytest.mark.parametrize("number", range(len(all_saves())), ids=[save.name for save in all_saves()])
def test_a_fault_at_any_call_leaves_the_old_or_reports_the_new(folder: Path, number: int) -> None:
    """Old or new as reported, no temp after a single fault, no descriptor, no error but the program's own."""
    use_folder(folder)
    outcome = io_loop(all_saves()[number], folder)
    assert outcome.violations == ()
    assert outcome.faults >= 200


def test_the_loop_catches_a_writer_that_writes_in_place(folder: Path) -> None:
    found = io_loop(file_save("in place", in_place, OLD_BYTES, NEW_BYTES), folder).violations
    assert sum("found torn" in line for line in found) > 20
    assert any("descriptor" in line for line in found)
