"""The checklist, rules 14 to 23: undo, unsaved work, Stop, state, errors, files, what is remembered."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, QRect, Qt, QTimer, QUrl
from PySide6.QtGui import QCloseEvent, QDragEnterEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QApplication,
    QMessageBox,
    QWidget,
)
from pytestqt.qtbot import QtBot

from app.window import MainWindow
from app.window_state import is_seen
from app.wiring import Workbench
from layout_core import errors
from layout_core.job import edits
from layout_core.job.file import job_digest, write_job
from layout_core.job.model import Job
from layout_core.progress import Progress
from tests.make import make_artwork, svg_of
from tests.window_kit import WAIT_MS, main_window, settle, shop_job, workbench

pytestmark = pytest.mark.gui


@pytest.fixture
def bench(qapp: QApplication) -> Iterator[Workbench]:
    with workbench(qapp, shop_job()) as built:
        yield built


@pytest.fixture
def window(bench: Workbench) -> Iterator[MainWindow]:
    with main_window(bench) as shown:
        yield shown


def test_rule_14_each_edit_is_one_named_undo_step(window: MainWindow) -> None:
    bench, actions = window.bench, window.actions_by_name
    before = bench.document.job
    for name in ("duplicate", "turn_right", "turn_left", "lock", "delete", "add_sheet", "cut"):
        bench.document.undo_stack.clear()
        bench.selection.choose_placed([before.sheets[0].placed[0].placed_id])
        actions[name].trigger()
        assert bench.document.undo_stack.count() == 1, name
        assert bench.document.undo_stack.undoText(), name
        assert bench.document.undo_stack.undoText()[1:] in actions["undo"].text(), name
        actions["undo"].trigger()
        assert bench.document.job == before, name


def test_rule_15_deleting_asks_nothing(window: MainWindow) -> None:
    bench = window.bench
    asked: list[QWidget | None] = []
    QTimer.singleShot(0, lambda: asked.append(QApplication.activeModalWidget()))
    bench.selection.choose_piece(bench.document.job.pieces[0].piece_id)
    window.actions_by_name["delete"].trigger()
    QApplication.processEvents()
    assert len(bench.document.job.pieces) == 2
    assert asked == [None]


def answer(key: Qt.Key | None = None, button: QMessageBox.StandardButton | None = None) -> list[str]:
    """Answer the next question by a key or a button, once it is up; what it said."""
    said: list[str] = []

    def act() -> None:
        box = QApplication.activeModalWidget()
        if not isinstance(box, QMessageBox):
            QTimer.singleShot(10, act)
            return
        said.append(box.text())
        if button is not None:
            box.button(button).click()
        elif key is not None:
            QTest.keyClick(box, key)

    QTimer.singleShot(0, act)
    return said


def close(window: MainWindow) -> bool:
    """Try to close; True when the window agreed."""
    event = QCloseEvent()
    QApplication.sendEvent(window, event)
    return event.isAccepted()


@pytest.mark.parametrize("key", [Qt.Key.Key_Escape, Qt.Key.Key_Return])
def test_rule_16_escape_and_return_keep_unsaved_work_and_the_window(window: MainWindow, key: Qt.Key) -> None:
    bench = window.bench
    bench.document.apply("Rename", lambda job: edits.rename_job(job, "Other & more"))
    said = answer(key)
    assert not close(window)
    assert said == ["“Other & more” has changes that are not saved."]
    assert bench.document.is_dirty


def test_rule_16_not_saving_closes_and_saving_saves_first(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench, path = window.bench, tmp_path / "job.duskjob"
    assert close(window)
    bench.document.save(path)
    bench.document.apply("Rename", lambda job: edits.rename_job(job, "Other"))
    answer(button=QMessageBox.StandardButton.Save)
    assert close(window)
    assert not bench.document.is_dirty
    bench.document.apply("Rename", lambda job: edits.rename_job(job, "Third"))
    answer(button=QMessageBox.StandardButton.Discard)
    assert close(window)
    assert bench.document.is_dirty


def test_rule_18_stop_ends_the_work_and_leaves_the_job(window: MainWindow, qtbot: QtBot) -> None:
    bench = window.bench
    settle(qtbot, bench)
    before = job_digest(bench.document.job)

    def endless(progress: Progress) -> Job:
        while True:
            progress(0.5, "drawing")

    window.files.open_job(endless, "Opening the sample job")
    qtbot.waitUntil(window.status.task.stop_button.isVisible)
    qtbot.mouseClick(window.status.task.stop_button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: not bench.tasks.running_ids, timeout=WAIT_MS)
    assert job_digest(bench.document.job) == before
    assert window.status.task.isHidden()


def test_rule_19_name_dirt_unit_zoom_place_and_findings_are_in_sight(
    window: MainWindow, qtbot: QtBot
) -> None:
    bench = window.bench
    settle(qtbot, bench)
    assert window.windowTitle() == "Moth night & tide walk[*] · Duskwright"
    assert not window.isWindowModified()
    assert window.top_line.state.text() == "not saved yet · inches"
    assert window.status.findings.text() == "nothing to fix"
    assert window.status.zoom.text().endswith("%")
    window.status.show_place((25.4, 50.8), bench.document.job.sheets[0].sheet_id)
    assert window.status.place.text() == "Sheet A · 1, 2 in"
    bench.document.apply("Rename", lambda job: edits.rename_job(job, "Other"))
    assert window.isWindowModified()
    bench.settings.change(unit="mm")
    assert window.top_line.state.text() == "unsaved changes · millimetres"
    assert window.status.place.text() == "Sheet A · 25, 51 mm"


def every_error() -> list[Exception]:
    kinds = [kind for kind in vars(errors).values() if isinstance(kind, type) and issubclass(kind, Exception)]
    made: list[Exception] = []
    for kind in kinds:
        if issubclass(kind, errors.ArtError):
            made.append(kind("leaf.svg", "the file is empty"))
        elif issubclass(kind, errors.DuskwrightError):
            made.append(kind("job.duskjob: the file ends too early"))
    return [*made, FileNotFoundError(2, "No such file", "shelf/job.duskjob"), MemoryError(), ValueError("x")]


def test_rule_20_errors_are_a_sentence_and_a_next_step(window: MainWindow) -> None:
    for error in every_error():
        window.notice.dismiss()
        window.bench.notices.tell_error(error, "opening the job")
        text = window.notice.text
        assert window.notice.isVisible()
        for code in ("Errno", "Traceback", "None", "Error:", "Exception"):
            assert code not in text, error
        assert text.count(". ") >= 1, text
        assert text.endswith("."), text


def drop_on(widget: QWidget, paths: list[Path]) -> None:
    """Let files go over a widget as a file manager does."""
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    at, actions = QPoint(5, 5), Qt.DropAction.CopyAction
    buttons, keys = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    QApplication.sendEvent(widget, QDragEnterEvent(at, actions, mime, buttons, keys))
    QApplication.sendEvent(widget, QDropEvent(QPointF(at), actions, mime, buttons, keys))


@pytest.mark.parametrize("way", ["drop", "argument", "dialog"])
def test_rule_21_a_job_opens_the_same_by_drop_argument_and_dialog(
    window: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, way: str
) -> None:
    bench, path = window.bench, tmp_path / "Nacht #1 mit Pünktchen.duskjob"
    saved = edits.rename_job(shop_job(), "From the file")
    write_job(path, saved)
    if way == "drop":
        drop_on(window, [path])
    elif way == "argument":
        window.deeds.take_files([path])
    else:
        monkeypatch.setattr("app.job_files.QFileDialog.getOpenFileName", lambda *args: (str(path), ""))
        window.actions_by_name["open"].trigger()
    qtbot.waitUntil(lambda: bench.document.path == path, timeout=WAIT_MS)
    assert job_digest(bench.document.job) == job_digest(saved)
    assert bench.settings.recent_jobs[0] == path


def test_rule_21_art_may_be_dropped_anywhere(window: MainWindow, qtbot: QtBot, tmp_path: Path) -> None:
    path = tmp_path / "shell #2 ü.svg"
    path.write_bytes(svg_of(make_artwork().outline))
    drop_on(window, [path])
    qtbot.waitUntil(lambda: len(window.bench.document.job.pieces) == 4, timeout=WAIT_MS)


def test_rule_22_twelve_recent_jobs_are_kept_and_the_missing_ones_greyed(
    window: MainWindow, tmp_path: Path
) -> None:
    there = tmp_path / "there & now.duskjob"
    write_job(there, shop_job())
    for number in range(14):
        window.bench.settings.remember_job(tmp_path / f"gone-{number}.duskjob")
    window.bench.settings.remember_job(there)
    window.menus.fill_recent()
    entries = window.menus.recent.actions()
    assert len(entries) == 12
    assert [entry.isEnabled() for entry in entries] == [True] + [False] * 11
    assert "there && now" in entries[0].text()


def test_rule_23_window_and_panels_come_back_where_they_stood(qapp: QApplication, bench: Workbench) -> None:
    with main_window(bench, 1300, 800) as window:
        window.splitter.setSizes([320, 700, 280])
        sizes = window.splitter.sizes()
        assert close(window)
    with main_window(bench, 1300, 800) as again:
        assert again.splitter.sizes() == sizes
        assert set(bench.settings.choices.splitters) == {"main", "art_page"}


def test_rule_23_a_window_left_on_a_screen_that_is_gone_comes_back_into_sight(bench: Workbench) -> None:
    with main_window(bench, 900, 700) as window:
        window.move(9000, 9000)
        assert not is_seen(window.frameGeometry())
        assert close(window)
    with main_window(bench, 900, 700) as again:
        assert is_seen(again.frameGeometry())
    assert not is_seen(QRect(9000, 9000, 800, 600))
