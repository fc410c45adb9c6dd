"""F6: no memory left, at every allocation of a save and of a load."""

import importlib.util
import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.skipif(
    importlib.util.find_spec("_testcapi") is None, reason="a Python without its own test hooks"
)
ROOT = Path(__file__).parents[2]
MOST = 500


@pytest.fixture(scope="module")
def outcome(quick_root: Path) -> Any:
    run = subprocess.run(
        [sys.executable, "-m", "tests.faults.memory_loop", str(quick_root / "starved"), str(MOST)],
        capture_output=True, text=True, check=False, cwd=ROOT,
    )  # fmt: skip
    assert run.returncode == 0, run.stderr[-2000:]
    return json.loads(run.stdout)


def test_nothing_is_lost_when_memory_runs_out_in_a_save(outcome: Any) -> None:
    for name, (faults, lost) in outcome["saves"].items():
        assert lost == [], name
        assert faults > 20, name


def test_a_job_is_read_whole_or_not_at_all(outcome: Any) -> None:
    faults, lost = outcome["reading"]
    assert lost == []
    assert faults > 100


def test_the_loop_catches_a_writer_that_writes_in_place(outcome: Any) -> None:
    assert outcome["twin"][1] != []
