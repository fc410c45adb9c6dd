"""The lettering editor: a live preview of the true outline, faults beside their field, art made anew."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.canvas.paths import path_of
from app.panels.lettering_editor import LetteringEditor
from app.wiring import Workbench
from layout_core.art.fonts import bundled_faces
from layout_core.art.lettering import Lettering, lettering_artwork
from layout_core.checks.smallest_size import smallest_cap_height
from layout_core.job import edits
from tests.app.panels.conftest import Keep
from tests.core.art.small_fonts import font_bytes, small_font
from tests.window_kit import WAIT_MS

pytestmark = pytest.mark.gui

LEFT = Qt.MouseButton.LeftButton
Rest = Callable[[], None]


@pytest.fixture
def editor(keep: Keep, bench: Workbench) -> LetteringEditor:
    made = LetteringEditor(bench)
    made.resize(1000, 700)
    keep(made)
    return made


@pytest.fixture
def rest(editor: LetteringEditor, qtbot: QtBot) -> Rest:
    """Waits until preview, checks and smallest size are there."""
    return lambda: qtbot.waitUntil(lambda: not editor.drafting.is_busy, timeout=WAIT_MS)


def test_the_preview_is_the_true_outline_while_words_are_typed(editor: LetteringEditor, rest: Rest) -> None:
    QTest.keyClicks(editor.words, "MOTH")
    QTest.keyClick(editor.words, Qt.Key.Key_Return)
    QTest.keyClicks(editor.words, "NIGHT")
    rest()
    expected = lettering_artwork(Lettering("MOTH\nNIGHT"))
    assert editor.drafting.artwork == expected
    assert editor.view.path == path_of(expected.outline)
    assert editor.verdict.text() == "Nothing to fix"


def test_the_button_adds_art_piece_and_copy_at_the_asked_cap_height_as_one_step(
    editor: LetteringEditor, bench: Workbench, rest: Rest, qtbot: QtBot
) -> None:
    before = bench.document.job
    assert not editor.keep_button.isEnabled()
    editor.words.setPlainText("A VERY LONG LINE OF WORDS FOR A BANNER")
    rest()
    with qtbot.waitSignal(editor.closed):
        QTest.mouseClick(editor.keep_button, LEFT)
    job = bench.document.job
    assert bench.document.undo_stack.count() == 1
    art, piece = job.arts[-1], job.pieces[-1]
    assert art.lettering == Lettering("A VERY LONG LINE OF WORDS FOR A BANNER")
    assert piece.width_mm == art.artwork.width_mm
    assert bench.selection.piece_id == piece.piece_id
    bench.document.undo_stack.undo()
    assert bench.document.job == before


def test_small_words_get_a_copy_on_the_sheet(editor: LetteringEditor, bench: Workbench, rest: Rest) -> None:
    editor.words.setPlainText("MOTH")
    rest()
    QTest.mouseClick(editor.keep_button, LEFT)
    job = bench.document.job
    assert job.copies_placed(job.pieces[-1].piece_id) == 1


def test_every_field_counts(editor: LetteringEditor, rest: Rest) -> None:
    editor.words.setPlainText("MOTH\nNIGHT WALK")
    setting = editor.setting
    QTest.mouseClick(setting.alignment.button("left"), LEFT)
    QTest.mouseClick(setting.contour.button("outside"), LEFT)
    setting.tracking.setValue(40)
    setting.spacing.setValue(1.8)
    setting.bend.setValue(-60)
    for field, text in ((setting.cap_height, "3/4"), (setting.line, "1.5 mm"), (setting.gap, "2mm")):
        field.setFocus()
        field.selectAll()
        QTest.keyClicks(field, text)
        QTest.keyClick(field, Qt.Key.Key_Return)
    rest()
    assert editor.drafting.made_of == Lettering(
        "MOTH\nNIGHT WALK", cap_height_mm=19.05, alignment="left", line_spacing=1.8, tracking=40.0,
        bend_deg=-60.0, contour="outside", line_mm=1.5, gap_mm=2.0,
    )  # fmt: skip
    assert editor.drafting.artwork == lettering_artwork(editor.drafting.made_of)


def test_the_fields_of_a_contour_are_there_only_for_one(editor: LetteringEditor) -> None:
    assert not editor.setting.line.isVisible()
    QTest.mouseClick(editor.setting.contour.button("inside"), LEFT)
    assert editor.setting.line.isVisible()


def test_the_smallest_cap_height_is_shown_and_can_be_set(
    editor: LetteringEditor, bench: Workbench, rest: Rest
) -> None:
    editor.words.setPlainText("MOTH")
    rest()
    found = smallest_cap_height(Lettering("MOTH"), bench.document.job.limits)
    assert found is not None
    QTest.mouseClick(editor.use_smallest, LEFT)
    rest()
    cap_mm = editor.setting.cap_height.value_mm
    assert cap_mm is not None
    assert found.cap_height_mm <= cap_mm < found.cap_height_mm + 0.254
    assert editor.verdict.text() == "Nothing to fix"
    assert editor.smallest.text().startswith("Smallest cap height that passes: 0.")
    assert not editor.use_smallest.isVisible()
    editor.setting.cap_height.set_value_mm(1.5)
    editor.take_wish()
    rest()
    assert editor.smallest.property("look") == "caution"
    assert "stop" in editor.verdict.text().lower()


def test_a_font_is_chosen_by_key_from_those_that_are_found(
    editor: LetteringEditor, rest: Rest, qtbot: QtBot
) -> None:
    faces = editor.setting.faces
    qtbot.waitUntil(lambda: faces.shelf is not None, timeout=WAIT_MS)
    editor.words.setPlainText("MOTH")
    QTest.keyClicks(faces.search, "lato bl")
    assert [faces.rows.index(row).data() for row in range(faces.rows.rowCount())] == ["Lato Black"]
    faces.list.setFocus()
    QTest.keyClick(faces.list, Qt.Key.Key_Down)
    rest()
    assert editor.drafting.artwork == lettering_artwork(Lettering("MOTH", font="Lato Black"))


def test_each_row_shows_its_font(editor: LetteringEditor, qtbot: QtBot) -> None:
    faces = editor.setting.faces
    first = bundled_faces()[0]
    qtbot.waitUntil(lambda: faces.rows.sample(first) is not None, timeout=WAIT_MS)
    sample = faces.rows.sample(first)
    assert sample is not None
    assert sample.boundingRect().height() > 5.0


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        ("日🦋", "The font Fredoka One has no “日”, “🦋”; choose another font or other words"),
        ("x" * 401, "The lettering has 401 letters on 1 lines; the most is 400 on 20"),
    ],
)
def test_words_that_cannot_be_set_are_told_beside_them(
    editor: LetteringEditor, rest: Rest, words: str, sentence: str
) -> None:
    editor.words.setPlainText(words)
    rest()
    assert (editor.words_fault.isVisible(), editor.words_fault.text()) == (True, sentence)
    assert not editor.keep_button.isEnabled()
    assert editor.drafting.artwork is None


def test_emptied_words_are_told_and_untouched_ones_are_not(editor: LetteringEditor, rest: Rest) -> None:
    assert not editor.words_fault.isVisible()
    QTest.keyClicks(editor.words, "M")
    QTest.keyClick(editor.words, Qt.Key.Key_Backspace)
    rest()
    assert editor.words_fault.text() == "The lettering has no words; type at least one letter"


def test_a_bend_that_is_too_tight_is_told_beside_the_bend(editor: LetteringEditor, rest: Rest) -> None:
    editor.words.setPlainText("I")
    editor.setting.bend.setValue(340)
    rest()
    assert "too tight" in editor.setting.bend_fault.text()
    assert not editor.words_fault.isVisible()


def test_a_cap_height_out_of_range_is_told_beside_it(editor: LetteringEditor) -> None:
    field = editor.setting.cap_height
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, "90 in")
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert editor.setting.cap_fault.text().startswith("Cap height is 90 in; choose from")


@pytest.mark.parametrize(
    ("data", "word"),
    [(b"no font", "neither a TrueType nor an OpenType"), (b"\0\1\0\0" + bytes(300), "broken font")],
)
def test_a_font_file_that_cannot_be_used_is_told_beside_the_fonts(
    editor: LetteringEditor, tmp_path: Path, data: bytes, word: str
) -> None:
    path = tmp_path / "bad.ttf"
    path.write_bytes(data)
    editor.setting.faces.add_file(path)
    assert editor.setting.faces.said.text().startswith("bad.ttf: ")
    assert word in editor.setting.faces.said.text()


def test_a_font_file_is_kept_for_the_shop_and_chosen(
    editor: LetteringEditor, tmp_path: Path, rest: Rest, qtbot: QtBot
) -> None:
    path = tmp_path / "boxes.ttf"
    path.write_bytes(font_bytes(small_font(family="Shop Boxes")))
    faces = editor.setting.faces
    faces.add_file(path)
    editor.words.setPlainText("HAH")
    qtbot.waitUntil(lambda: faces.name == "Shop Boxes", timeout=WAIT_MS)
    rest()
    assert editor.drafting.artwork == lettering_artwork(Lettering("HAH", font="Shop Boxes"))


def test_lettering_is_changed_in_place_as_one_step(
    editor: LetteringEditor, bench: Workbench, rest: Rest
) -> None:
    old = Lettering("MOTH NIGHT", bend_deg=30.0)
    bench.document.apply("Add", lambda job: edits.add_lettering(job, old))
    art = bench.document.job.arts[-1]
    bench.document.apply("Piece", lambda job: edits.add_piece(job, art.art_id, width_mm=art.artwork.width_mm))
    steps = bench.document.undo_stack.count()
    editor.begin(art)
    rest()
    assert (editor.title.text(), editor.words.toPlainText()) == ("Change lettering", "MOTH NIGHT")
    assert not editor.keep_button.isEnabled()
    editor.words.setPlainText("TIDE WALK")
    rest()
    QTest.mouseClick(editor.keep_button, LEFT)
    changed = bench.document.job.art(art.art_id)
    assert changed.lettering == replace(old, text="TIDE WALK")
    assert bench.document.job.pieces[-1].art_id == art.art_id
    assert bench.document.undo_stack.count() == steps + 1


def test_an_editor_follows_what_undo_does_to_its_art(
    editor: LetteringEditor, bench: Workbench, qtbot: QtBot
) -> None:
    bench.document.apply("Add", lambda job: edits.add_lettering(job, Lettering("MOTH")))
    art_id = bench.document.job.arts[-1].art_id
    bench.document.apply("Change", lambda job: edits.change_lettering(job, art_id, Lettering("TIDE")))
    editor.begin(bench.document.job.art(art_id))
    bench.document.undo_stack.undo()
    assert editor.words.toPlainText() == "MOTH"
    with qtbot.waitSignal(editor.closed):
        bench.document.undo_stack.undo()
