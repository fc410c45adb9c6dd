"""Unsaved work is kept after a moment of quiet, and only unsaved work."""

import threading
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication
from pytestqt.qtbot import QtBot

from app import autosave
from app.autosave import Autosave
from app.document import Document
from app.notices import Notices
from app.tasks import TaskRunner
from layout_core.job import edits, snapshots
from layout_core.job.file import read_job
from layout_core.job.model import Job
from layout_core.job.running import is_held
from layout_core.job.snapshots import SnapshotKeeper
from layout_core.user_folders import state_folder
from tests.make import make_job
from tests.patience import WAIT_S

pytestmark = pytest.mark.gui


class Clock:
    """Holds the alarms that are set until a test rings them."""

    def __init__(self) -> None:
        self.alarms: list[Alarm] = []

    def later(self, seconds: float, ring: Callable[[], None]) -> "Alarm":
        return Alarm(self, seconds, ring)

    def ring(self) -> None:
        """As the real one does, on a thread of its own."""
        threading.Thread(target=self.alarms.pop().ring).start()


class Alarm:
    def __init__(self, clock: Clock, seconds: float, ring: Callable[[], None]) -> None:
        self.clock, self.seconds, self.ring = clock, seconds, ring

    def start(self) -> None:
        self.clock.alarms.append(self)

    def cancel(self) -> None:
        self.clock.alarms.remove(self)


class Bench:
    """A document that keeps snapshots."""

    def __init__(self, tasks: TaskRunner) -> None:
        self.tasks, self.document, self.notices = tasks, Document(make_job()), Notices()
        self.clock = Clock()
        self.autosave = Autosave(self.document, tasks, self.notices, later=self.clock.later)

    def rename(self, name: str) -> None:
        self.document.apply("Rename job", lambda job: edits.rename_job(job, name))

    def write(self) -> None:
        """Have a snapshot written, and wait for the worker without a look at the window's events."""
        self.autosave.write_now()
        self.wait()

    def wait(self) -> None:
        """Until the worker that writes has done all it was given."""
        done = threading.Event()
        self.tasks.run_unseen(done.set, "saving")
        assert done.wait(WAIT_S)

    def is_idle(self) -> bool:
        return not self.tasks.running_ids


@pytest.fixture
def bench(tasks: TaskRunner) -> Bench:
    return Bench(tasks)


def kept() -> list[Path]:
    return sorted(snapshots.snapshots_folder().glob("*/*.duskjob"))


def crash(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let every lock look like that of a program that is gone."""
    monkeypatch.setattr(snapshots, "is_held", lambda path, touched: False)


def test_a_snapshot_is_due_within_three_seconds_of_a_change(bench: Bench) -> None:
    assert bench.clock.alarms == []
    bench.rename("Tide pools")
    (alarm,) = bench.clock.alarms
    assert alarm.seconds == autosave.LATEST_S < 3.0


def test_steady_work_does_not_put_a_snapshot_off(bench: Bench) -> None:
    bench.rename("One")
    (alarm,) = bench.clock.alarms
    bench.rename("Two")
    assert bench.clock.alarms == [alarm]


def test_the_job_as_it_is_is_written_while_the_window_hangs(bench: Bench) -> None:
    """Nothing here looks at the window's events: its thread could as well be in a loop without end."""
    bench.rename("Moths")
    bench.rename("Tide pools")
    bench.clock.ring()
    until = time.monotonic() + WAIT_S
    while not kept() and time.monotonic() < until:
        time.sleep(0.01)
    bench.wait()
    assert [read_job(path) for path in kept()] == [bench.document.job]
    bench.rename("Lanterns")
    assert len(bench.clock.alarms) == 1, "the next change sets the next alarm"


def test_the_real_alarm_rings_by_itself(tasks: TaskRunner, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(autosave, "LATEST_S", 0.0)
    document = Document(make_job())
    keeping = Autosave(document, tasks, Notices())
    document.apply("Rename job", lambda job: edits.rename_job(job, "Tide pools"))
    until = time.monotonic() + WAIT_S
    while not kept() and time.monotonic() < until:
        time.sleep(0.01)
    assert read_job(kept()[0]) == document.job
    tasks.close()
    keeping.finish()
    assert kept() == []


def test_what_was_undone_to_the_saved_state_is_not_kept(bench: Bench, qtbot: QtBot) -> None:
    bench.rename("Tide pools")
    bench.write()
    bench.document.undo_stack.undo()
    bench.write()
    qtbot.waitUntil(bench.is_idle)
    assert kept() == []


def test_saved_job_is_not_written(bench: Bench, qtbot: QtBot, tmp_path: Path) -> None:
    bench.rename("Tide pools")
    bench.document.save(tmp_path / "job.duskjob")
    bench.write()
    qtbot.waitUntil(bench.is_idle)
    assert kept() == []


def test_save_removes_the_snapshots(bench: Bench, qtbot: QtBot, tmp_path: Path) -> None:
    bench.rename("Tide pools")
    bench.write()
    bench.document.save(tmp_path / "job.duskjob")
    qtbot.waitUntil(lambda: not kept() and bench.is_idle())


def test_write_under_way_does_not_outlive_the_save(
    bench: Bench, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun, go_on, write = threading.Event(), threading.Event(), SnapshotKeeper.write

    def slow(keeper: SnapshotKeeper, job: Job, job_path: Path | None) -> Path:
        begun.set()
        go_on.wait(WAIT_S)
        return write(keeper, job, job_path)

    monkeypatch.setattr(SnapshotKeeper, "write", slow)
    bench.rename("Tide pools")
    bench.autosave.write_now()
    assert begun.wait(WAIT_S)
    bench.document.save(tmp_path / "job.duskjob")
    go_on.set()
    qtbot.waitUntil(bench.is_idle)
    assert kept() == []


def test_clean_end_removes_the_snapshots(bench: Bench, tasks: TaskRunner, qtbot: QtBot) -> None:
    bench.rename("Tide pools")
    bench.write()
    tasks.close()
    bench.autosave.finish()
    assert kept() == []


def test_crashed_work_comes_back_unsaved_and_outlives_the_restore(
    bench: Bench, tasks: TaskRunner, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    own = tmp_path / "job.duskjob"
    bench.document.save(own)
    bench.rename("Tide pools")
    bench.write()
    with monkeypatch.context() as patched:
        crash(patched)
        second = Bench(tasks)
        (left,) = second.autosave.left_behind()
    assert left.job_name == "Tide pools"
    second.autosave.bring_back(left)
    assert second.document.job == bench.document.job
    assert second.document.path == own
    assert second.document.is_dirty
    assert kept() != []
    second.document.save()
    qtbot.waitUntil(lambda: not kept() and second.is_idle())


def test_restores_in_a_row_are_counted_until_somebody_works(
    bench: Bench, tasks: TaskRunner, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench.rename("Tide pools")
    bench.write()
    for restores in (0, 1, 2, 0):
        with monkeypatch.context() as patched:
            crash(patched)
            (left,) = bench.autosave.left_behind()
        assert left.restores == restores
        bench = Bench(tasks)
        bench.autosave.bring_back(left)
        if restores == 2:
            bench.rename("Worked on")
        bench.write()
        qtbot.waitUntil(bench.is_idle)


def test_running_window_is_not_offered_for_recovery(bench: Bench, tasks: TaskRunner, qtbot: QtBot) -> None:
    bench.rename("Tide pools")
    bench.write()
    assert is_held(kept()[0].parent / "lock.json", 0.0)
    assert Bench(tasks).autosave.left_behind() == ()


def test_declined_work_is_deleted(bench: Bench, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    bench.rename("Tide pools")
    bench.write()
    crash(monkeypatch)
    (left,) = bench.autosave.left_behind()
    bench.autosave.decline(left)
    assert kept() == []


def test_snapshot_that_cannot_be_written_is_told_once(bench: Bench, qtbot: QtBot) -> None:
    state_folder().write_bytes(b"")
    told: list[str] = []
    bench.notices.told.connect(lambda message, grade: told.append(message.text))
    for name in ("One", "Two"):
        bench.rename(name)
        bench.write()
        qtbot.waitUntil(lambda: bool(told))
    QCoreApplication.processEvents()
    assert len(told) == 1
    assert "Save the job now" in told[0]
    assert "Errno" not in told[0]
