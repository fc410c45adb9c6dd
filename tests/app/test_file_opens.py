"""A file that the desktop opens with the running program is heard of."""

from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QUrl
from PySide6.QtGui import QFileOpenEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.file_opens import FileOpens

pytestmark = pytest.mark.gui


def test_file_is_passed_on_whatever_its_name(qapp: QApplication, qtbot: QtBot, tmp_path: Path) -> None:
    path = tmp_path / "moth night #1 – außen.duskjob"
    opens = FileOpens()
    qapp.installEventFilter(opens)
    try:
        with qtbot.waitSignal(opens.asked) as told:
            QApplication.sendEvent(qapp, QFileOpenEvent(QUrl.fromLocalFile(str(path))))
    finally:
        qapp.removeEventFilter(opens)
    assert told.args == [path]


def test_other_events_pass(qapp: QApplication, qtbot: QtBot) -> None:
    opens = FileOpens()
    with qtbot.assertNotEmitted(opens.asked):
        assert not opens.eventFilter(qapp, QEvent(QEvent.Type.User))
