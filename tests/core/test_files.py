"""Writing whole files: every call of the system may fail, and the old file must stand."""

import errno
import os
import stat
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from layout_core import files
from layout_core.errors import SaveError
from layout_core.files import sweep_temps, write_whole

OLD, NEW = b"old " * 300, b"new " * 500
CALLS = ("open", "write", "fsync", "close", "replace", "stat", "chmod", "unlink")


class Faults:
    """Lets the n-th call of the system fail, and every later one if `lasting`; a write may go half-way."""

    def __init__(self, fail_at: int, code: int, lasting: bool, half: bool) -> None:
        self.fail_at, self.code, self.lasting, self.half = fail_at, code, lasting, half
        self.count = 0

    def wrapped(self, name: str, real: Callable[..., Any]) -> Callable[..., Any]:
        def call(*args: Any, **kwargs: Any) -> Any:
            self.count += 1
            if self.count < self.fail_at or (self.count > self.fail_at and not self.lasting):
                return real(*args, **kwargs)
            if name == "write" and self.half and len(args[1]) > 1:
                return real(args[0], args[1][: len(args[1]) // 2])
            if name == "close":
                real(*args)  # the descriptor is gone after a failed close too
            raise OSError(self.code, os.strerror(self.code))

        return call


def patched(monkeypatch: pytest.MonkeyPatch, faults: Faults) -> None:
    for name in CALLS:
        monkeypatch.setattr(os, name, faults.wrapped(name, getattr(os, name)))


KILLED_AT_EVERY_CALL = """
import os, signal, sys
from pathlib import Path
from layout_core.files import write_whole

OLD, NEW = b"old " * 300, b"new " * 500
CALLS = ("open", "write", "fsync", "close", "replace", "stat", "chmod", "unlink")

def in_place(path, data):
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
    os.write(handle, data)
    os.fsync(handle)
    os.close(handle)

def killed_at(number, after, write, target):
    count = [0]
    def wrapped(real):
        def call(*args, **kwargs):
            count[0] += 1
            if count[0] == number and not after:
                os.kill(os.getpid(), signal.SIGKILL)
            result = real(*args, **kwargs)
            if count[0] == number:
                os.kill(os.getpid(), signal.SIGKILL)
            return result
        return call
    child = os.fork()
    if child == 0:
        for name in CALLS:
            setattr(os, name, wrapped(getattr(os, name)))
        write(target, NEW)
        os._exit(0)
    return os.waitpid(child, 0)[1] != 0

write, folder = {"whole": write_whole, "in place": in_place}[sys.argv[1]], Path(sys.argv[2])
kills, torn = 0, 0
for after in (False, True):
    for number in range(1, 60):
        target = folder / "job"
        target.write_bytes(OLD)
        if not killed_at(number, after, write, target):
            break
        kills += 1
        torn += target.read_bytes() not in (OLD, NEW)
print(kills, torn)
"""


def open_descriptors() -> int:
    folder = Path("/proc/self/fd")
    return len(list(folder.iterdir())) if folder.is_dir() else 0


def fault_plans() -> Iterator[tuple[int, bool, bool]]:
    for code in (errno.ENOSPC, errno.EIO, errno.EACCES, errno.EROFS, errno.EINTR):
        for lasting in (False, True):
            for half in (False, True):
                yield code, lasting, half


def violations(folder: Path, write: Callable[[Path, bytes], None]) -> list[str]:
    """Runs `write` with a fault at each call in turn until it is untouched; what went wrong."""
    bad: list[str] = []
    target = folder / "job.duskjob"
    for code, lasting, half in fault_plans():
        for fail_at in range(1, 40):
            target.write_bytes(OLD)
            before = open_descriptors()
            faults = Faults(fail_at, code, lasting, half)
            said_saved = True
            with pytest.MonkeyPatch.context() as patch:
                patched(patch, faults)
                try:
                    write(target, NEW)
                except (SaveError, OSError):
                    said_saved = False
            where = f"call {fail_at}, {errno.errorcode[code]}, lasting {lasting}, half {half}"
            if target.read_bytes() != (NEW if said_saved else OLD):
                bad.append(f"{where}: content")
            temps = [entry for entry in folder.iterdir() if entry != target]
            if temps and not lasting:
                bad.append(f"{where}: temp left")
            for temp in temps:
                temp.unlink()
            if open_descriptors() > before:
                bad.append(f"{where}: descriptor left")
            if faults.count < fail_at:
                break
        else:
            bad.append("the loop never reached an untouched run")
    return bad


def test_a_fault_at_any_call_leaves_the_old_file_or_reports_the_new_one(tmp_path: Path) -> None:
    """Source of the method: SQLite, 'How SQLite Is Tested', I/O error loop (fail once; fail from then on)."""
    assert violations(tmp_path, write_whole) == []


def test_the_fault_loop_catches_a_writer_that_writes_in_place(tmp_path: Path) -> None:
    def in_place(path: Path, data: bytes) -> None:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
        os.write(handle, data)
        os.fsync(handle)
        os.close(handle)

    assert len(violations(tmp_path, in_place)) > 20


def test_the_fault_loop_catches_a_writer_that_trusts_a_short_write(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def trusting(handle: int, data: bytes) -> None:
        os.write(handle, data)
        os.fsync(handle)
        os.close(handle)

    monkeypatch.setattr(files, "_fill", trusting)
    assert any("content" in line for line in violations(tmp_path, write_whole))


def test_a_new_file_is_written_and_an_old_one_replaced(tmp_path: Path) -> None:
    target = tmp_path / "a.bin"
    write_whole(target, OLD)
    assert target.read_bytes() == OLD
    write_whole(target, b"")
    assert target.read_bytes() == b""
    assert list(tmp_path.iterdir()) == [target]


def test_the_data_is_synced_before_the_name_and_the_folder_after(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Source of the order: SQLite, 'Atomic Commit'. Without the first sync a power cut leaves a torn file."""
    done: list[str] = []
    kinds: dict[int, str] = {}

    def noted(name: str, real: Callable[..., Any]) -> Callable[..., Any]:
        def call(*args: Any, **kwargs: Any) -> Any:
            result = real(*args, **kwargs)
            if name == "open":
                kinds[result] = "folder" if Path(args[0]).is_dir() else "file"
            else:
                done.append(f"{name} {kinds.get(args[0], '')}".strip())
            return result

        return call

    with monkeypatch.context() as patch:
        for name in ("open", "write", "fsync", "replace"):
            patch.setattr(os, name, noted(name, getattr(os, name)))
        write_whole(tmp_path / "a", NEW)
    expected = ["write file", "fsync file", "replace", "fsync folder"]
    assert done == (expected if os.name == "posix" else expected[:3])


def test_a_strangers_file_of_the_same_temp_name_is_not_touched(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(files.secrets, "token_hex", lambda count: "same")
    stranger = tmp_path / ".duskwright-same.tmp"
    stranger.write_bytes(b"theirs")
    with pytest.raises(SaveError, match="exists"):
        write_whole(tmp_path / "a", NEW)
    assert stranger.read_bytes() == b"theirs"
    assert not (tmp_path / "a").exists()


def test_a_write_that_gets_nowhere_is_given_up(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    calls: list[int] = []

    def nothing(handle: int, data: bytes) -> int:
        calls.append(handle)
        if len(calls) > 100:
            raise AssertionError("it would try for ever")
        return 0

    monkeypatch.setattr(os, "write", nothing)
    with pytest.raises(SaveError, match="nothing more could be written"):
        write_whole(tmp_path / "a", NEW)
    assert not list(tmp_path.iterdir())


def test_the_message_names_file_folder_and_reason(tmp_path: Path) -> None:
    with pytest.raises(SaveError, match=r"a\.duskjob: could not be saved in .*gone \(no such file"):
        write_whole(tmp_path / "gone" / "a.duskjob", NEW)
    with pytest.raises(SaveError, match="null"):
        write_whole(Path(f"{tmp_path}/a\0b"), NEW)


def test_a_folder_in_the_way_is_refused_and_stays(tmp_path: Path) -> None:
    (tmp_path / "job").mkdir()
    with pytest.raises(SaveError):
        write_whole(tmp_path / "job", NEW)
    assert [entry.name for entry in tmp_path.iterdir()] == ["job"]


@pytest.mark.skipif(sys.platform == "win32", reason="permission bits and links are POSIX matters")
class TestOnPosix:
    def test_permissions_of_the_old_file_stay(self, tmp_path: Path) -> None:
        target = tmp_path / "a"
        target.write_bytes(OLD)
        target.chmod(0o640)
        write_whole(target, NEW)
        assert stat.S_IMODE(target.stat().st_mode) == 0o640

    def test_a_new_file_has_the_permissions_of_any_new_file(self, tmp_path: Path) -> None:
        (tmp_path / "plain").write_bytes(b"")
        write_whole(tmp_path / "ours", NEW)
        modes = {stat.S_IMODE((tmp_path / name).stat().st_mode) for name in ("plain", "ours")}
        assert len(modes) == 1

    def test_a_link_stays_a_link_and_its_target_is_written(self, tmp_path: Path) -> None:
        (tmp_path / "real").mkdir()
        (tmp_path / "real" / "a").write_bytes(OLD)
        (tmp_path / "link").symlink_to(tmp_path / "real" / "a")
        write_whole(tmp_path / "link", NEW)
        assert (tmp_path / "link").is_symlink()
        assert (tmp_path / "real" / "a").read_bytes() == NEW

    @pytest.mark.parametrize(("writer", "tears"), [("whole", False), ("in place", True)])
    def test_a_kill_before_or_after_any_call_leaves_a_whole_file(
        self, tmp_path: Path, writer: str, tears: bool
    ) -> None:
        """Source of the method: SQLite, 'How SQLite Is Tested', crash tests; the twin shows that it bites."""
        run = subprocess.run(
            [sys.executable, "-c", KILLED_AT_EVERY_CALL, writer, str(tmp_path)],
            capture_output=True, text=True, check=True, cwd=Path(__file__).parents[2],
        )  # fmt: skip
        kills, torn = map(int, run.stdout.split())
        assert kills >= 8
        assert (torn > 0) == tears
        assert sweep_temps(tmp_path) == 0, "a young temp may be another program's"
        for temp in tmp_path.glob(".duskwright-*.tmp"):
            os.utime(temp, (0, 0))
        sweep_temps(tmp_path)
        assert [entry.name for entry in tmp_path.iterdir()] == ["job"]

    def test_a_real_file_size_limit_leaves_the_old_file(self, tmp_path: Path) -> None:
        """RLIMIT_FSIZE gives a true short write, then EFBIG, as a full disk does."""
        resource = pytest.importorskip("resource")
        signal = pytest.importorskip("signal")
        target = tmp_path / "a"
        target.write_bytes(OLD)
        old_limit = resource.getrlimit(resource.RLIMIT_FSIZE)
        old_handler = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        try:
            for size in (0, 1, len(NEW) // 2, len(NEW) - 1):
                resource.setrlimit(resource.RLIMIT_FSIZE, (size, old_limit[1]))
                with pytest.raises(SaveError, match="too large"):
                    write_whole(target, NEW)
                assert target.read_bytes() == OLD
                assert list(tmp_path.iterdir()) == [target]
            resource.setrlimit(resource.RLIMIT_FSIZE, (len(NEW), old_limit[1]))
            write_whole(target, NEW)
        finally:
            resource.setrlimit(resource.RLIMIT_FSIZE, old_limit)
            signal.signal(signal.SIGXFSZ, old_handler)
        assert target.read_bytes() == NEW


def test_on_windows_a_held_file_is_tried_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real, refused = os.replace, []

    def held(source: Path, target: Path) -> None:
        if len(refused) < 3:
            refused.append(source)
            raise PermissionError(errno.EACCES, "held")
        real(source, target)

    monkeypatch.setattr(files, "_sync_folder", lambda folder: None)
    monkeypatch.setattr(os, "replace", held)
    monkeypatch.setattr(time, "sleep", lambda seconds: None)
    target = tmp_path / "a"
    with monkeypatch.context() as patch:
        patch.setattr(os, "name", "nt")
        files._put_in_place(_temp(tmp_path), target)
    assert target.read_bytes() == NEW
    assert len(refused) == 3


def _temp(folder: Path) -> Path:
    temp = folder / "temp"
    temp.write_bytes(NEW)
    return temp


def test_the_sweep_takes_old_temps_only(tmp_path: Path) -> None:
    for name in (".duskwright-aa.tmp", ".duskwright-bb.tmp", "kept.duskjob", ".other.tmp"):
        (tmp_path / name).write_bytes(b"x")
    for name in (".duskwright-aa.tmp", "kept.duskjob", ".other.tmp"):
        os.utime(tmp_path / name, (0, 0))
    assert sweep_temps(tmp_path) == 1
    assert {entry.name for entry in tmp_path.iterdir()} == {
        ".duskwright-bb.tmp",
        "kept.duskjob",
        ".other.tmp",
    }
    assert sweep_temps(tmp_path / "absent") == 0
