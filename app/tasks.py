"""The only thing that starts work off the GUI thread: progress, Stop, and no word after either."""

import contextlib
import threading
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import Any, Literal, TypeVar, get_args

import shiboken6
from PySide6.QtCore import QObject, Qt, Signal

from layout_core.errors import Cancelled
from layout_core.progress import Progress, StopFlag

T = TypeVar("T")
Lane = Literal["job", "art", "samples", "names", "plan", "checks", "glow", "dark", "saving"]

SECONDS_BETWEEN_REPORTS = 0.05
"""Progress reaches the window at most twenty times a second."""


@dataclass(slots=True)
class _Task:
    """What the GUI thread keeps of one piece of work."""

    label: str
    flag: StopFlag
    done: Callable[[Any], None]
    failed: Callable[[Exception], None] | None
    keeps_partial: bool


@dataclass(frozen=True, slots=True)
class _Report:
    """One message of a worker, delivered on the GUI thread."""

    task_id: int
    kind: Literal["progress", "done", "failed", "stopped"]
    value: Any = None


class TaskRunner(QObject):
    """Runs plain functions, one at a time in each lane, so results arrive in the order of their start.

    It lives as long as the program: a QObject that emits while it is deleted crashes Python. The lanes
    never wait for each other: a long autopack delays neither the checks nor a snapshot.
    """

    started = Signal(int, str)
    progressed = Signal(int, float, str)
    ended = Signal(int)
    went_wrong = Signal(str, object)
    """A task without a `failed` of its own raised: its label and the exception."""

    _reported = Signal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._tasks: dict[int, _Task] = {}
        self._last_id = 0
        self._is_closed = False
        self._lanes: dict[Lane, ThreadPoolExecutor] = {
            lane: ThreadPoolExecutor(max_workers=1, thread_name_prefix=lane) for lane in get_args(Lane)
        }
        self._reported.connect(self._deliver, Qt.ConnectionType.QueuedConnection)

    def start(
        self,
        label: str,
        work: Callable[[Progress], T],
        done: Callable[[T], None],
        failed: Callable[[Exception], None] | None = None,
        *,
        lane: Lane = "job",
        keeps_partial: bool = False,
    ) -> int:
        """The id of a new task: `work(progress)` in the background, then `done(result)` on the GUI thread.

        After Stop neither `done` nor `failed` is called, unless `keeps_partial` says that the work
        answers a Stop with a result worth having. Receivers that were deleted meanwhile are passed over.
        Once the runner is closed, nothing is run any more.
        """
        self._last_id += 1
        task_id = self._last_id
        if self._is_closed:
            return task_id
        flag = StopFlag(self._reporter(task_id))
        self._tasks[task_id] = _Task(label, flag, done, failed, keeps_partial)
        self._lanes[lane].submit(self._run, task_id, work, flag)
        self.started.emit(task_id, label)
        return task_id

    def run_unseen(self, work: Callable[[], None], lane: Lane) -> None:
        """Run work in its turn of the lane, without a word about it; any thread may ask.

        `work` deals with its own errors. Once the runner is closed, nothing is run any more.
        """
        with contextlib.suppress(RuntimeError):  # the lane was shut down in this moment
            if not self._is_closed:
                self._lanes[lane].submit(work)

    def stop(self, task_id: int) -> None:
        """Ask the task to stop at its next progress call; unknown and ended tasks are passed over."""
        if task := self._tasks.get(task_id):
            task.flag.stop()

    def stop_all(self) -> None:
        for task in self._tasks.values():
            task.flag.stop()

    def is_running(self, task_id: int) -> bool:
        return task_id in self._tasks

    @property
    def running_ids(self) -> tuple[int, ...]:
        return tuple(self._tasks)

    def close(self) -> None:
        """Stop everything and wait for the workers; what is started afterwards is passed over."""
        self._is_closed = True
        self.stop_all()
        for executor in self._lanes.values():
            executor.shutdown(wait=True)
        self._tasks.clear()

    def _run(self, task_id: int, work: Callable[[Progress], Any], flag: StopFlag) -> None:
        try:
            flag.tick(0.0, "")
            report = _Report(task_id, "done", work(flag.tick))
        except Cancelled:
            report = _Report(task_id, "stopped")
        except Exception as error:
            report = _Report(task_id, "failed", error)
        self._reported.emit(report)

    def _reporter(self, task_id: int) -> Progress:
        """A listener that passes on at most one report every SECONDS_BETWEEN_REPORTS."""
        lock = threading.Lock()
        last = 0.0

        def report(fraction: float, label: str) -> None:
            nonlocal last
            now = time.monotonic()
            with lock:
                if now - last < SECONDS_BETWEEN_REPORTS:
                    return
                last = now
            self._reported.emit(_Report(task_id, "progress", (fraction, label)))

        return report

    def _deliver(self, report: _Report) -> None:
        task = self._tasks.get(report.task_id)
        if task is None:
            return
        if report.kind == "progress":
            if not task.flag.is_stopped:
                self.progressed.emit(report.task_id, *report.value)
            return
        del self._tasks[report.task_id]
        try:
            self._hand_over(task, report)
        finally:
            self.ended.emit(report.task_id)

    def _hand_over(self, task: _Task, report: _Report) -> None:
        if report.kind == "done" and (task.keeps_partial or not task.flag.is_stopped):
            if _is_alive(task.done):
                task.done(report.value)
        elif report.kind == "failed" and not task.flag.is_stopped:
            if task.failed is None:
                self.went_wrong.emit(task.label, report.value)
            elif _is_alive(task.failed):
                task.failed(report.value)


def _is_alive(receiver: Callable[..., None]) -> bool:
    """False for a method of a QObject that was deleted while the work ran."""
    owner = getattr(receiver, "__self__", None)
    return not isinstance(owner, QObject) or shiboken6.isValid(owner)
