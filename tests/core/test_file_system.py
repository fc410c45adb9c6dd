"""The small differences between systems: each way is tried on this system, with the others played."""

import ctypes
import errno
import os
import shutil
import sys
import time
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from layout_core import file_system
from layout_core.file_system import exchanged, remove_folder, replace_file, sync_file, sync_folder, write_new

NEW = b"new " * 500


def test_a_new_file_never_replaces_one(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"theirs")
    with pytest.raises(FileExistsError):
        write_new(tmp_path / "a", NEW)
    assert (tmp_path / "a").read_bytes() == b"theirs"
    write_new(tmp_path / "b", NEW)
    assert (tmp_path / "b").read_bytes() == NEW


def test_a_new_file_that_cannot_be_synced_is_gone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(handle: int) -> None:
        raise OSError(errno.EIO, "no")

    monkeypatch.setattr(file_system, "sync_file", refuse)
    with pytest.raises(OSError, match="no"):
        write_new(tmp_path / "a", NEW)
    assert list(tmp_path.iterdir()) == []


class Held:
    """A replace that a scanner refuses so often."""

    def __init__(self, times: int) -> None:
        self.times, self.calls, self.waits = times, 0, []  # type: int, int, list[float]

    def replace(self, source: Path, target: Path) -> None:
        self.calls += 1
        if self.calls <= self.times:
            raise PermissionError(errno.EACCES, "held")
        os.rename(source, target)


@pytest.mark.parametrize(
    ("is_windows", "times", "calls", "works"),
    [(True, 0, 1, True), (True, 4, 5, True), (True, 5, 5, False), (False, 1, 1, False)],
)
def test_a_held_file_is_tried_again_on_windows_only(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, is_windows: bool, times: int, calls: int, works: bool
) -> None:
    held = Held(times)
    monkeypatch.setattr(file_system, "IS_WINDOWS", is_windows)
    monkeypatch.setattr(time, "sleep", held.waits.append)
    (tmp_path / "temp").write_bytes(NEW)
    (tmp_path / "job").write_bytes(b"old")
    with monkeypatch.context() as patch:
        patch.setattr(os, "replace", held.replace)
        if works:
            replace_file(tmp_path / "temp", tmp_path / "job")
        else:
            with pytest.raises(PermissionError):
                replace_file(tmp_path / "temp", tmp_path / "job")
    assert held.calls == calls
    assert held.waits == sorted(held.waits)
    assert (tmp_path / "job").read_bytes() == (NEW if works else b"old")


@pytest.mark.parametrize("has_full_sync", [True, False])
def test_on_macos_the_drive_is_asked_to_hold_it(monkeypatch: pytest.MonkeyPatch, has_full_sync: bool) -> None:
    asked: list[Any] = []

    def control(handle: int, command: int) -> None:
        asked.append((handle, command))
        if not has_full_sync:
            raise OSError(errno.ENOTSUP, "a share")

    monkeypatch.setattr(sys, "platform", "darwin")
    monkeypatch.setitem(sys.modules, "fcntl", SimpleNamespace(fcntl=control))
    monkeypatch.setattr(os, "fsync", lambda handle: asked.append("fsync"))
    sync_file(7)
    assert asked == [(7, 51)] if has_full_sync else [(7, 51), "fsync"]


def test_a_folder_is_synced_where_that_is_known(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    synced: list[int] = []
    monkeypatch.setattr(os, "fsync", synced.append)
    sync_folder(tmp_path / "absent")
    assert synced == []
    if os.name == "posix":
        sync_folder(tmp_path)
        assert len(synced) == 1
    monkeypatch.setattr(file_system, "IS_WINDOWS", True)
    count = len(synced)
    sync_folder(tmp_path)
    assert len(synced) == count


def test_folders_are_swapped_or_left_as_they_were(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        (tmp_path / name / name).write_bytes(b"")
    swapped = exchanged(tmp_path / "one", tmp_path / "two")
    assert (tmp_path / "one" / ("two" if swapped else "one")).exists()
    assert (tmp_path / "two" / ("one" if swapped else "two")).exists()
    monkeypatch.setattr(file_system, "IS_WINDOWS", True)
    assert not exchanged(tmp_path / "one", tmp_path / "two")


@pytest.mark.skipif(sys.platform != "linux", reason="the kernel call of Linux")
def test_linux_swaps_in_one_step(tmp_path: Path) -> None:
    (tmp_path / "one").mkdir()
    (tmp_path / "two").write_bytes(b"")
    assert exchanged(tmp_path / "one", tmp_path / "two")
    assert (tmp_path / "two").is_dir()
    with pytest.raises(FileNotFoundError):
        exchanged(tmp_path / "one", tmp_path / "absent")


def test_a_disk_that_knows_no_swap_is_no_error(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def unknown(first: bytes, second: bytes) -> int:
        ctypes.set_errno(errno.EINVAL)
        return -1

    monkeypatch.setattr(file_system, "_swap_call", lambda: unknown)
    assert not exchanged(tmp_path / "one", tmp_path / "two")


def test_a_folder_is_removed_at_the_second_go(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "old").mkdir()
    real, calls = shutil.rmtree, []

    def disturbed(folder: Path, ignore_errors: bool) -> None:
        calls.append(folder)
        if len(calls) == 1:
            raise OSError(errno.EIO, "disturbed")
        real(folder, ignore_errors)

    monkeypatch.setattr(shutil, "rmtree", disturbed)
    remove_folder(tmp_path / "old")
    assert list(tmp_path.iterdir()) == []
    remove_folder(tmp_path / "absent")
