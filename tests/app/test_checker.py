"""Findings follow the job in the background, and old ones never replace new ones."""

import threading

import pytest
import shapely
from PySide6.QtCore import QTimer
from pytestqt.qtbot import QtBot

from app import checker as checker_module
from app.checker import Checker
from app.document import Document
from app.tasks import TaskRunner
from layout_core.checks.findings import Finding, Severity
from layout_core.checks.run import CheckCache, check_job
from layout_core.geometry.pose import Pose
from layout_core.job import edits
from layout_core.job.model import Job
from layout_core.progress import Progress
from tests.make import make_artwork, make_job
from tests.patience import WAIT_S
from tests.window_kit import WAIT_MS

pytestmark = pytest.mark.gui


@pytest.fixture
def document(qapp: object) -> Document:
    """Two blocks side by side, 1 mm apart: far below the gap."""
    block = make_artwork(shapely.box(0, 0, 50, 40))
    return Document(make_job([block], poses=[(0, Pose(40, 40)), (0, Pose(91, 40))], copies=2))


def rules(checker: Checker) -> set[str]:
    return {finding.rule for finding in checker.findings}


def test_findings_are_those_of_the_core(document: Document, tasks: TaskRunner, qtbot: QtBot) -> None:
    checker = Checker(document, tasks)
    assert checker.is_busy
    qtbot.waitUntil(lambda: not checker.is_busy, timeout=WAIT_MS)
    assert checker.findings == check_job(document.job)
    assert "spacing" in rules(checker)


def test_findings_follow_an_edit_and_its_undo(document: Document, tasks: TaskRunner, qtbot: QtBot) -> None:
    checker = Checker(document, tasks)
    qtbot.waitUntil(lambda: not checker.is_busy, timeout=WAIT_MS)
    with qtbot.waitSignal(checker.findings_changed, timeout=WAIT_MS):
        document.apply("Move", lambda job: edits.move_placed(job, [302], 60.0, 0.0))
    assert "spacing" not in rules(checker)
    with qtbot.waitSignal(checker.findings_changed, timeout=WAIT_MS):
        document.undo_stack.undo()
    assert "spacing" in rules(checker)


def test_report_measures_each_piece(document: Document, tasks: TaskRunner, qtbot: QtBot) -> None:
    checker = Checker(document, tasks)
    assert checker.report(101) is None
    qtbot.waitUntil(lambda: not checker.is_busy, timeout=WAIT_MS)
    report = checker.report(101)
    assert report is not None
    assert report.size_mm == pytest.approx((50.0, 40.0))
    assert report.ink_area_mm2 == pytest.approx(2000.0)
    assert checker.report(999) is None


def test_result_for_an_older_job_is_dropped(
    document: Document, tasks: TaskRunner, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The first check ignores Stop and answers late; its answer must not be seen."""
    begun, go_on, checked = threading.Event(), threading.Event(), list[Job]()

    def slow(job: Job, cache: CheckCache, progress: Progress) -> tuple[Finding, ...]:
        checked.append(job)
        begun.set()
        go_on.wait(WAIT_S)
        return (Finding("test", Severity.NOTE, job.name),)

    monkeypatch.setattr(checker_module, "check_job", slow)
    checker, seen = Checker(document, tasks), list[str]()
    checker.findings_changed.connect(lambda: seen.append(checker.findings[0].message))
    qtbot.waitUntil(begun.is_set)
    document.apply("Rename", lambda job: edits.rename_job(job, "Second"))
    go_on.set()
    qtbot.waitUntil(lambda: not checker.is_busy, timeout=WAIT_MS)
    assert seen == ["Second"]
    assert [job.name for job in checked] == ["Test job", "Second"]


def test_changes_in_quick_succession_are_checked_together(
    document: Document, tasks: TaskRunner, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    checked: list[Job] = []

    def noting(job: Job, cache: CheckCache, progress: Progress) -> tuple[Finding, ...]:
        checked.append(job)
        return ()

    monkeypatch.setattr(checker_module, "check_job", noting)
    checker = Checker(document, tasks)
    for number in range(20):
        document.apply("Rename", lambda job, number=number: edits.rename_job(job, f"Job {number}"))
    qtbot.waitUntil(lambda: not checker.is_busy, timeout=WAIT_MS)
    assert checked == [document.job]


def test_later_change_does_not_put_a_check_off(document: Document, tasks: TaskRunner) -> None:
    """A timer gets another number each time it is started; a held arrow key must not start it anew."""
    checker = Checker(document, tasks)
    (timer,) = checker.findChildren(QTimer)
    number = timer.timerId()
    document.apply("Rename", lambda job: edits.rename_job(job, "Second"))
    assert timer.isActive()
    assert timer.timerId() == number


def test_broken_check_is_told_and_leaves_the_old_findings(
    document: Document, tasks: TaskRunner, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    checker = Checker(document, tasks)
    qtbot.waitUntil(lambda: not checker.is_busy, timeout=WAIT_MS)
    before = checker.findings

    def broken(job: Job, cache: CheckCache, progress: Progress) -> tuple[Finding, ...]:
        raise ValueError("odd")

    monkeypatch.setattr(checker_module, "check_job", broken)
    with qtbot.waitSignal(checker.failed, timeout=WAIT_MS):
        document.apply("Rename", lambda job: edits.rename_job(job, "Second"))
    assert checker.findings == before
    assert not checker.is_busy
