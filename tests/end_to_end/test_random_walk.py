"""A few hundred random deeds in the window: nothing breaks, and undo leads all the way back."""

import random

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.panels.station_figures import STATIONS
from app.window import MainWindow
from layout_core.job.file import job_bytes, job_from_bytes
from tests.window_kit import main_window, settle, shop_job, workbench

pytestmark = pytest.mark.gui

EDITS = [
    "duplicate",
    "turn_right",
    "turn_left",
    "lock",
    "delete",
    "cut",
    "copy",
    "paste",
    "add_sheet",
    "remove_sheet",
    "select_all",
    "select_none",
    "undo",
    "redo",
    "inches",
    "snap",
    "zoom_fit",
]


def act(window: MainWindow, chance: random.Random) -> str:
    """Do one random thing that a person could do now; what it was."""
    bench, job = window.bench, window.bench.document.job
    placed = [p.placed_id for sheet in job.sheets for p in sheet.placed]
    kind = chance.choice(("action", "action", "choose", "nudge", "field", "station", "lay"))
    if kind == "action":
        name = chance.choice(EDITS)
        if window.actions_by_name[name].isEnabled():
            window.actions_by_name[name].trigger()
        return name
    if kind == "choose" and placed:
        bench.selection.choose_placed(chance.sample(placed, min(len(placed), chance.randint(1, 4))))
    elif kind == "nudge":
        window.view.nudge(chance.uniform(-40, 40), chance.uniform(-40, 40))
    elif kind == "field" and bench.selection.piece_id is not None:
        window.right.piece.width_field.committed.emit(chance.uniform(5, 300))
    elif kind == "station":
        window.go_to(chance.choice(STATIONS))
    elif kind == "lay" and job.pieces:
        window.deeds.lay_copy(chance.choice(job.pieces).piece_id)
    return kind


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_random_deeds_are_all_undone_and_every_job_between_can_be_saved(
    qapp: QApplication, qtbot: QtBot, seed: int
) -> None:
    chance, start = random.Random(seed), shop_job()
    with workbench(qapp, start) as bench, main_window(bench) as window:
        for step in range(150):
            act(window, chance)
            if step % 30 == 0:
                qapp.processEvents()
                job = bench.document.job
                assert job_from_bytes("between", job_bytes(job)) == job
        settle(qtbot, bench)
        assert bench.document.undo_stack.count() > 10
        while bench.document.undo_stack.canUndo():
            bench.document.undo_stack.undo()
        assert bench.document.job == start
