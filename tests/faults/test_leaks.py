"""L1: jobs opened and art read over and over leave no handle, no thread and no heap of memory."""

import json
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]


def test_nothing_is_left_by_opening_jobs_and_reading_art(folder: Path) -> None:
    """The bound of 20 MB is that of the design; a thousand rounds grew by 0.2 MB."""
    run = subprocess.run(
        [sys.executable, "-m", "tests.faults.leak_loop", str(folder), "60"],
        capture_output=True, text=True, check=True, cwd=ROOT,
    )  # fmt: skip
    grown = json.loads(run.stdout)
    assert (grown["handles"], grown["threads"]) == (0, 0)
    assert grown["memory_mb"] < 20.0
