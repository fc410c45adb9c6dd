"""Names from a list: every row set and checked, the good ones added as one step, the others kept and told."""

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.panels.name_rows import CHECK_COLUMN
from app.panels.names_editor import NamesEditor
from app.widgets.plain_tip import plain_tip
from app.wiring import Workbench
from layout_core.art.lettering import Lettering, lettering_artwork
from layout_core.job.name_list import MOST_ROWS
from layout_core.units import mm
from tests.app.panels.conftest import Keep
from tests.window_kit import WAIT_MS

pytestmark = pytest.mark.gui

LEFT = Qt.MouseButton.LeftButton
CAP_MM = mm(0.75)


@pytest.fixture
def editor(keep: Keep, bench: Workbench) -> NamesEditor:
    made = NamesEditor(bench)
    made.resize(1000, 700)
    keep(made)
    return made


@pytest.fixture
def rest(editor: NamesEditor, qtbot: QtBot) -> Callable[[], None]:
    return lambda: qtbot.waitUntil(
        lambda: not editor.checks.is_busy and not editor.drafting.is_busy, timeout=WAIT_MS
    )


def cells(editor: NamesEditor, column: int) -> list[str]:
    return [str(editor.rows.index(row, column).data()) for row in range(editor.rows.rowCount())]


def test_each_row_of_a_pasted_list_becomes_a_checked_piece_of_one_size(
    editor: NamesEditor, bench: Workbench, rest: Callable[[], None]
) -> None:
    before = bench.document.job
    bench.app.clipboard().setText("name\tnumber\tcopies\nAda\t7\t2\nBo\t12\t1\n")
    editor.list.setFocus()
    editor.list.paste()
    editor.text.setPlainText("{name}\n{number}")
    rest()
    assert cells(editor, 1) == ["Ada", "Bo"]
    assert cells(editor, CHECK_COLUMN) == ["Nothing to fix", "Nothing to fix"]
    assert editor.keep_button.text() == "Add 2 names"
    QTest.mouseClick(editor.keep_button, LEFT)
    job = bench.document.job
    assert [art.lettering for art in job.arts[-2:]] == [
        Lettering("Ada\n7", cap_height_mm=CAP_MM), Lettering("Bo\n12", cap_height_mm=CAP_MM)
    ]  # fmt: skip
    assert [(piece.copies, piece.placement) for piece in job.pieces[-2:]] == [
        (2, "left chest"),
        (1, "left chest"),
    ]
    assert bench.document.undo_stack.count() == 1
    bench.document.undo_stack.undo()
    assert bench.document.job == before


def test_no_cell_of_a_usual_list_is_shortened_and_the_unit_stands_in_the_head(
    editor: NamesEditor, bench: Workbench, rest: Callable[[], None]
) -> None:
    editor.resize(856, 700)
    editor.list.setPlainText("name,number\nMaximiliane,12\n")
    rest()
    editor.grab()
    table, rows = editor.table, editor.rows
    for column in range(rows.columnCount()):
        assert table.sizeHintForColumn(column) <= table.columnWidth(column), cells(editor, column)
    assert rows.headerData(4, Qt.Orientation.Horizontal) == "Size, in"
    bench.settings.change(unit="mm")
    assert rows.headerData(4, Qt.Orientation.Horizontal) == "Size, mm"
    assert "mm" not in cells(editor, 4)[0]


def test_the_tool_tip_of_a_name_shows_markup_as_it_is_written(
    editor: NamesEditor, rest: Callable[[], None]
) -> None:
    editor.list.setPlainText("<b>Ada</b>")
    rest()
    assert cells(editor, 1) == ["<b>Ada</b>"]
    assert (
        editor.rows.index(0, 1).data(Qt.ItemDataRole.ToolTipRole) == plain_tip("<b>Ada</b>") != "<b>Ada</b>"
    )


def test_the_preview_shows_the_chosen_row(editor: NamesEditor, rest: Callable[[], None]) -> None:
    editor.list.setPlainText("Ada\nBo")
    rest()
    assert editor.drafting.artwork == lettering_artwork(Lettering("Ada", cap_height_mm=CAP_MM))
    editor.table.setFocus()
    QTest.keyClick(editor.table, Qt.Key.Key_Down)
    rest()
    assert editor.drafting.artwork == lettering_artwork(Lettering("Bo", cap_height_mm=CAP_MM))


def test_rows_that_cannot_be_set_are_told_left_out_and_kept(
    editor: NamesEditor, bench: Workbench, rest: Callable[[], None]
) -> None:
    editor.list.setPlainText("Ada\n日本\nBo")
    rest()
    assert cells(editor, CHECK_COLUMN)[1].startswith("The font Fredoka One has no “日”")
    assert "1 that cannot be set stays in the list (row 2: the font Fredoka One" in editor.said.text()
    assert editor.keep_button.text() == "Add 2 of 3 names"
    QTest.mouseClick(editor.keep_button, LEFT)
    assert [piece.name for piece in bench.document.job.pieces[-2:]] == ["Ada", "Bo"]
    rest()
    assert cells(editor, 1) == ["日本"]
    assert not editor.keep_button.isEnabled()


def test_names_too_small_to_print_say_so(editor: NamesEditor, rest: Callable[[], None]) -> None:
    editor.list.setPlainText("Ada")
    editor.setting.cap_height.set_value_mm(1.5)
    editor.setting.changed.emit()
    rest()
    assert "stop" in cells(editor, CHECK_COLUMN)[0].lower()


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("name,shoe\nAda,4", "The list: has unknown columns “shoe”"),
        ("name,copies\nAda,many", "The list: row 2: copies that are no whole number"),
        ("name\n", "The list: has a heading but no names under it"),
    ],
)
def test_a_list_that_cannot_be_read_is_told_beside_it(
    editor: NamesEditor, rest: Callable[[], None], text: str, sentence: str
) -> None:
    editor.list.setPlainText(text)
    rest()
    assert editor.list_fault.text().startswith(sentence)
    assert editor.list_fault.isVisible()
    assert not editor.keep_button.isEnabled()


def test_a_list_is_read_from_a_file_or_its_fault_told(
    editor: NamesEditor, rest: Callable[[], None], tmp_path: Path
) -> None:
    path = tmp_path / "crew.csv"
    path.write_bytes("name;copies\nZoë;3\n".encode("cp1252"))
    editor.read_list(path)
    rest()
    assert (cells(editor, 1), cells(editor, 3)) == (["Zoë"], ["3"])
    editor.read_list(tmp_path / "gone.csv")
    assert editor.list_fault.text().startswith("Gone.csv: cannot be opened")


def test_ten_thousand_rows_are_listed_at_once_checked_in_the_background_and_stopped(
    editor: NamesEditor, bench: Workbench, qtbot: QtBot
) -> None:
    """Words that repeat are set once, so the room fills before the list ends."""
    editor.list.setPlainText("name\n" + "\n".join(f"Crew {number % 3}" for number in range(10_000)))
    qtbot.waitUntil(lambda: len(editor.checks.results) >= MOST_ROWS, timeout=WAIT_MS)
    assert editor.rows.rowCount() == 10_000
    assert editor.keep_button.text() == f"Add {MOST_ROWS} of 10,000 names"
    assert editor.keep_button.isEnabled()
    editor.checks.stop()
    assert not editor.stop_button.isVisible()
    QTest.mouseClick(editor.keep_button, LEFT)
    assert len(bench.document.job.pieces) == 3 + MOST_ROWS
    qtbot.waitUntil(lambda: editor.rows.rowCount() == 10_000 - MOST_ROWS, timeout=WAIT_MS)
    editor.checks.stop()


def test_pieces_belong_to_the_order_that_is_chosen(
    editor: NamesEditor, bench: Workbench, rest: Callable[[], None]
) -> None:
    order = bench.document.job.orders[0]
    editor.begin()
    editor.order.setCurrentIndex(editor.order.findData(order.order_id))
    editor.list.setPlainText("Ada")
    rest()
    QTest.mouseClick(editor.keep_button, LEFT)
    assert bench.document.job.pieces[-1].order_id == order.order_id
