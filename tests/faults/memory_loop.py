"""Lets the n-th allocation of memory fail while a job is saved, kept and read.

Run as `python -m tests.faults.memory_loop FOLDER MOST`, in a process of its own; prints JSON.
Source of the method: SQLite, 'How SQLite Is Tested', out-of-memory testing.
"""

import contextlib
import importlib
import json
import os
import sys
from collections.abc import Callable
from pathlib import Path

from layout_core.files import write_whole
from layout_core.job.file import read_job
from tests.faults.io_loop import leftovers
from tests.faults.saves import (
    NEW_BYTES,
    OLD_BYTES,
    Save,
    file_save,
    job_save,
    snapshot_save,
    use_folder,
)

_hooks = importlib.import_module("_testcapi")


def in_pieces(path: Path, data: bytes) -> None:
    """The bad twin: writes over the old file, piece by piece."""
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
    for start in range(0, len(data), 100):
        os.write(handle, data[start : start + 100])
    os.close(handle)


def memory_loop(save: Save, folder: Path, most: int) -> tuple[int, list[str]]:
    """How many allocations failed, and what was lost by it."""
    faults, bad = 0, []
    for number in range(1, most + 1):
        save.fresh(folder)
        said_saved, was_hit = _starved(lambda: save.write(folder), number)
        faults += was_hit
        state = save.state(folder)
        if state not in ("old", "new") or (said_saved and state == "old"):
            bad.append(f"{save.name}: allocation {number}: {state}")
        if said_saved is not True and (left := leftovers(folder)):
            bad.append(f"{save.name}: allocation {number}: left {left}")
    return faults, bad


def load_loop(folder: Path, most: int) -> tuple[int, list[str]]:
    """Reading a job: the job, or an error that says so; never a half-read job."""
    save, faults, bad = job_save(), 0, []
    save.fresh(folder)
    path = folder / "night.duskjob"
    whole = read_job(path)
    for number in range(1, most + 1):
        job, was_hit = _starved(lambda: read_job(path), number)
        faults += was_hit
        if job is not None and job != whole:
            bad.append(f"reading: allocation {number}: another job")
    return faults, bad


def _starved(work: Callable[[], object], number: int) -> tuple[object, bool]:
    """What the work gave, None if it failed, and whether it met the failing allocation."""
    _hooks.set_nomemory(number, number + 1)
    try:
        result = work()
    except Exception:
        # Python's own C code answers some of them with another error than MemoryError.
        return None, True
    finally:
        _hooks.remove_mem_hooks()
    return result, False


def main(folder: Path, most: int) -> None:
    use_folder(folder)
    twin = file_save("in pieces", in_pieces, OLD_BYTES, NEW_BYTES)
    with contextlib.suppress(MemoryError):
        # What is imported or remembered at the first go would otherwise be met half-made later.
        for save in (job_save(), snapshot_save(), twin):
            save.fresh(folder)
            save.write(folder)
    whole = file_save("proof.png", write_whole, OLD_BYTES, NEW_BYTES)
    loops = {save.name: memory_loop(save, folder, most) for save in (job_save(), snapshot_save(), whole)}
    print(
        json.dumps(
            {"saves": loops, "reading": load_loop(folder, most), "twin": memory_loop(twin, folder, 60)}
        )
    )


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]))
