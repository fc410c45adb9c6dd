"""What one test leaves held down the next must not feel: which test is the next depends on the machine."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QListWidget
from pytestqt.qtbot import QtBot

from tests.conftest import lift_hands

pytestmark = pytest.mark.gui


def test_hands_are_lifted_from_a_button_and_a_key_with_shift(qtbot: QtBot) -> None:
    rows = QListWidget()
    qtbot.addWidget(rows)
    rows.show()
    QTest.mousePress(rows.viewport(), Qt.MouseButton.LeftButton)
    QTest.keyPress(rows, Qt.Key.Key_Left, Qt.KeyboardModifier.ShiftModifier)
    held = QApplication.mouseButtons(), QApplication.keyboardModifiers()
    assert held == (Qt.MouseButton.LeftButton, Qt.KeyboardModifier.ShiftModifier)
    lift_hands()
    assert QApplication.mouseButtons() == Qt.MouseButton.NoButton
    assert QApplication.keyboardModifiers() == Qt.KeyboardModifier.NoModifier
