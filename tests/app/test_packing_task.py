"""Autopack is one undo step, keeps its best when stopped, and never overwrites newer work."""

import threading

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app import packing_task
from app.document import Document
from app.notices import Notices
from app.packing_task import PackingTask
from app.settings import Settings
from app.tasks import TaskRunner
from layout_core.geometry.pose import Pose
from layout_core.job import edits
from layout_core.job.model import Job
from layout_core.packing.autopack import PackResult, autopack
from layout_core.progress import Progress, no_progress
from tests.make import make_artwork, make_job

pytestmark = pytest.mark.gui


class Bench:
    """What autopack needs, joined, round a job of two moths and four wanted."""

    def __init__(self, tasks: TaskRunner) -> None:
        self.document = Document(make_job([make_artwork()], poses=[(0, Pose(40, 40))], copies=4))
        self.notices = Notices()
        self.packing = PackingTask(self.document, tasks, self.notices, Settings())


@pytest.fixture
def bench(tasks: TaskRunner) -> Bench:
    return Bench(tasks)


@pytest.fixture
def gate(monkeypatch: pytest.MonkeyPatch) -> threading.Event:
    """Autopack that waits for the gate before it begins."""
    opened = threading.Event()

    def waiting(job: Job, *, progress: Progress = no_progress, **options: object) -> PackResult:
        opened.wait(20)
        return autopack(job, progress=progress)

    monkeypatch.setattr(packing_task, "autopack", waiting)
    return opened


def test_autopack_is_one_step(bench: Bench, qtbot: QtBot) -> None:
    with qtbot.waitSignal(bench.packing.packed, timeout=60_000) as told:
        bench.packing.start()
        assert bench.packing.is_running
    qtbot.waitUntil(lambda: not bench.packing.is_running)
    assert bench.document.job.copies_placed(101) == 4
    assert bench.document.undo_stack.undoText() == "Autopack"
    assert bench.document.undo_stack.count() == 1
    assert set(told.args[0]) == {p.placed_id for p in bench.document.job.sheets[0].placed} - {301}
    bench.document.undo_stack.undo()
    assert bench.document.job.copies_placed(101) == 1


def test_second_start_while_it_runs_does_nothing(
    bench: Bench, tasks: TaskRunner, gate: threading.Event, qtbot: QtBot
) -> None:
    with qtbot.waitSignal(bench.packing.packed, timeout=60_000):
        bench.packing.start()
        bench.packing.start()
        assert len(tasks.running_ids) == 1
        gate.set()
    assert bench.document.undo_stack.count() == 1


def test_layout_is_laid_over_a_job_whose_sheets_are_the_same(
    bench: Bench, gate: threading.Event, qtbot: QtBot
) -> None:
    with qtbot.waitSignal(bench.packing.packed, timeout=60_000):
        bench.packing.start()
        bench.document.apply("Rename job", lambda job: edits.rename_job(job, "Tide pools"))
        gate.set()
    assert bench.document.job.name == "Tide pools"
    assert bench.document.job.copies_placed(101) == 4


def test_layout_for_sheets_that_changed_is_not_used(
    bench: Bench, gate: threading.Event, qtbot: QtBot
) -> None:
    with qtbot.waitSignal(bench.notices.told, timeout=60_000), qtbot.assertNotEmitted(bench.packing.packed):
        bench.packing.start()
        bench.document.apply("Move", lambda job: edits.move_placed(job, [301], 30.0, 0.0))
        gate.set()
    assert bench.document.job.copies_placed(101) == 1
    assert bench.notices.last is not None
    assert "changed" in bench.notices.last.text


def test_stop_keeps_the_best_layout_so_far(
    bench: Bench, monkeypatch: pytest.MonkeyPatch, qtbot: QtBot
) -> None:
    begun, finish = threading.Event(), threading.Event()

    def stopped(job: Job, **options: object) -> PackResult:
        begun.set()
        finish.wait(20)
        laid = edits.place_piece(job, 1, 101, Pose(150, 150))
        return PackResult(laid, (job.next_id,), ((101, 2),), is_complete=False, seconds=0.1)

    monkeypatch.setattr(packing_task, "autopack", stopped)
    with qtbot.waitSignal(bench.packing.packed, timeout=60_000):
        bench.packing.start()
        assert begun.wait(20)
        bench.packing.stop()
        finish.set()
    assert bench.document.job.copies_placed(101) == 2
    assert bench.notices.last is not None
    assert "Stopped early" in bench.notices.last.text


def test_copies_without_room_are_named(tasks: TaskRunner, qtbot: QtBot, qapp: QApplication) -> None:
    bench = Bench(tasks)
    bench.document.start_new(make_job([make_artwork(name="moth")], copies=400))
    with qtbot.waitSignal(bench.notices.told, timeout=60_000):
        bench.packing.start()
    assert bench.notices.last is not None
    placed = bench.document.job.copies_placed(101)
    assert 0 < placed < 400
    assert f"{400 - placed} ordered copies did not fit: moth" in bench.notices.last.text


def test_nothing_to_do_is_said(bench: Bench, qtbot: QtBot) -> None:
    bench.document.apply("Change", lambda job: edits.change_piece(job, 101, copies=1))
    with qtbot.waitSignal(bench.notices.told, timeout=60_000):
        bench.packing.start()
    assert bench.document.undo_stack.count() == 1
    assert bench.notices.last is not None
    assert "Nothing more fits" in bench.notices.last.what
