"""Writing whole files: every call of the system may fail, and the old file must stand."""

import os
import secrets
import stat
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from layout_core.errors import SaveError
from layout_core.files import sweep_temps, write_whole

OLD, NEW = b"old " * 300, b"new " * 500


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
    monkeypatch.setattr(secrets, "token_hex", lambda count: "same")
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


def abandoned(folder: Path, name: str) -> Path:
    """A half-written file of long ago."""
    path = folder / name
    path.write_bytes(b"x")
    os.utime(path, (0, 0))
    return path


def test_the_sweep_takes_old_leftovers_only(tmp_path: Path) -> None:
    gone = [abandoned(tmp_path, f".duskwright-{'a' * 16}.tmp"), tmp_path / f".duskwright-{'b' * 16}"]
    gone[1].mkdir()
    (gone[1] / "proof.png").write_bytes(b"x")
    os.utime(gone[1], (0, 0))
    stays = [abandoned(tmp_path, name) for name in ("kept.duskjob", ".other.tmp", ".duskwright-notes.tmp")]
    young = tmp_path / f".duskwright-{'c' * 16}.tmp"
    young.write_bytes(b"x")
    assert sweep_temps(tmp_path) == 2
    assert set(tmp_path.iterdir()) == {*stays, young}
    assert sweep_temps(tmp_path / "absent") == 0


def test_a_save_takes_along_what_a_killed_program_left_there(tmp_path: Path) -> None:
    abandoned(tmp_path, f".duskwright-{'a' * 16}.tmp")
    write_whole(tmp_path / "a", NEW)
    assert [entry.name for entry in tmp_path.iterdir()] == ["a"]
