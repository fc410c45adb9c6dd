"""The shape editor: every kind by its true picture, its figures as fields, changed in place later."""

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from app.panels.shape_editor import ShapeEditor
from app.widgets.length_field import LengthField
from app.widgets.quiet import QuietDecimal, QuietSpin
from app.widgets.thumbnail import thumbnail
from app.wiring import Workbench
from layout_core.art.stock import stock_artwork, stock_kinds, stock_shape
from tests.app.panels.conftest import Keep
from tests.window_kit import WAIT_MS

pytestmark = pytest.mark.gui

LEFT = Qt.MouseButton.LeftButton
KEYS = [kind.key for kind in stock_kinds() if kind.parameters]


@pytest.fixture
def editor(keep: Keep, bench: Workbench) -> ShapeEditor:
    made = ShapeEditor(bench)
    made.resize(1000, 700)
    keep(made)
    return made


@pytest.fixture
def rest(editor: ShapeEditor, qtbot: QtBot) -> Callable[[], None]:
    return lambda: qtbot.waitUntil(lambda: not editor.drafting.is_busy, timeout=WAIT_MS)


def choose(editor: ShapeEditor, key: str) -> None:
    """Click the picture of a kind."""
    item = editor.kinds.item(KEYS.index(key))
    editor.kinds.scrollToItem(item)
    place = editor.kinds.visualItemRect(item).center()
    QTest.mouseClick(editor.kinds.viewport(), LEFT, Qt.KeyboardModifier.NoModifier, place)


def test_every_kind_has_its_true_picture(editor: ShapeEditor, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: not editor.kinds.item(0).icon().isNull(), timeout=WAIT_MS)
    assert editor.kinds.count() == len(KEYS)
    for row, key in enumerate(KEYS):
        true = thumbnail(
            stock_artwork(stock_shape(key)), 48, editor.devicePixelRatioF(), editor.kinds.theme.text
        )
        shown = editor.kinds.item(row).icon().pixmap(48, 48)
        assert shown.toImage() == true.toImage(), key


def test_figures_of_every_sort_count(editor: ShapeEditor, rest: Callable[[], None]) -> None:
    choose(editor, "star")
    points, depth, size = (editor.figures.field(name) for name in ("points", "depth", "size_mm"))
    assert isinstance(points, QuietSpin)
    assert isinstance(depth, QuietDecimal)
    assert isinstance(size, LengthField)
    points.setValue(9)
    depth.setValue(40)
    size.setFocus()
    size.selectAll()
    QTest.keyClicks(size, "4 in")
    QTest.keyClick(size, Qt.Key.Key_Return)
    rest()
    assert editor.drafting.artwork == stock_artwork(stock_shape("star", points=9.0, depth=0.4, size_mm=101.6))


def test_an_angle_may_be_typed_below_zero(editor: ShapeEditor, rest: Callable[[], None]) -> None:
    choose(editor, "moon")
    turn = editor.figures.field("turn_deg")
    assert isinstance(turn, QuietDecimal)
    turn.setFocus()
    turn.selectAll()
    QTest.keyClicks(turn, "-60")
    QTest.keyClick(turn, Qt.Key.Key_Return)
    rest()
    assert editor.drafting.made_of == stock_shape("moon", turn_deg=-60.0)


def test_a_badge_takes_words_as_they_are_typed_and_says_what_the_font_lacks(
    editor: ShapeEditor, rest: Callable[[], None]
) -> None:
    choose(editor, "badge")
    words = editor.figures.field("top")
    assert isinstance(words, QLineEdit)
    words.selectAll()
    QTest.keyClicks(words, "LOW TIDE")
    rest()
    assert editor.drafting.made_of == stock_shape("badge", top="LOW TIDE")
    words.setText("日")
    rest()
    assert "has no “日”" in editor.fault.text()
    assert not editor.keep_button.isEnabled()


def test_a_kind_keeps_its_figures_while_others_are_looked_at(editor: ShapeEditor) -> None:
    choose(editor, "star")
    points = editor.figures.field("points")
    assert isinstance(points, QuietSpin)
    points.setValue(11)
    choose(editor, "ring")
    choose(editor, "star")
    assert editor.drafting.wish == stock_shape("star", points=11.0)


def test_a_shape_is_added_and_changed_in_place_each_as_one_step(
    editor: ShapeEditor, bench: Workbench, rest: Callable[[], None]
) -> None:
    choose(editor, "drop")
    rest()
    QTest.mouseClick(editor.keep_button, LEFT)
    art = bench.document.job.arts[-1]
    assert art.stock == stock_shape("drop")
    placed = bench.document.job.copies_placed(bench.document.job.pieces[-1].piece_id)
    editor.begin(art)
    assert editor.kinds.kind == "drop"
    choose(editor, "ring")
    rest()
    QTest.mouseClick(editor.keep_button, LEFT)
    job = bench.document.job
    assert job.art(art.art_id).stock == stock_shape("ring")
    assert job.copies_placed(job.pieces[-1].piece_id) == placed == 1
    assert bench.document.undo_stack.count() == 2


def test_a_figure_out_of_range_is_told(editor: ShapeEditor) -> None:
    choose(editor, "ring")
    band = editor.figures.field("band_mm")
    assert isinstance(band, LengthField)
    band.setFocus()
    band.selectAll()
    QTest.keyClicks(band, "40 in")
    QTest.keyClick(band, Qt.Key.Key_Return)
    assert "choose from" in editor.figures.fault.text()
