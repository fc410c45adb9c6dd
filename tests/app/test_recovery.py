"""What a crash, a second window or a failing disk does to the job in the window: told, and nothing lost."""

import errno
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.window import MainWindow
from layout_core.job import edits
from layout_core.job.file import job_bytes, read_job, write_job
from layout_core.job.snapshots import SnapshotKeeper, recoverable, restore
from tests.faults.system_calls import Faults, stand_between
from tests.window_kit import main_window, shop_job, workbench

pytestmark = pytest.mark.gui


@pytest.fixture
def window(qapp: QApplication) -> Iterator[MainWindow]:
    with workbench(qapp, shop_job()) as bench, main_window(bench) as shown:
        yield shown


def left_by_a_crash(monkeypatch: pytest.MonkeyPatch) -> None:
    """A snapshot of a window that is no more."""
    SnapshotKeeper().write(edits.rename_job(shop_job(), "Crashed & kept"), None)
    monkeypatch.setattr("layout_core.job.snapshots._is_held", lambda folder: False)


def test_unsaved_work_of_a_crash_is_offered_without_a_dialog_and_brought_back(
    qapp: QApplication, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    left_by_a_crash(monkeypatch)
    with workbench(qapp) as bench, main_window(bench) as window:
        assert window.offer.isVisible()
        assert QApplication.activeModalWidget() is None
        assert window.offer.text.startswith("Unsaved work on “Crashed & kept” was kept")
        qtbot.mouseClick(window.offer.buttons[0], Qt.MouseButton.LeftButton)
        assert bench.document.job.name == "Crashed & kept"
        assert bench.document.is_dirty
        assert window.offer.isHidden()


def test_declined_work_is_thrown_away_and_not_offered_again(
    qapp: QApplication, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    left_by_a_crash(monkeypatch)
    with workbench(qapp) as bench, main_window(bench) as window:
        qtbot.mouseClick(window.offer.buttons[-1], Qt.MouseButton.LeftButton)
        window.recovery.offer()
        assert window.offer.isVisible()
        qtbot.mouseClick(window.offer.buttons[1], Qt.MouseButton.LeftButton)
        window.recovery.offer()
        assert window.offer.isHidden()


def test_work_that_failed_twice_to_come_back_can_be_left_where_it_is(
    qapp: QApplication, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    left_by_a_crash(monkeypatch)
    for _ in range(2):
        restore(recoverable()[0])
    with workbench(qapp) as bench, main_window(bench) as window:
        assert window.offer.buttons[0].text() == "Open without it"
        assert "ended badly 2 times in a row" in window.offer.text
        before = bench.document.job
        qtbot.mouseClick(window.offer.buttons[0], Qt.MouseButton.LeftButton)
        assert window.offer.isHidden()
        assert bench.document.job == before
        assert len(recoverable()) == 1


def test_a_second_window_on_the_same_job_is_told(qapp: QApplication, tmp_path: Path) -> None:
    path = tmp_path / "night.duskjob"
    write_job(path, shop_job())
    with workbench(qapp) as first, workbench(qapp) as second, main_window(second) as window:
        first.document.open(path)
        second.document.open(path)
        assert "night.duskjob is open in another window too" in window.notice.text


def test_a_file_changed_by_another_window_is_not_saved_over_unasked(
    qapp: QApplication, tmp_path: Path
) -> None:
    path = tmp_path / "night.duskjob"
    write_job(path, shop_job())
    with workbench(qapp) as bench, main_window(bench) as window:
        bench.document.open(path)
        theirs = edits.rename_job(shop_job(), "Saved by another window")
        write_job(path, theirs)
        bench.document.apply("Rename", lambda job: edits.rename_job(job, "Ours"))
        assert not window.files.save()
        assert "was changed by another window" in window.notice.text
        assert (read_job(path), bench.document.is_dirty) == (theirs, True)
        assert window.files.save()
        assert read_job(path).name == "Ours"


def test_a_save_that_fails_keeps_the_window_and_names_file_and_reason(
    qapp: QApplication, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """(a), (c) and (d) of what 'nothing lost' means, at every call of the save."""
    path = tmp_path / "night.duskjob"
    write_job(path, shop_job())
    with workbench(qapp) as bench, main_window(bench) as window:
        bench.document.open(path)
        refused = 0
        for fail_at in range(1, 100):
            bench.document.apply("Rename", lambda job, name=str(fail_at): edits.rename_job(job, name))
            window.notice.dismiss()
            before = bench.document.job, bench.document.undo_stack.count()
            on_disk = path.read_bytes()
            fault = Faults(fail_at, errno.ENOSPC, lasting=False, half=False)
            with monkeypatch.context() as patch:
                stand_between(patch, fault)
                said_saved = window.files.save()
            assert (bench.document.job, bench.document.undo_stack.count()) == before
            assert bench.document.is_dirty is not said_saved
            assert path.read_bytes() == (job_bytes(bench.document.job) if said_saved else on_disk)
            if not said_saved:
                refused += 1
                assert window.isVisible()
                assert "night.duskjob" in window.notice.text
                assert "no space left" in window.notice.text.lower()
            if fault.count < fail_at:
                break
        assert refused >= 4


def test_nothing_is_offered_after_a_clean_end(window: MainWindow) -> None:
    assert window.offer.isHidden()
