"""The main job in the window, once by mouse and files, once by the keyboard alone."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QGuiApplication, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.widgets.finding_card import FindingCard
from app.window import MainWindow
from app.wiring import Workbench
from layout_core.job.file import read_job
from layout_core.shipped import shipped
from layout_core.units import mm
from tests.make import make_artwork, svg_of
from tests.window_kit import WAIT_MS, main_window, settle, workbench

pytestmark = pytest.mark.gui

LONG_MS = WAIT_MS


@pytest.fixture
def bench(qapp: QApplication) -> Iterator[Workbench]:
    with workbench(qapp) as built:
        yield built


@pytest.fixture
def window(bench: Workbench) -> Iterator[MainWindow]:
    with main_window(bench) as shown:
        yield shown


def drop_on_sheet(window: MainWindow, paths: list[Path]) -> None:
    """Let files go over the middle of the sheets, as a file manager does."""
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    viewport = window.view.viewport()
    at = QPointF(viewport.rect().center())
    rest = (Qt.DropAction.CopyAction, mime, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier)
    QApplication.sendEvent(viewport, QDragEnterEvent(at.toPoint(), *rest))
    QApplication.sendEvent(viewport, QDropEvent(at, *rest))


def choose(window: MainWindow, name: str) -> int:
    """Click a piece's row in the left panel; its id."""
    piece = next(piece for piece in window.bench.document.job.pieces if piece.name == name)
    row = next(r for r in range(window.left.model.rowCount())
               if window.left.model.index(r, 0).data() == name)  # fmt: skip
    at: QPoint = window.left.list.visualRect(window.left.model.index(row, 0)).center()
    QTest.mouseClick(window.left.list.viewport(), Qt.MouseButton.LeftButton, pos=at)
    assert window.bench.selection.piece_id == piece.piece_id
    return piece.piece_id


def test_files_become_a_checked_packed_and_proofed_job(
    window: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench, document = window.bench, window.bench.document
    art = [shipped("sample_art", name) for name in ("lantern.svg", "hermit-crab.png", "rubber-boots.jpg")]
    drop_on_sheet(window, art)
    qtbot.waitUntil(lambda: len(document.job.pieces) == 3, timeout=LONG_MS)
    assert document.undo_stack.count() == 1
    names = [piece.name for piece in document.job.pieces]

    lantern = choose(window, names[0])
    panel = window.right.piece
    panel.placement.setCurrentIndex(panel.placement.findData("left chest"))
    panel.placement.activated.emit(0)
    assert document.job.piece(lantern).width_mm <= mm(3.75) + 1e-6
    crab = choose(window, names[1])
    panel.filler.click()
    panel.width_field.setFocus()
    panel.width_field.selectAll()
    QTest.keyClicks(panel.width_field, "2 1/2")
    QTest.keyClick(panel.width_field, Qt.Key.Key_Return)
    assert document.job.piece(crab).width_mm == pytest.approx(mm(2.5))

    copy = next(p for s in document.job.sheets for p in s.placed if p.piece_id == lantern)
    bench.selection.choose_placed([copy.placed_id])
    fields = window.right.piece.placed
    fields.from_left.setFocus()
    fields.from_left.selectAll()
    QTest.keyClicks(fields.from_left, "0 in")
    QTest.keyClick(fields.from_left, Qt.Key.Key_Return)
    settle(qtbot, bench)
    assert any(finding.rule == "sheet_bounds" for finding in bench.checker.findings)
    window.go_to("findings")
    qtbot.waitUntil(lambda: "stop: Off the sheet" in spoken_cards(window), timeout=WAIT_MS)
    window.actions_by_name["undo"].trigger()

    window.go_to("sheets")
    before = document.job.copies_placed(crab)
    QTest.mouseClick(window.tools.autopack, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: document.undo_stack.undoText() == "Autopack", timeout=LONG_MS)
    settle(qtbot, bench)
    assert document.job.copies_placed(crab) > before

    proof, saved = tmp_path / "proof.png", tmp_path / "story.duskjob"
    monkeypatch.setattr(
        "app.panels.hand_off_panel.QFileDialog.getSaveFileName", lambda *args: (str(proof), "")
    )
    window.go_to("hand-off")
    QTest.mouseClick(window.right.hand_off.save_button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: window.maker.proofed is not None, timeout=LONG_MS)
    assert not QImage(str(proof)).isNull()
    assert window.rail.card("hand-off").station.figure == "proof made"

    document.save(saved)
    assert read_job(saved) == document.job


def spoken_cards(window: MainWindow) -> str:
    cards = window.right.findings.findChildren(FindingCard)
    return " | ".join(card.accessibleName() for card in cards if card.isVisible())


def test_rule_05_the_main_job_by_the_keyboard_alone(
    window: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Paste art, move, turn, duplicate, take back, pack, look at the findings, make the proof, save."""
    bench, document = window.bench, window.bench.document
    control = Qt.KeyboardModifier.ControlModifier
    clipboard = QMimeData()
    clipboard.setData("image/svg+xml", svg_of(make_artwork().outline))
    QGuiApplication.clipboard().setMimeData(clipboard)

    def press(key: Qt.Key, keys: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
        focused = QApplication.focusWidget()
        QTest.keyClick(window.view if focused is None else focused, key, keys)

    window.activateWindow()
    window.view.setFocus()
    press(Qt.Key.Key_V, control)
    qtbot.waitUntil(lambda: len(document.job.pieces) == 1, timeout=LONG_MS)
    piece = document.job.pieces[0]
    (placed,) = document.job.sheets[0].placed
    press(Qt.Key.Key_Right)
    press(Qt.Key.Key_Down)
    moved = document.job.placed(placed.placed_id).pose
    assert moved.x_mm > placed.pose.x_mm
    assert moved.y_mm > placed.pose.y_mm
    press(Qt.Key.Key_R)
    assert document.job.placed(placed.placed_id).pose.turn_deg == 90.0
    press(Qt.Key.Key_D, control)
    assert document.job.copies_placed(piece.piece_id) == 2
    press(Qt.Key.Key_Z, control)
    assert document.job.copies_placed(piece.piece_id) == 1

    window.right.piece.copies.setFocus()
    press(Qt.Key.Key_A, control)
    QTest.keyClicks(QApplication.focusWidget(), "5")
    press(Qt.Key.Key_Return)
    assert document.job.pieces[0].copies == 5
    window.view.setFocus()
    press(Qt.Key.Key_Return, control)
    qtbot.waitUntil(lambda: document.undo_stack.undoText() == "Autopack", timeout=LONG_MS)
    assert document.job.copies_placed(piece.piece_id) > 1

    press(Qt.Key.Key_3, Qt.KeyboardModifier.AltModifier)
    assert window.rail.in_view == "findings"
    settle(qtbot, bench)
    press(Qt.Key.Key_E, control)
    qtbot.waitUntil(lambda: window.maker.is_fresh, timeout=LONG_MS)
    path = tmp_path / "keys.duskjob"
    monkeypatch.setattr("app.job_files.QFileDialog.getSaveFileName", lambda *args: (str(path), ""))
    press(Qt.Key.Key_S, control)
    assert read_job(path) == document.job
