"""The long-lived objects are joined: what goes wrong anywhere is told in one place."""

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.error_log import log_path
from app.settings import Settings
from app.window import MainWindow
from app.wiring import Workbench, build_workbench, run_window
from layout_core.errors import LayoutError
from layout_core.job.file import write_job
from layout_core.job.model import Job
from layout_core.progress import Progress
from tests.make import make_job

pytestmark = pytest.mark.gui


@pytest.fixture
def bench(qapp: QApplication) -> Iterator[Workbench]:
    built = build_workbench(qapp, theme="light")
    yield built
    built.close()
    qapp.processEvents()


def test_first_job_is_one_empty_sheet(bench: Workbench) -> None:
    assert len(bench.document.job.sheets) == 1
    assert bench.document.job.pieces == ()
    assert not bench.document.is_dirty
    assert bench.theme.name == "light"


def test_refused_edit_is_told(bench: Workbench, qtbot: QtBot) -> None:
    def refuse(job: Job) -> Job:
        raise LayoutError("the sheet is too short")

    with qtbot.waitSignal(bench.notices.told) as told:
        bench.document.apply("Shorten", refuse)
    assert told.args[0].text == "The sheet is too short (in the job). The job is as it was."
    assert told.args[1] == "caution"


def test_broken_task_is_told_without_code(bench: Workbench, qtbot: QtBot) -> None:
    def work(progress: Progress) -> None:
        raise RuntimeError("Traceback (most recent call last)")

    with qtbot.waitSignal(bench.notices.told) as told:
        bench.tasks.start("Counting sheets", work, lambda _: None)
    assert told.args[1] == "stop"
    assert "counting sheets" in told.args[0].text
    assert "Traceback" not in told.args[0].text
    assert "RuntimeError" in log_path().read_text(encoding="utf-8")


def window_open() -> MainWindow:
    return next(w for w in QApplication.topLevelWidgets() if isinstance(w, MainWindow) and w.isVisible())


def run_with(qapp: QApplication, path: Path | None, ready: str, seen: list[MainWindow]) -> int:
    """Run the window, and close it once its job has the name that is waited for."""

    def look() -> None:
        window = window_open()
        if window.bench.document.job.name == ready:
            timer.stop()
            seen.append(window)
            window.close()

    timer = QTimer(qapp, interval=5)
    timer.timeout.connect(look)
    timer.start()
    return run_window(path)


def test_window_opens_the_job_it_is_given_and_ends_when_it_is_closed(
    qapp: QApplication, tmp_path: Path
) -> None:
    path, seen, hook = tmp_path / "moth night – außen #1.duskjob", list[MainWindow](), sys.excepthook
    write_job(path, make_job())
    assert run_with(qapp, path, "Test job", seen) == 0
    assert seen[0].bench.document.path == path
    assert seen[0].bench.tasks.running_ids == ()
    assert sys.excepthook is hook
    assert Settings().recent_jobs == (path,)
    assert not log_path().exists()


def test_window_opens_without_a_job(qapp: QApplication) -> None:
    seen: list[MainWindow] = []
    assert run_with(qapp, None, "New job", seen) == 0
    assert qapp.applicationDisplayName() == "Duskwright"
    assert not qapp.windowIcon().isNull()
