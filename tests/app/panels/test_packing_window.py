"""Autopack and its switches by click: in the tools row, the sheet panel, the piece panel and the menu."""

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QCheckBox, QPushButton
from pytestqt.qtbot import QtBot

from app.window import MainWindow
from app.wiring import Workbench
from layout_core.job import edits
from layout_core.job.file import job_bytes, job_from_bytes
from tests.app.panels.conftest import Keep
from tests.window_kit import WAIT_MS, settle

pytestmark = pytest.mark.gui


@pytest.fixture
def window(bench: Workbench, keep: Keep, qtbot: QtBot) -> MainWindow:
    window = MainWindow(bench)
    window.resize(1440, 900)
    keep(window)
    window.go_to("sheets")
    bench.settings.change(pack_seconds=1.0)
    settle(qtbot, bench)
    return window


def click(box: QCheckBox) -> None:
    """Click the mark of a check box, not its empty right."""
    QTest.mouseClick(box, Qt.MouseButton.LeftButton, pos=QPoint(8, box.height() // 2))


def press(button: QPushButton) -> None:
    assert button.isVisible()
    assert button.isEnabled()
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)


def test_autopack_by_click_fills_round_what_is_locked_in_one_step(
    bench: Workbench, window: MainWindow, qtbot: QtBot
) -> None:
    sheet = bench.document.job.sheets[0]
    locked = sheet.placed[0].placed_id
    bench.document.apply("Lock", lambda job: edits.lock_placed(job, [locked], True))
    before = bench.document.job
    press(window.tools.autopack)
    qtbot.waitUntil(lambda: not bench.packing.is_running, timeout=3 * WAIT_MS)
    after = bench.document.job
    assert len(after.sheets[0].placed) > len(sheet.placed)
    assert after.sheets[0].placed[: len(sheet.placed)] == before.sheets[0].placed
    assert bench.document.undo_stack.count() == 2
    bench.document.undo_stack.undo()
    assert bench.document.job == before


def test_stop_by_click_keeps_what_is_laid(bench: Workbench, window: MainWindow, qtbot: QtBot) -> None:
    bench.settings.change(pack_seconds=600.0)
    lay = len(bench.document.job.sheets[0].placed)
    press(window.tools.autopack)
    qtbot.waitUntil(lambda: len(bench.document.job.sheets[0].placed) > lay, timeout=3 * WAIT_MS)
    assert window.tools.stop.text() == "Stop autopack"
    press(window.tools.stop)
    qtbot.waitUntil(lambda: not bench.packing.is_running, timeout=3 * WAIT_MS)
    assert len(bench.document.job.sheets[0].placed) > lay
    assert bench.document.undo_stack.count() == 1


def test_the_switches_are_settings_and_stand_in_the_menu_too(
    bench: Workbench, window: MainWindow, qtbot: QtBot
) -> None:
    window.right.show_sheet()
    wishes = window.right.sheet.wishes
    for box, name in ((wishes.any_angle, "pack_any_angle"), (wishes.holes, "pack_in_holes")):
        was = getattr(bench.settings.choices, name)
        click(box)
        assert getattr(bench.settings.choices, name) is not was
        assert window.actions_by_name[name].isChecked() is not was
    window.actions_by_name["pack_straight_cuts"].trigger()
    assert wishes.straight.isChecked()
    assert not wishes.holes.isEnabled()
    assert not wishes.any_angle.isEnabled()
    wishes.seconds.setFocus()
    QTest.keyClick(wishes.seconds, Qt.Key.Key_End)
    assert bench.settings.pack_seconds == 60.0
    assert bench.document.undo_stack.count() == 0


def test_a_piece_is_barred_from_turning_by_click_saved_and_undone(
    bench: Workbench, window: MainWindow, qtbot: QtBot
) -> None:
    piece = bench.document.job.pieces[0]
    bench.selection.choose_piece(piece.piece_id)
    box = window.right.piece.may_turn
    assert box.isChecked()
    click(box)
    barred = bench.document.job
    assert not barred.piece(piece.piece_id).may_turn
    assert job_from_bytes("x", job_bytes(barred)) == barred
    bench.document.undo_stack.undo()
    assert bench.document.job.piece(piece.piece_id).may_turn
    assert box.isChecked()


def test_the_shortest_sheet_by_click(bench: Workbench, window: MainWindow, qtbot: QtBot) -> None:
    sheet_id = bench.document.job.sheets[0].sheet_id
    bench.document.apply("Long", lambda job: edits.change_sheet(job, sheet_id, length_mm=1400.0))
    window.right.show_sheet()
    window.right.sheet.verticalScrollBar().setValue(window.right.sheet.verticalScrollBar().maximum())
    press(window.right.sheet.wishes.shorten)
    assert window.tools.stop.text() == "Stop shortest sheet"
    qtbot.waitUntil(lambda: not bench.packing.is_running, timeout=3 * WAIT_MS)
    assert bench.document.job.sheets[0].length_mm < 700.0
    assert bench.document.undo_stack.count() == 2
    assert not window.tools.stop.isVisible()
