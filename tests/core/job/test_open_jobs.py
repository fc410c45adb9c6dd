"""A job file that two windows have open: told by notes that die with their window."""

import platform
from pathlib import Path

from layout_core.job.open_jobs import OpenJob
from layout_core.job.running import Lock, write_lock
from layout_core.user_folders import state_folder
from tests.core.job.test_snapshots import dead_pid


def notes() -> list[Path]:
    return sorted(state_folder().glob("open/*/*.json"))


def test_the_second_window_on_a_job_is_told_and_the_first_is_not(tmp_path: Path) -> None:
    first, second, other = OpenJob(), OpenJob(), OpenJob()
    assert not first.claim(tmp_path / "night.duskjob")
    assert not other.claim(tmp_path / "walk.duskjob")
    assert second.claim(tmp_path / "night.duskjob")


def test_the_same_file_by_another_name_is_the_same_job(tmp_path: Path) -> None:
    first, second = OpenJob(), OpenJob()
    (tmp_path / "a").mkdir()
    assert not first.claim(tmp_path / "night.duskjob")
    assert second.claim(tmp_path / "a" / ".." / "night.duskjob")


def test_a_window_that_leaves_the_job_is_forgotten(tmp_path: Path) -> None:
    first, second = OpenJob(), OpenJob()
    first.claim(tmp_path / "night.duskjob")
    first.claim(tmp_path / "walk.duskjob")
    assert not second.claim(tmp_path / "night.duskjob")
    for window in (first, second):
        window.release()
        window.release()
    assert list(state_folder().glob("open/*")) == []


def test_a_window_that_crashed_counts_for_nothing(tmp_path: Path) -> None:
    OpenJob().claim(tmp_path / "night.duskjob")
    (note,) = notes()
    write_lock(note, Lock(dead_pid(), platform.node(), "", 0))
    assert not OpenJob().claim(tmp_path / "night.duskjob")
    assert not note.exists()


def test_where_no_note_can_be_kept_the_job_opens_all_the_same(tmp_path: Path) -> None:
    state_folder().parent.mkdir(parents=True, exist_ok=True)
    state_folder().write_bytes(b"in the way")
    window = OpenJob()
    assert not window.claim(tmp_path / "night.duskjob")
    window.release()
