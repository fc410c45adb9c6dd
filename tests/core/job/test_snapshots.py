"""Snapshots: what a crash leaves behind is offered, what a running window holds is not, nothing is lost."""

import errno
import json
import os
import platform
import subprocess
import sys
import time
from pathlib import Path

import pytest

from layout_core.errors import JobFileError, SaveError
from layout_core.job import edits, running, snapshots
from layout_core.job.file import read_job, write_job
from layout_core.job.model import Job
from layout_core.job.running import Lock, is_held, own_lock, read_lock, write_lock
from layout_core.job.snapshots import (
    KEPT,
    SnapshotKeeper,
    discard,
    recoverable,
    restore,
    snapshots_folder,
    sweep_snapshots,
)
from layout_core.user_folders import state_folder
from tests.core.job.jobs import rich_job


def dead_pid() -> int:
    """The id of a process that has ended."""
    ended = subprocess.Popen([sys.executable, "-c", ""])
    ended.wait()
    return ended.pid


def crash(folder: Path) -> None:
    """Make the folder look as if its program had died."""
    write_lock(folder / "lock.json", Lock(dead_pid(), platform.node(), "", 0))


def named(name: str) -> Job:
    return edits.rename_job(rich_job(), name)


def test_snapshots_lie_in_the_users_state_folder() -> None:
    path = SnapshotKeeper().write(rich_job(), None)
    assert path.parent.parent == snapshots_folder() == state_folder() / "snapshots"
    assert read_job(path) == rich_job()


def test_a_keeper_that_wrote_nothing_leaves_nothing() -> None:
    keeper = SnapshotKeeper()
    keeper.close()
    assert not snapshots_folder().exists()
    assert recoverable() == ()


def test_the_newest_three_are_kept() -> None:
    keeper = SnapshotKeeper()
    paths = [keeper.write(named(f"state {number}"), None) for number in range(6)]
    assert [path.exists() for path in paths] == [False] * (6 - KEPT) + [True] * KEPT
    crash(paths[-1].parent)
    (left,) = recoverable()
    assert left.snapshots == tuple(reversed(paths[-KEPT:]))
    assert restore(left).name == "state 5"


def test_an_unchanged_job_is_not_written_again() -> None:
    keeper = SnapshotKeeper()
    first = keeper.write(rich_job(), None)
    assert keeper.write(rich_job(), None) == first
    assert len(list(first.parent.glob("*.duskjob"))) == 1


def test_a_running_window_is_not_offered_and_a_crashed_one_is() -> None:
    path = SnapshotKeeper().write(named("open"), Path("x.duskjob"))
    assert recoverable() == ()
    crash(path.parent)
    (left,) = recoverable()
    assert (left.job_name, left.job_path, left.restores) == ("open", Path("x.duskjob"), 0)
    assert left.saved_at == path.stat().st_mtime


def test_a_clean_close_leaves_nothing_and_the_keeper_can_go_on() -> None:
    keeper = SnapshotKeeper()
    folder = keeper.write(rich_job(), None).parent
    keeper.close()
    assert not folder.exists()
    assert keeper.write(rich_job(), None).exists()


def test_a_program_killed_without_a_chance_is_found() -> None:
    code = (
        "import os; from layout_core.job.snapshots import SnapshotKeeper;"
        "from tests.core.job.jobs import rich_job;"
        "SnapshotKeeper().write(rich_job(), None); os._exit(9)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 9
    (left,) = recoverable()
    assert restore(left) == rich_job()


def test_restoring_deletes_nothing_and_holds_the_folder() -> None:
    path = SnapshotKeeper().write(rich_job(), None)
    crash(path.parent)
    (left,) = recoverable()
    restore(left)
    assert path.exists()
    assert recoverable() == (), "a second window must not offer what the first has restored"
    crash(path.parent)
    (again,) = recoverable()
    assert restore(again) == rich_job()


def test_a_restore_that_crashes_again_is_counted() -> None:
    folder = SnapshotKeeper().write(rich_job(), None).parent
    crash(folder)
    for restores in range(3):
        (left,) = recoverable()
        assert left.restores == restores
        restore(left)
        lock = read_lock(folder / "lock.json")
        assert lock is not None
        write_lock(folder / "lock.json", Lock(dead_pid(), lock.host, "", lock.restores))


def restored_by_another_window() -> tuple[SnapshotKeeper, Path, Path]:
    """Work that was restored and kept again by the window that restored it; that one crashed too."""
    first = SnapshotKeeper().write(named("before"), None).parent
    crash(first)
    (left,) = recoverable()
    restore(left)
    second = SnapshotKeeper()
    second.follow(left)
    folder = second.write(named("after"), None).parent
    for each in (first, folder):
        lock = read_lock(each / "lock.json")
        assert lock is not None
        write_lock(each / "lock.json", Lock(dead_pid(), lock.host, "", lock.restores))
    return second, first, folder


def test_work_that_was_restored_and_crashed_again_is_offered_once() -> None:
    _, first, second = restored_by_another_window()
    (left,) = recoverable()
    assert (left.folder, left.earlier, left.restores) == (second, (first,), 1)
    assert restore(left).name == "after"
    left.snapshots[0].write_bytes(b"")
    assert restore(left).name == "before"
    discard(left)
    assert recoverable() == ()
    assert not first.exists()


def test_work_after_a_restore_ends_the_row_of_failures() -> None:
    keeper, _, folder = restored_by_another_window()
    keeper.settle()
    keeper.write(named("worked on"), None)
    assert (lock := read_lock(folder / "lock.json")) is not None
    assert lock.restores == 0
    assert recoverable() == (), "it runs"


def test_what_a_saved_job_was_restored_from_is_not_offered_and_goes(tmp_path: Path) -> None:
    _, first, folder = restored_by_another_window()
    path = tmp_path / "job.duskjob"
    write_job(path, named("after"))
    (folder / "about.json").write_text(
        json.dumps({"job_name": "after", "job_path": str(path), "follows": first.name}), encoding="utf-8"
    )
    assert recoverable() == ()
    for entry in (*first.iterdir(), *folder.iterdir()):
        os.utime(entry, (0, 0))
    sweep_snapshots()
    assert not first.exists()
    assert not folder.exists()


@pytest.mark.parametrize("follows", ["../../elsewhere", "x" * 16, 7, None])
def test_a_note_cannot_name_a_folder_elsewhere(follows: object) -> None:
    path = SnapshotKeeper().write(rich_job(), None)
    crash(path.parent)
    (path.parent / "about.json").write_text(
        json.dumps({"job_name": "a", "job_path": None, "follows": follows}), encoding="utf-8"
    )
    (left,) = recoverable()
    assert left.earlier == ()


def test_folders_that_follow_each_other_in_a_ring_are_no_endless_chain() -> None:
    _, first, folder = restored_by_another_window()
    (first / "about.json").write_text(
        json.dumps({"job_name": "a", "job_path": None, "follows": folder.name}), encoding="utf-8"
    )
    assert len(recoverable()) <= 1


def test_discarding_removes_only_that_folder() -> None:
    first, second = SnapshotKeeper(), SnapshotKeeper()
    paths = [first.write(named("first"), None), second.write(named("second"), None)]
    for path in paths:
        crash(path.parent)
    left = next(left for left in recoverable() if left.job_name == "first")
    discard(left)
    assert [left.job_name for left in recoverable()] == ["second"]


def test_what_the_job_file_holds_already_is_not_offered(tmp_path: Path) -> None:
    path = tmp_path / "night.duskjob"
    write_job(path, rich_job())
    folder = SnapshotKeeper().write(rich_job(), path).parent
    crash(folder)
    assert recoverable() == ()
    write_job(path, named("older"))
    assert len(recoverable()) == 1
    path.unlink()
    assert len(recoverable()) == 1


def test_a_broken_newest_snapshot_gives_way_to_the_one_before() -> None:
    keeper = SnapshotKeeper()
    keeper.write(named("good"), None)
    path = keeper.write(named("torn"), None)
    path.write_bytes(path.read_bytes()[:100])
    crash(path.parent)
    (left,) = recoverable()
    assert restore(left).name == "good"
    for snapshot in left.snapshots:
        snapshot.write_bytes(b"")
    with pytest.raises(JobFileError, match="torn: none of its 2 snapshots can be read"):
        restore(left)


def test_a_snapshot_that_cannot_be_written_leaves_the_last_one(monkeypatch: pytest.MonkeyPatch) -> None:
    keeper = SnapshotKeeper()
    path = keeper.write(named("good"), None)

    def full(handle: int, data: bytes) -> int:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(os, "write", full)
        with pytest.raises(SaveError, match="no space left"):
            keeper.write(named("lost"), None)
    assert sorted(entry.name for entry in path.parent.iterdir()) == [
        "000001.duskjob",
        "about.json",
        "lock.json",
    ]
    assert read_job(path).name == "good"
    assert read_job(keeper.write(named("next"), None)).name == "next"


def test_a_state_folder_that_cannot_be_made_is_named(tmp_path: Path) -> None:
    (tmp_path / "taken").write_bytes(b"")
    with pytest.raises(SaveError, match="no snapshot can be kept there"):
        SnapshotKeeper(tmp_path / "taken").write(rich_job(), None)


@pytest.mark.parametrize("about", [b"", b"[]", b"{}", b"\xff", b'{"job_name": 1}', b"[" * 9000])
def test_a_damaged_note_does_not_hide_the_work(about: bytes) -> None:
    path = SnapshotKeeper().write(rich_job(), Path("x"))
    crash(path.parent)
    (path.parent / "about.json").write_bytes(about)
    (left,) = recoverable()
    assert (left.job_name, left.job_path) == ("Unnamed job", None)
    assert restore(left) == rich_job()


@pytest.mark.parametrize("lock", [b"", b"[]", b"{}", b"\xff", b'{"pid": "x"}', b"[" * 4000])
def test_a_damaged_lock_holds_nothing(lock: bytes) -> None:
    path = SnapshotKeeper().write(rich_job(), None)
    (path.parent / "lock.json").write_bytes(lock)
    assert len(recoverable()) == 1


def test_strangers_in_the_folder_are_passed_over() -> None:
    snapshots_folder().mkdir(parents=True)
    (snapshots_folder() / "file").write_bytes(b"x")
    (snapshots_folder() / "empty").mkdir()
    assert recoverable() == ()


def test_the_sweep_takes_old_empty_folders_and_no_work() -> None:
    root = snapshots_folder()
    path = SnapshotKeeper().write(rich_job(), None)
    crash(path.parent)
    for name in ("old", "young"):
        (root / name).mkdir()
        (root / name / "lock.json").write_bytes(b"")
    for entry in (root / "old" / "lock.json", *path.parent.iterdir()):
        os.utime(entry, (0, 0))
    sweep_snapshots()
    assert {folder.name for folder in root.iterdir()} == {"young", path.parent.name}
    assert restore(recoverable()[0]) == rich_job()
    sweep_snapshots(root / "absent")


def test_a_lock_of_this_process_is_held(tmp_path: Path) -> None:
    write_lock(tmp_path / "lock", own_lock())
    assert is_held(tmp_path / "lock", 0.0)
    assert not is_held(tmp_path / "absent", 0.0)


def test_a_lock_of_another_computer_counts_for_some_hours(tmp_path: Path) -> None:
    write_lock(tmp_path / "lock", Lock(os.getpid(), "another computer", "", 0))
    assert is_held(tmp_path / "lock", time.time())
    assert not is_held(tmp_path / "lock", time.time() - running._FOREIGN_LOCK_HOLDS_S - 1)


def test_a_later_process_with_the_same_id_holds_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    lock = own_lock()
    write_lock(tmp_path / "lock", Lock(lock.pid, lock.host, "before the restart", 0))
    monkeypatch.setattr(running, "_start_mark", lambda pid: "after the restart")
    assert not is_held(tmp_path / "lock", time.time())
    monkeypatch.setattr(running, "_start_mark", lambda pid: "")  # a system that does not tell
    assert is_held(tmp_path / "lock", time.time())


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="the start is told in /proc")
def test_the_start_mark_tells_processes_apart() -> None:
    sleeper = subprocess.Popen([sys.executable, "-c", "input()"], stdin=subprocess.PIPE)
    try:
        mark = running._start_mark(sleeper.pid)
        assert mark.isdigit()
        assert mark != running._start_mark(os.getpid())
        assert mark == running._start_mark(sleeper.pid)
    finally:
        sleeper.communicate(b"\n")


@pytest.mark.parametrize("pid", [0, -1, 10**30])
def test_an_impossible_process_id_holds_nothing(tmp_path: Path, pid: int) -> None:
    (tmp_path / "lock").write_text(
        json.dumps({"pid": pid, "host": platform.node(), "start": "", "restores": 0}), encoding="utf-8"
    )
    assert not is_held(tmp_path / "lock", time.time())


def test_a_folder_that_cannot_be_read_is_left_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    path = SnapshotKeeper().write(rich_job(), None)
    crash(path.parent)
    for entry in path.parent.iterdir():
        os.utime(entry, (0, 0))

    def refuse(folder: Path) -> list[Path]:
        raise PermissionError(errno.EACCES, "no")

    with monkeypatch.context() as patch:
        patch.setattr(snapshots, "_snapshots", refuse)
        assert recoverable() == ()
        sweep_snapshots()
    assert path.exists()
