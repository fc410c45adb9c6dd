"""Background work: progress, Stop, order, and receivers that are gone."""

import gc
import threading

import pytest
from PySide6.QtCore import QObject, QThread
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.tasks import SECONDS_BETWEEN_REPORTS, TaskRunner
from layout_core.errors import Cancelled
from layout_core.progress import Progress
from tests.patience import WAIT_S

pytestmark = pytest.mark.gui


class Receiver(QObject):
    """Notes what it is told, and on which thread."""

    def __init__(self) -> None:
        super().__init__()
        self.results: list[object] = []
        self.threads: list[QThread] = []

    def take(self, result: object) -> None:
        """Fails when the object is gone."""
        assert self.objectName() == ""
        self.results.append(result)
        self.threads.append(QThread.currentThread())


def until_stopped(begun: threading.Event) -> "Progress":
    def work(progress: Progress) -> str:
        begun.set()
        while True:
            progress(0.5, "working")
            threading.Event().wait(0.001)

    return work  # type: ignore[return-value]


def test_result_arrives_on_the_gui_thread(tasks: TaskRunner, qtbot: QtBot) -> None:
    receiver = Receiver()
    worker: list[int] = []

    def work(progress: Progress) -> int:
        worker.append(threading.get_ident())
        return 42

    with qtbot.waitSignal(tasks.ended):
        tasks.start("Count", work, receiver.take)
    assert receiver.results == [42]
    assert receiver.threads == [QApplication.instance().thread()]
    assert worker[0] != threading.get_ident()


def test_results_arrive_in_the_order_of_their_start(tasks: TaskRunner, qtbot: QtBot) -> None:
    receiver = Receiver()
    for number in range(20):
        tasks.start("Count", lambda _, number=number: number, receiver.take)
    qtbot.waitUntil(lambda: not tasks.running_ids)
    assert receiver.results == list(range(20))


def test_stopped_work_ends_in_silence(tasks: TaskRunner, qtbot: QtBot) -> None:
    receiver, begun, failures = Receiver(), threading.Event(), list[Exception]()
    task_id = tasks.start("Endless", until_stopped(begun), receiver.take, failures.append)
    assert begun.wait(WAIT_S)
    assert tasks.is_running(task_id)
    with qtbot.waitSignal(tasks.ended) as told:
        tasks.stop(task_id)
    assert told.args == [task_id]
    assert receiver.results == []
    assert failures == []
    assert not tasks.is_running(task_id)


def test_work_stopped_before_its_turn_never_begins(tasks: TaskRunner, qtbot: QtBot) -> None:
    begun, ran = threading.Event(), list[int]()
    first = tasks.start("Endless", until_stopped(begun), lambda _: None)
    second = tasks.start("Waiting", lambda _: ran.append(1), lambda _: None)
    tasks.stop(second)
    tasks.stop(first)
    qtbot.waitUntil(lambda: not tasks.running_ids)
    assert ran == []


def test_result_that_comes_after_stop_is_dropped(tasks: TaskRunner, qtbot: QtBot) -> None:
    receiver, begun, go_on = Receiver(), threading.Event(), threading.Event()

    def work(progress: Progress) -> str:
        begun.set()
        go_on.wait(WAIT_S)
        return "too late"

    task_id = tasks.start("Deaf", work, receiver.take)
    assert begun.wait(WAIT_S)
    tasks.stop(task_id)
    with qtbot.waitSignal(tasks.ended):
        go_on.set()
    assert receiver.results == []


def test_work_that_keeps_its_best_is_heard_after_stop(tasks: TaskRunner, qtbot: QtBot) -> None:
    receiver, begun = Receiver(), threading.Event()

    def work(progress: Progress) -> str:
        try:
            until_stopped(begun)(progress)  # type: ignore[call-arg, arg-type]
        except Cancelled:
            return "best so far"
        return "finished"

    task_id = tasks.start("Search", work, receiver.take, keeps_partial=True)
    assert begun.wait(WAIT_S)
    with qtbot.waitSignal(tasks.ended):
        tasks.stop(task_id)
    assert receiver.results == ["best so far"]


def test_error_goes_to_its_own_receiver(tasks: TaskRunner, qtbot: QtBot) -> None:
    failures: list[Exception] = []

    def work(progress: Progress) -> None:
        raise ValueError("odd")

    with qtbot.assertNotEmitted(tasks.went_wrong), qtbot.waitSignal(tasks.ended):
        tasks.start("Fail", work, lambda _: None, failures.append)
    assert [str(error) for error in failures] == ["odd"]


def test_error_nobody_waits_for_is_told_with_its_label(tasks: TaskRunner, qtbot: QtBot) -> None:
    def work(progress: Progress) -> None:
        raise ValueError("odd")

    with qtbot.waitSignal(tasks.went_wrong) as told:
        tasks.start("Fail", work, lambda _: None)
    assert told.args[0] == "Fail"
    assert str(told.args[1]) == "odd"


def test_progress_is_thinned_out(tasks: TaskRunner, qtbot: QtBot) -> None:
    told: list[tuple[int, float, str]] = []
    tasks.progressed.connect(lambda *report: told.append(report))
    took: list[float] = []

    def work(progress: Progress) -> None:
        import time

        start = time.monotonic()
        for step in range(5000):
            progress(step / 5000, "counting")
        took.append(time.monotonic() - start)

    with qtbot.waitSignal(tasks.ended):
        tasks.start("Count", work, lambda _: None)
    assert 1 <= len(told) <= took[0] / SECONDS_BETWEEN_REPORTS + 2
    assert all(0.0 <= fraction <= 1.0 for _, fraction, _ in told)


def test_lanes_do_not_wait_for_each_other(tasks: TaskRunner, qtbot: QtBot) -> None:
    receiver, begun = Receiver(), threading.Event()
    slow = tasks.start("Endless", until_stopped(begun), lambda _: None)
    assert begun.wait(WAIT_S)
    with qtbot.waitSignal(tasks.ended):
        tasks.start("Check", lambda _: "checked", receiver.take, lane="checks")
    assert receiver.results == ["checked"]
    assert tasks.is_running(slow)


def test_deleted_receivers_are_passed_over(tasks: TaskRunner, qtbot: QtBot) -> None:
    """Receivers deleted while the work runs, with collections in between: no crash, every task ends."""
    go_on = threading.Event()
    kept = Receiver()

    def work(progress: Progress) -> int:
        go_on.wait(WAIT_S)
        for step in range(50):
            progress(step / 50, "")
        return 1

    gone = [Receiver() for _ in range(20)]
    for receiver in gone:
        tasks.start("Work", work, receiver.take)
        tasks.start("Work", work, kept.take)
    for receiver in gone[::2]:
        receiver.deleteLater()
    QApplication.sendPostedEvents(None, 52)  # QEvent.DeferredDelete
    del gone[1::2]
    gc.collect()
    go_on.set()
    qtbot.waitUntil(lambda: not tasks.running_ids)
    assert kept.results == [1] * 20


def test_close_stops_everything_and_waits(qapp: QApplication) -> None:
    runner, begun = TaskRunner(), threading.Event()
    runner.start("Endless", until_stopped(begun), lambda _: None)
    assert begun.wait(WAIT_S)
    runner.close()
    assert runner.running_ids == ()
    assert not any(thread.name.startswith(("job", "checks", "saving")) for thread in threading.enumerate())
    qapp.processEvents()


def test_nothing_runs_after_close(qapp: QApplication) -> None:
    runner, ran = TaskRunner(), list[int]()
    runner.close()
    task_id = runner.start("Late", lambda _: ran.append(1), lambda _: None)
    assert not runner.is_running(task_id)
    qapp.processEvents()
    assert ran == []
