"""Breaks a save at each call to the system in turn, in every way, until it runs untouched.

Source of the method: SQLite, 'How SQLite Is Tested', I/O error loop: fail once; fail from then on.
"""

import errno
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.faults.held import open_handles
from tests.faults.saves import Save
from tests.faults.system_calls import Faults, stand_between

CODES = (errno.ENOSPC, errno.EIO, errno.EACCES, errno.EDQUOT, errno.EROFS, errno.EINTR)
_MOST_CALLS = 400


@dataclass(frozen=True, slots=True)
class Outcome:
    """How many faults were let loose, and what was lost by them."""

    faults: int
    violations: tuple[str, ...]


def io_loop(save: Save, folder: Path, codes: tuple[int, ...] = CODES) -> Outcome:
    faults, bad = 0, []
    for code in codes:
        for lasting, half in ((False, False), (False, True), (True, False), (True, True)):
            for fail_at in range(1, _MOST_CALLS):
                fault = Faults(fail_at, code, lasting=lasting, half=half)
                where = (
                    f"{save.name}: call {fail_at}, {errno.errorcode[code]}, lasting {lasting}, half {half}"
                )
                bad += [f"{where}: {what}" for what in _broken(save, folder, fault)]
                if fault.count < fail_at:
                    break
                faults += 1
            else:
                bad.append(f"{save.name}: the loop never reached an untouched run")
    return Outcome(faults, tuple(bad))


def _broken(save: Save, folder: Path, fault: Faults) -> Iterator[str]:
    """What the fault cost: state, leftovers, descriptors, or an error that is not the program's own."""
    save.fresh(folder)
    before, handles = _names(folder), open_handles()
    said_saved = False
    try:
        with pytest.MonkeyPatch.context() as patch:
            stand_between(patch, fault)
            said_saved = save.write(folder)
    except Exception as error:
        yield f"raised {type(error).__name__}"
    if open_handles() > handles:
        yield "a descriptor left open"
    if not said_saved and not fault.lasting and (left := leftovers(folder)):
        yield f"left {left}"
    if not before <= _names(folder) | leftovers(folder) and not said_saved:
        yield "something old is gone"
    state = save.state(folder)
    if state != ("new" if said_saved else "old"):
        yield f"said saved {said_saved}, found {state}"


def leftovers(folder: Path) -> set[str]:
    """The half-written files and folders below."""
    return {path.name for path in folder.rglob(".duskwright-*")}


def _names(folder: Path) -> set[str]:
    return {str(path.relative_to(folder)) for path in folder.rglob("*")}
