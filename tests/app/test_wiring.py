"""The long-lived objects are joined: what goes wrong anywhere is told in one place."""

from collections.abc import Iterator

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.wiring import Workbench, build_workbench
from layout_core.errors import LayoutError
from layout_core.job.model import Job
from layout_core.progress import Progress

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
