"""F5: faults let loose below Python, in a process with Qt in it, while its document is saved."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from layout_core.job.file import read_job
from tests.faults.one_save import JOB_NAME, TEMP_NAME, prepare
from tests.faults.saves import NEW_JOB, OLD_JOB

ROOT = Path(__file__).parents[2]
CALLS = {"write": "write", "sync": "fsync", "rename": "?rename,?renameat,?renameat2", "close": "close"}


def may_trace() -> bool:
    tracer = shutil.which("strace")
    return tracer is not None and (
        subprocess.run(
            [tracer, "-qq", "-o", "/dev/null", "true"], capture_output=True, check=False
        ).returncode
        == 0
    )


pytestmark = pytest.mark.skipif(not may_trace(), reason="no process may be traced here")


def traced(place: Path, call: str, fault: str, *words: str) -> subprocess.CompletedProcess[str]:
    """Save once; the first such call on the job or its temporary file meets the fault."""
    prepare(place)
    aim = ["-P", str(place / TEMP_NAME)] + ([] if call == "close" else ["-P", str(place / JOB_NAME)])
    return subprocess.run(
        ["strace", "-f", "-qq", "-o", "/dev/null", "-e", f"trace={CALLS[call]}",
         "-e", f"inject={CALLS[call]}:{fault}:when=1", *aim,
         sys.executable, "-m", "tests.faults.one_save", str(place), *words],
        capture_output=True, text=True, check=False, cwd=ROOT,
    )  # fmt: skip


@pytest.mark.parametrize("call", list(CALLS))
@pytest.mark.parametrize("fault", ["ENOSPC", "EIO", "EACCES"])
def test_a_fault_leaves_the_old_job_and_an_unsaved_document(folder: Path, call: str, fault: str) -> None:
    run = traced(folder, call, f"error={fault}")
    assert run.returncode == 0, run.stderr
    words, dirty, kept = run.stdout.strip().split("|")
    assert words.startswith(f"refused: {JOB_NAME}: could not be saved in ")
    assert (dirty, kept) == ("dirty True", "kept True")
    assert read_job(folder / JOB_NAME) == OLD_JOB
    if call != "close":  # the descriptor that the tracer kept open is not ours to close twice
        assert [path.name for path in folder.iterdir()] == [JOB_NAME]


@pytest.mark.parametrize("call", list(CALLS))
def test_a_kill_leaves_a_whole_job(folder: Path, call: str) -> None:
    run = traced(folder, call, "signal=SIGKILL")
    assert run.returncode != 0
    assert read_job(folder / JOB_NAME) in (OLD_JOB, NEW_JOB)


def test_the_loop_catches_a_writer_that_writes_in_place(folder: Path) -> None:
    traced(folder, "write", "error=ENOSPC", "in-place")
    assert (folder / JOB_NAME).read_bytes() == b""
