"""Opens jobs and reads art over and over, and counts what stays: handles, threads, memory.

Run as `python -m tests.faults.leak_loop FOLDER TIMES`, in a process of its own; prints JSON.
"""

import json
import sys
import threading
from pathlib import Path

from layout_core.art.intake import read_art_bytes
from layout_core.job.file import read_job
from tests.faults.held import open_handles, resident_mb
from tests.faults.saves import job_save
from tests.make import make_artwork, svg_of

_WARM = 30


def held() -> tuple[int, int, float]:
    return open_handles(), threading.active_count(), resident_mb()


def main(folder: Path, times: int) -> None:
    job_save().fresh(folder)
    svg, before = svg_of(make_artwork().outline), held()
    for number in range(times + _WARM):
        if number == _WARM:
            before = held()
        read_job(folder / "night.duskjob")
        read_art_bytes("moth.svg", svg)
    handles, threads, memory_mb = (after - first for after, first in zip(held(), before, strict=True))
    print(json.dumps({"handles": handles, "threads": threads, "memory_mb": memory_mb}))


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]))
