"""The running task shows what it does and stops when asked."""

import threading

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from app.tasks import TaskRunner
from app.widgets.task_bar import TaskBar
from layout_core.progress import Progress

pytestmark = pytest.mark.gui


def endless(progress: Progress) -> None:
    pause = threading.Event()
    while True:
        progress(0.5, "measuring")
        pause.wait(0.002)


def test_a_long_task_is_named_and_stop_ends_it(qtbot: QtBot, tasks: TaskRunner) -> None:
    bar = TaskBar(tasks)
    qtbot.addWidget(bar)
    assert bar.isHidden()
    task_id = tasks.start("Autopack", endless, lambda _: None)
    qtbot.waitUntil(lambda: bar.isVisible() and bar.text == "Autopack · measuring")
    qtbot.mouseClick(bar.stop_button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: not tasks.is_running(task_id))
    assert bar.isHidden()


def test_a_task_that_ends_at_once_never_flickers_up(qtbot: QtBot, tasks: TaskRunner) -> None:
    bar = TaskBar(tasks)
    qtbot.addWidget(bar)
    shown: list[bool] = []
    with qtbot.waitSignal(tasks.ended):
        tasks.start("Checking", lambda progress: None, lambda _: shown.append(bar.isVisible()))
    assert shown == [False]
    assert bar.isHidden()


def test_the_newest_of_several_tasks_is_shown_then_the_one_before(qtbot: QtBot, tasks: TaskRunner) -> None:
    bar = TaskBar(tasks)
    qtbot.addWidget(bar)
    first = tasks.start("First", endless, lambda _: None)
    second = tasks.start("Second", endless, lambda _: None, lane="checks")
    qtbot.waitUntil(lambda: bar.text.startswith("Second"))
    tasks.stop(second)
    qtbot.waitUntil(lambda: bar.text.startswith("First"))
    tasks.stop(first)
    qtbot.waitUntil(bar.isHidden)
