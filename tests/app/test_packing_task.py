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
from layout_core.errors import Cancelled
from layout_core.geometry.pose import Pose
from layout_core.job import edits
from layout_core.job.model import Job
from layout_core.packing.autopack import OnBetterJob, PackResult, autopack, unheard_job, unplaced_copies
from layout_core.progress import Progress, no_progress
from tests.make import make_artwork, make_job
from tests.patience import WAIT_S
from tests.window_kit import WAIT_MS

pytestmark = pytest.mark.gui


class Bench:
    """What autopack needs, joined, round a job of two moths and four wanted."""

    def __init__(self, tasks: TaskRunner) -> None:
        self.document = Document(make_job([make_artwork()], poses=[(0, Pose(40, 40))], copies=4))
        self.notices = Notices()
        settings = Settings()
        settings.change(pack_seconds=1.0)
        self.packing = PackingTask(self.document, tasks, self.notices, settings)


@pytest.fixture
def bench(tasks: TaskRunner) -> Bench:
    return Bench(tasks)


@pytest.fixture
def gate(monkeypatch: pytest.MonkeyPatch) -> threading.Event:
    """Autopack that waits for the gate before it begins."""
    opened = threading.Event()

    def waiting(job: Job, *, progress: Progress = no_progress, **options: object) -> PackResult:
        opened.wait(WAIT_S)
        return autopack(job, progress=progress)

    monkeypatch.setattr(packing_task, "autopack", waiting)
    return opened


def test_autopack_is_one_step(bench: Bench, qtbot: QtBot) -> None:
    with qtbot.waitSignal(bench.packing.packed, timeout=WAIT_MS) as told:
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
    with qtbot.waitSignal(bench.packing.packed, timeout=WAIT_MS):
        bench.packing.start()
        bench.packing.start()
        assert len(tasks.running_ids) == 1
        gate.set()
    assert bench.document.undo_stack.count() == 1


def test_layout_is_laid_over_a_job_whose_sheets_are_the_same(
    bench: Bench, gate: threading.Event, qtbot: QtBot
) -> None:
    with qtbot.waitSignal(bench.packing.packed, timeout=WAIT_MS):
        bench.packing.start()
        bench.document.apply("Rename job", lambda job: edits.rename_job(job, "Tide pools"))
        gate.set()
    assert bench.document.job.name == "Tide pools"
    assert bench.document.job.copies_placed(101) == 4


def test_layout_for_sheets_that_changed_is_not_used(
    bench: Bench, gate: threading.Event, qtbot: QtBot
) -> None:
    with qtbot.waitSignal(bench.notices.told, timeout=WAIT_MS), qtbot.assertNotEmitted(bench.packing.packed):
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
        finish.wait(WAIT_S)
        laid = edits.place_piece(job, 1, 101, Pose(150, 150))
        return PackResult(laid, (job.next_id,), ((101, 2),), is_complete=False, seconds=0.1)

    monkeypatch.setattr(packing_task, "autopack", stopped)
    with qtbot.waitSignal(bench.packing.packed, timeout=WAIT_MS):
        bench.packing.start()
        assert begun.wait(WAIT_S)
        bench.packing.stop()
        finish.set()
    assert bench.document.job.copies_placed(101) == 2
    assert bench.notices.last is not None
    assert "Stopped early" in bench.notices.last.text


def test_copies_without_room_are_named(tasks: TaskRunner, qtbot: QtBot, qapp: QApplication) -> None:
    bench = Bench(tasks)
    bench.document.start_new(make_job([make_artwork(name="moth")], copies=400))
    with qtbot.waitSignal(bench.notices.told, timeout=WAIT_MS):
        bench.packing.start()
    assert bench.notices.last is not None
    placed = bench.document.job.copies_placed(101)
    assert 0 < placed < 400
    assert f"{400 - placed} ordered copies did not fit: moth" in bench.notices.last.text


def test_nothing_to_do_is_said(bench: Bench, qtbot: QtBot) -> None:
    bench.document.apply("Change", lambda job: edits.change_piece(job, 101, copies=1))
    with qtbot.waitSignal(bench.notices.told, timeout=WAIT_MS):
        bench.packing.start()
    assert bench.document.undo_stack.count() == 1
    assert bench.notices.last is not None
    assert "Nothing more fits" in bench.notices.last.what


@pytest.fixture
def paced(monkeypatch: pytest.MonkeyPatch) -> threading.Event:
    """Boxes lay one copy, true outlines one more and then search on until Stop; the event says they began."""
    began = threading.Event()

    def search(
        job: Job, *, engine: str = "boxes", progress: Progress = no_progress,
        on_better: OnBetterJob = unheard_job, **options: object,
    ) -> PackResult:  # fmt: skip
        laid = edits.place_piece(job, 1, 101, Pose(150, 150))
        if engine == "boxes":
            return PackResult(laid, (job.next_id,), unplaced_copies(laid), is_complete=True, seconds=0.1)
        better = edits.place_piece(laid, 1, 101, Pose(150, 250))
        on_better(better)
        began.set()
        try:
            while True:
                progress(0.5, "Filling")
        except Cancelled:
            added = (job.next_id, job.next_id + 1)
            return PackResult(better, added, unplaced_copies(better), is_complete=False, seconds=0.1)

    monkeypatch.setattr(packing_task, "autopack", search)
    monkeypatch.setattr(packing_task, "SHOWN_EVERY_S", 0.0)
    return began


def test_better_layouts_take_the_place_of_the_first_in_the_same_step(
    bench: Bench, paced: threading.Event, qtbot: QtBot
) -> None:
    bench.packing.start()
    qtbot.waitUntil(lambda: bench.document.job.copies_placed(101) == 3, timeout=WAIT_MS)
    assert bench.packing.is_running
    assert bench.document.undo_stack.count() == 1
    bench.packing.stop()
    qtbot.waitUntil(lambda: not bench.packing.is_running, timeout=WAIT_MS)
    assert bench.document.job.copies_placed(101) == 3
    assert bench.document.undo_stack.count() == 1
    bench.document.undo_stack.undo()
    assert bench.document.job.copies_placed(101) == 1


def test_the_bar_tells_what_is_laid_so_far(
    bench: Bench, tasks: TaskRunner, paced: threading.Event, qtbot: QtBot
) -> None:
    told: list[str] = []
    tasks.progressed.connect(lambda _task_id, _fraction, label: told.append(label))
    bench.packing.start()
    qtbot.waitUntil(lambda: any(label.startswith("2 pieces, ") for label in told), timeout=WAIT_MS)
    bench.packing.stop()
    qtbot.waitUntil(lambda: not bench.packing.is_running, timeout=WAIT_MS)


def test_a_rename_while_it_searches_is_kept(bench: Bench, paced: threading.Event, qtbot: QtBot) -> None:
    bench.packing.start()
    qtbot.waitUntil(lambda: bench.document.job.copies_placed(101) == 3, timeout=WAIT_MS)
    bench.document.apply("Rename job", lambda job: edits.rename_job(job, "Tide pools"))
    bench.packing.stop()
    qtbot.waitUntil(lambda: not bench.packing.is_running, timeout=WAIT_MS)
    assert bench.document.job.name == "Tide pools"
    assert bench.document.job.copies_placed(101) == 3


def test_undo_while_it_searches_ends_the_search(bench: Bench, paced: threading.Event, qtbot: QtBot) -> None:
    bench.packing.start()
    qtbot.waitUntil(lambda: bench.document.job.copies_placed(101) == 3, timeout=WAIT_MS)
    bench.document.undo_stack.undo()
    qtbot.waitUntil(lambda: not bench.packing.is_running, timeout=WAIT_MS)
    assert bench.document.job.copies_placed(101) == 1
    assert bench.notices.last is not None
    assert "the search has ended" in bench.notices.last.text


def test_pieces_no_sheet_can_hold_are_named_before_the_search(
    bench: Bench, gate: threading.Event, qtbot: QtBot
) -> None:
    bench.document.apply("Size", lambda job: edits.change_piece(job, 101, width_mm=5000.0))
    with qtbot.waitSignal(bench.notices.told, timeout=WAIT_MS):
        bench.packing.start()
    assert bench.notices.last is not None
    assert "Too large for every sheet" in bench.notices.last.text
    assert bench.packing.is_running
    gate.set()
    qtbot.waitUntil(lambda: not bench.packing.is_running, timeout=WAIT_MS)


def test_the_shortest_sheet_is_one_step(bench: Bench, qtbot: QtBot) -> None:
    bench.document.apply("Long", lambda job: edits.change_sheet(job, 1, length_mm=1500.0))
    bench.document.apply("Lock", lambda job: edits.lock_placed(job, [301], True))
    lay = bench.document.job.sheets[0].placed[0]
    with qtbot.waitSignal(bench.notices.told, timeout=WAIT_MS):
        bench.packing.shorten(1)
    qtbot.waitUntil(lambda: not bench.packing.is_running, timeout=WAIT_MS)
    job = bench.document.job
    assert job.sheets[0].length_mm < 1000.0
    assert job.copies_placed(101) == 4
    assert job.sheets[0].placed[0] == lay
    assert bench.document.undo_stack.count() == 3
    assert bench.document.undo_stack.undoText() == "Shortest sheet"
    assert bench.notices.last is not None
    assert "is now" in bench.notices.last.text


def test_a_sheet_with_nothing_to_move_is_told(bench: Bench, qtbot: QtBot) -> None:
    bench.document.apply("Change", lambda job: edits.change_piece(job, 101, copies=1))
    bench.document.apply("Lock", lambda job: edits.lock_placed(job, [301], True))
    with qtbot.waitSignal(bench.notices.told, timeout=WAIT_MS):
        bench.packing.shorten(1)
    assert bench.notices.last is not None
    assert "nothing on this sheet may be moved" in bench.notices.last.text.lower()
