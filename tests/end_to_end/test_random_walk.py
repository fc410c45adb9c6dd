"""A few hundred random deeds in the window: nothing breaks, and undo leads all the way back."""

import random

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from layout_core.job.file import job_bytes, job_from_bytes
from tests.random_deeds import act
from tests.window_kit import main_window, settle, shop_job, workbench

pytestmark = pytest.mark.gui


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
