"""F2 and F7: the process dies at any call; what it left is whole, and restored even while the disk fails."""

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="the loop forks")
ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def outcome(quick_root: Path) -> Any:
    run = subprocess.run(
        [sys.executable, "-W", "ignore::DeprecationWarning", "-m", "tests.faults.kill_loop",
         str(quick_root / "killed")],
        capture_output=True, text=True, check=True, cwd=ROOT,
    )  # fmt: skip
    return json.loads(run.stdout)


def test_a_kill_before_or_after_any_call_leaves_the_old_or_the_new(outcome: Any) -> None:
    assert len(outcome["saves"]) == 6
    for name, (kills, torn) in outcome["saves"].items():
        assert torn == [], name
        assert kills >= 10, name


def test_the_loop_catches_a_writer_that_writes_in_place(outcome: Any) -> None:
    kills, torn = outcome["twin"]
    assert kills >= 6
    assert torn != []


def test_restoring_what_a_kill_left_while_the_disk_fails_loses_nothing(outcome: Any) -> None:
    faults, lost = outcome["compound"]
    assert lost == []
    assert faults > 300
