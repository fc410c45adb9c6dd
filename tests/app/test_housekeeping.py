"""Cycles are collected on the GUI thread, and nowhere else while the window is open."""

import gc
import threading
from collections.abc import Iterator

import pytest
from PySide6.QtCore import QObject
from pytestqt.qtbot import QtBot

from app.cycles import collect_when_due
from app.housekeeping import Housekeeping


@pytest.fixture
def housekeeping(qtbot: QtBot) -> Iterator[Housekeeping]:
    keeper = Housekeeping()
    yield keeper
    keeper.end()


class Knot(QObject):
    """An object that only the cycle collector can free."""

    freed_on: list[threading.Thread]

    def __init__(self, freed_on: list[threading.Thread]) -> None:
        super().__init__()
        self.itself, self.freed_on = self, freed_on

    def __del__(self) -> None:
        self.freed_on.append(threading.current_thread())


def make_garbage(freed_on: list[threading.Thread]) -> None:
    Knot(freed_on)
    heap = [[] for _ in range(5000)]
    for cell in heap:
        cell.append(cell)


def test_a_worker_thread_never_frees_a_cycle_of_the_window(housekeeping: Housekeeping) -> None:
    freed_on: list[threading.Thread] = []
    Knot(freed_on)
    worker = threading.Thread(target=make_garbage, args=([],))
    worker.start()
    worker.join()
    assert freed_on == []


def test_cycles_are_freed_on_the_gui_thread_when_enough_have_gathered(housekeeping: Housekeeping) -> None:
    freed_on: list[threading.Thread] = []
    make_garbage(freed_on)
    assert collect_when_due() is not None
    assert freed_on == [threading.main_thread()]


def test_a_burst_is_looked_at_whole(housekeeping: Housekeeping) -> None:
    gc.collect()
    few = [[] for _ in range(2 * gc.get_threshold()[0])]
    assert collect_when_due() == 0
    many = [[] for _ in range(30 * gc.get_threshold()[0])]
    assert collect_when_due() == 2
    assert len(few) < len(many)


def test_the_interpreter_collects_again_once_it_ends(qtbot: QtBot) -> None:
    gc.enable()
    keeper = Housekeeping()
    assert not gc.isenabled()
    keeper.end()
    assert gc.isenabled()
    gc.disable()  # as the tests have it


def test_what_stands_when_the_window_does_is_not_looked_at_again_until_the_end(
    housekeeping: Housekeeping,
) -> None:
    before = len(gc.get_objects())
    housekeeping.settle()
    assert len(gc.get_objects()) < before / 100
    freed_on: list[threading.Thread] = []
    make_garbage(freed_on)
    assert collect_when_due() is not None
    assert freed_on == [threading.main_thread()]
    housekeeping.end()
    assert len(gc.get_objects()) > before / 2
