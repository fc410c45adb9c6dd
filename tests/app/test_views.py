"""The switch between carrier, garment and dark: by click, by key, and by the menu, all in step."""

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QLabel
from pytestqt.qtbot import QtBot

from app.dialogs.light import LightDialog
from app.window import MainWindow
from tests.window_kit import main_window, settle, shop_job, workbench

pytestmark = pytest.mark.gui


@pytest.fixture
def window(qapp: QApplication, qtbot: QtBot) -> Iterator[MainWindow]:
    with workbench(qapp, shop_job()) as bench, main_window(bench) as shown:
        settle(qtbot, bench)
        qtbot.waitExposed(shown)
        yield shown


def test_the_switch_and_its_letters_choose_the_view(window: MainWindow, qtbot: QtBot) -> None:
    window.go_to("sheets")
    viewing, switch = window.bench.viewing, window.tools.view_switch
    for view, key in (("dark", Qt.Key.Key_D), ("garment", Qt.Key.Key_G), ("carrier", Qt.Key.Key_C)):
        qtbot.mouseClick(switch.button(view), Qt.MouseButton.LeftButton)
        assert viewing.view == view
        assert window.actions_by_name[f"view_{view}"].isChecked()
        other = "carrier" if view != "carrier" else "dark"
        viewing.look_at(other)  # type: ignore[arg-type]  # both are views
        assert switch.current == other
        window.view.setFocus()
        qtbot.keyClick(window.view, key)
        assert viewing.view == view
        assert switch.current == view


def test_a_view_is_a_way_of_looking_and_no_change_of_the_job(window: MainWindow) -> None:
    before = window.bench.document.job
    window.actions_by_name["view_dark"].trigger()
    assert window.bench.document.job is before
    assert not window.bench.document.undo_stack.canUndo()


def test_the_strip_opens_the_light_and_the_caution_stands_there_too(window: MainWindow, qtbot: QtBot) -> None:

    window.go_to("sheets")
    qtbot.mouseClick(window.lights_out.light, Qt.MouseButton.LeftButton)
    (dialog,) = window.findChildren(LightDialog)
    assert dialog.isVisible()
    assert not dialog.isModal()
    words = " ".join(label.text() for label in dialog.findChildren(QLabel))
    assert "never safety marking" in words
    qtbot.keyClick(dialog, Qt.Key.Key_Escape)
    assert not dialog.isVisible()
