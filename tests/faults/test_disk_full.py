"""F4: the disk is full, as the system tells it: a file size limit, a full device, a tiny disk."""

import json
import os
import shutil
import signal
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from layout_core.files import write_whole
from layout_core.job.file import job_bytes
from tests.faults.io_loop import leftovers
from tests.faults.saves import NEW_BYTES, NEW_JOB, OLD_BYTES, Save, all_saves, file_save, in_place, use_folder
from tests.faults.system_calls import stand_between

resource = pytest.importorskip("resource")
ROOT = Path(__file__).parents[2]
SIZES = (0, 1, len(job_bytes(NEW_JOB)) // 2, len(job_bytes(NEW_JOB)) - 1, len(NEW_BYTES) - 1, 1_000_000)


@contextmanager
def no_file_above(size: int) -> Iterator[None]:
    """A write beyond the limit comes back short, the next one fails: what a full disk does."""
    old_limit = resource.getrlimit(resource.RLIMIT_FSIZE)
    old_handler = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, old_limit[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, old_limit)
        signal.signal(signal.SIGXFSZ, old_handler)


class FullDevice:
    """Every new file is a device that has no room."""

    def call(self, name: str, real: Callable[..., Any], args: tuple[Any, ...], kwargs: dict[str, Any]) -> Any:
        if name == "open" and len(args) > 1 and args[1] & os.O_CREAT:
            os.close(real(*args, **kwargs))
            return real("/dev/full", os.O_WRONLY)
        return real(*args, **kwargs)


def lost(save: Save, place: Path, size: int) -> list[str]:
    save.fresh(place)
    with no_file_above(size):
        said_saved = save.write(place)
    state, left = save.state(place), leftovers(place)
    found = (
        []
        if state == ("new" if said_saved else "old")
        else [f"{size}: said saved {said_saved}, found {state}"]
    )
    return [*found, *(f"{size}: left {name}" for name in left)]


@pytest.mark.parametrize("number", range(len(all_saves())), ids=[save.name for save in all_saves()])
def test_a_disk_that_fills_at_any_byte_leaves_the_old_or_reports_the_new(folder: Path, number: int) -> None:
    use_folder(folder)
    save = all_saves()[number]
    assert [line for size in SIZES for line in lost(save, folder, size)] == []


def test_the_loop_catches_a_writer_that_trusts_a_short_write(folder: Path) -> None:
    save = file_save("in place", in_place, OLD_BYTES, NEW_BYTES)
    assert lost(save, folder, len(NEW_BYTES) // 2) != []


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a system without a device that is always full")
@pytest.mark.parametrize("number", range(len(all_saves())), ids=[save.name for save in all_saves()])
def test_a_device_without_room_leaves_the_old(folder: Path, number: int) -> None:
    use_folder(folder)
    save = all_saves()[number]
    save.fresh(folder)
    with pytest.MonkeyPatch.context() as patch:
        stand_between(patch, FullDevice())
        assert not save.write(folder)
    assert save.state(folder) == "old"
    assert leftovers(folder) == set()


def may_mount() -> bool:
    """Whether this system lets a program have a small disk of its own."""
    if shutil.which("unshare") is None:
        return False
    mount = ["mount", "-t", "tmpfs", "-o", "size=4k", "tmpfs", tempfile.gettempdir()]
    return subprocess.run(["unshare", "-Urm", *mount], capture_output=True, check=False).returncode == 0


@pytest.mark.skipif(not may_mount(), reason="no small disk may be mounted here")
def test_a_disk_that_is_really_full_leaves_the_old_job(folder: Path) -> None:
    """The careless twin shows that the disk was full: it loses the old job and says nothing."""
    script = (
        f'mount -t tmpfs -o size=160k tmpfs "$1" && exec "{sys.executable}" -m tests.faults.full_disk "$1"'
    )
    run = subprocess.run(
        ["unshare", "-Urm", "sh", "-c", script, "sh", str(folder)],
        capture_output=True, text=True, check=True, cwd=ROOT,
    )  # fmt: skip
    found = json.loads(run.stdout)
    assert found["whole"]["is_old"]
    assert "no space left" in found["whole"]["reason"]
    assert found["whole"]["names"] == ["night.duskjob"]
    assert found["in place"] == {"is_old": False, "reason": "", "names": ["night.duskjob"]}


def test_words_name_the_file_and_the_reason(folder: Path) -> None:
    with (
        no_file_above(10),
        pytest.raises(Exception, match=r"night\.duskjob: could not be saved in .*too large"),
    ):
        write_whole(folder / "night.duskjob", NEW_BYTES)
