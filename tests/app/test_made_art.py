"""The window's ways to make art: menu, keys and buttons lead to the editors at the art station."""

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QAbstractSpinBox, QApplication, QComboBox, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from app.window import MainWindow
from app.wiring import Workbench
from layout_core.art.lettering import Lettering
from layout_core.art.stock import stock_shape
from layout_core.job import edits
from tests.window_kit import WAIT_MS, main_window, shop_job, throw_away, workbench

pytestmark = pytest.mark.gui

LEFT = Qt.MouseButton.LeftButton
CTRL_SHIFT = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def bench(qapp: QApplication) -> Iterator[Workbench]:
    with workbench(qapp, shop_job()) as built:
        yield built


@pytest.fixture
def window(bench: Workbench) -> Iterator[MainWindow]:
    with main_window(bench, 1024, 720) as shown:
        yield shown


def in_view(window: MainWindow) -> object:
    """The editor that is in view, if one is."""
    return window.art_page.editor


def with_made(bench: Workbench, made: Lettering | None) -> int:
    """Lettering or a star as the chosen piece; the piece's id."""
    document = bench.document
    art_id = document.job.next_id
    if made is None:
        document.apply("Add", lambda job: edits.add_stock(job, stock_shape("star")))
    else:
        document.apply("Add", lambda job: edits.add_lettering(job, made))
    piece_id = document.job.next_id
    document.apply("Piece", lambda job: edits.add_piece(job, art_id, width_mm=60.0))
    bench.selection.choose_piece(piece_id)
    return piece_id


@pytest.mark.parametrize(("key", "editor"), [("L", "lettering"), ("H", "shape"), ("M", "names")])
def test_a_key_opens_each_editor_at_the_art_station(window: MainWindow, key: str, editor: str) -> None:
    window.activateWindow()
    QTest.keyClick(window.view, Qt.Key[f"Key_{key}"], CTRL_SHIFT)
    assert window.rail.in_view == "art"
    assert in_view(window) is getattr(window.art_page, editor)


def test_the_buttons_above_the_light_table_open_them_too_and_close_brings_it_back(window: MainWindow) -> None:
    window.go_to("art")
    page = window.art_page
    for button, editor in (
        (page.tools.lettering, page.lettering),
        (page.tools.shape, page.shape),
        (page.tools.names, page.names),
    ):
        QTest.mouseClick(button, LEFT)
        assert in_view(window) is editor
        assert not page.orders.isVisible()
        QTest.mouseClick(editor.close_button, LEFT)
        assert in_view(window) is None
        assert page.table.isVisible()
        assert page.orders.isVisible()


def test_only_made_art_offers_to_be_changed(window: MainWindow, bench: Workbench) -> None:
    window.go_to("art")
    change, action = window.art_page.tools.change, window.actions_by_name["change_made"]
    bench.selection.choose_piece(bench.document.job.pieces[0].piece_id)
    assert (change.isVisible(), action.isEnabled()) == (False, False)
    with_made(bench, Lettering("MOTH"))
    assert (change.isVisible(), change.text(), action.isEnabled()) == (True, "Change lettering", True)
    with_made(bench, None)
    assert change.text() == "Change shape"


def test_the_menu_of_the_list_changes_made_art_from_any_station(window: MainWindow, bench: Workbench) -> None:
    assert not [one for one in entries_of(window, bench.document.job.pieces[0].piece_id) if "Change" in one]
    with_made(bench, Lettering("MOTH"))
    window.go_to("sheets")
    piece_id = bench.selection.piece_id
    assert piece_id is not None
    menu = window.left.menu_of(piece_id)
    next(entry for entry in menu.actions() if entry.text() == "Change lettering").trigger()
    throw_away(menu)
    assert in_view(window) is window.art_page.lettering


def entries_of(window: MainWindow, piece_id: int) -> list[str]:
    menu = window.left.menu_of(piece_id)
    texts = [entry.text() for entry in menu.actions()]
    throw_away(menu)
    return texts


def test_f2_and_a_double_click_change_the_lettering_of_the_chosen_piece(
    window: MainWindow, bench: Workbench, qtbot: QtBot
) -> None:
    with_made(bench, Lettering("MOTH"))
    QTest.keyClick(window.view, Qt.Key.Key_F2)
    page = window.art_page
    assert in_view(window) is page.lettering
    assert page.lettering.words.toPlainText() == "MOTH"
    QTest.mouseClick(page.lettering.close_button, LEFT)
    QTest.mouseDClick(page.table, LEFT)
    assert in_view(window) is page.lettering
    page.lettering.words.setPlainText("TIDE")
    qtbot.waitUntil(page.lettering.keep_button.isEnabled, timeout=WAIT_MS)
    page.lettering.keep_button.setFocus()
    QTest.keyClick(page.lettering.keep_button, Qt.Key.Key_Space)
    assert in_view(window) is None
    art = bench.document.job.arts[-1]
    assert art.lettering is not None
    assert art.lettering.text == "TIDE"


@pytest.mark.parametrize("name", ["add_lettering", "add_shape", "add_names"])
def test_every_control_of_an_editor_has_a_name_a_size_and_its_turn_by_tab(
    window: MainWindow, name: str
) -> None:
    window.activateWindow()
    window.actions_by_name[name].trigger()
    editor = window.art_page.editor
    assert editor is not None
    controls: list[QWidget] = [
        widget
        for kind in (QAbstractButton, QAbstractSpinBox, QComboBox, QLineEdit)
        for widget in editor.findChildren(kind)
        if widget.isVisible() and not widget.objectName().startswith("qt_")
    ]
    assert [w for w in controls if not (w.accessibleName() or getattr(w, "text", str)())] == []
    assert [w.accessibleName() for w in controls if min(w.width(), w.height()) < 24 and w.isEnabled()] == []
    assert window.minimumSizeHint().width() <= 1280
    assert window.minimumSizeHint().height() <= 720
    ring: set[QWidget] = set()
    at = QApplication.focusWidget()
    while at is not None and at not in ring:
        ring.add(at)
        QTest.keyClick(at, Qt.Key.Key_Tab)
        at = QApplication.focusWidget()
    by_tab = [w for w in controls if w.focusPolicy() & Qt.FocusPolicy.TabFocus and w.isEnabled()]
    assert [
        w.accessibleName() for w in by_tab if w not in ring and not isinstance(w.parent(), QAbstractSpinBox)
    ] == []
