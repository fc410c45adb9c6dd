"""The main window joins its parts: stations, jumps, copies, sheets, messages and files."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication, QImage
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.messages import Message
from app.panels.station_figures import STATIONS
from app.widgets.marks import Mark
from app.window import MainWindow
from app.wiring import Workbench
from layout_core.checks.findings import Finding, Severity
from layout_core.job import edits
from layout_core.job.file import read_job, write_job
from layout_core.user_folders import config_folder
from tests.make import make_artwork, svg_of
from tests.window_kit import WAIT_MS, fine_line, main_window, settle, shop_job, workbench

pytestmark = pytest.mark.gui


@pytest.fixture
def bench(qapp: QApplication) -> Iterator[Workbench]:
    with workbench(qapp, shop_job()) as built:
        yield built


@pytest.fixture
def window(bench: Workbench) -> Iterator[MainWindow]:
    with main_window(bench) as shown:
        yield shown


def test_alt_and_a_figure_bring_each_station_with_its_panel(window: MainWindow, qtbot: QtBot) -> None:
    right, middle = window.right, window.middle
    window.bench.selection.clear()
    expected = {
        "art": (window.art_page, right.no_piece),
        "sheets": (window.work, right.sheet),
        "findings": (window.work, right.findings),
        "plan": (window.plan, right.sheet),
        "hand-off": (window.proof, right.hand_off),
    }
    for number, station in enumerate(STATIONS, 1):
        qtbot.keyClick(window, Qt.Key(Qt.Key.Key_0 + number), Qt.KeyboardModifier.AltModifier)
        assert window.rail.in_view == station
        assert (middle.currentWidget(), right.panel) == expected[station]


def test_a_choice_brings_the_piece_and_none_the_sheet(window: MainWindow) -> None:
    bench, right = window.bench, window.right
    assert right.panel is right.sheet
    bench.selection.choose_placed([bench.document.job.sheets[0].placed[0].placed_id])
    assert right.panel is right.piece
    right.switch.button("sheet").click()
    assert right.panel is right.sheet
    bench.selection.clear()
    assert right.panel is right.sheet


def test_a_finding_on_a_sheet_is_chosen_and_shown_there(window: MainWindow) -> None:
    bench = window.bench
    sheet = bench.document.job.sheets[0]
    ids = (sheet.placed[0].placed_id, sheet.placed[1].placed_id)
    near = Finding(
        "spacing",
        Severity.CAUTION,
        "",
        1.0,
        6.35,
        where_mm=(120, 60),
        sheet_id=sheet.sheet_id,
        placed_ids=ids,
    )
    window.go_to("plan")
    window.show_finding(near)
    assert window.rail.in_view == "sheets"
    assert bench.selection.placed_ids == set(ids)


def test_a_finding_of_art_that_lies_nowhere_is_shown_on_the_light_table(window: MainWindow) -> None:
    bench = window.bench
    dot = bench.document.job.pieces[2]
    window.go_to("findings")
    window.show_finding(fine_line(dot.piece_id))
    assert window.middle.currentWidget() is window.art_page
    assert bench.selection.piece_id == dot.piece_id
    assert window.right.panel is window.right.findings
    window.go_to("findings")
    assert window.middle.currentWidget() is window.work


def test_a_finding_without_a_place_chooses_every_copy(window: MainWindow) -> None:
    bench = window.bench
    block = bench.document.job.pieces[0]
    coarse = Finding("resolution", Severity.CAUTION, "", 200, 300, "dpi", None, block.piece_id)
    window.show_finding(coarse)
    assert len(bench.selection.placed_ids) == 2
    assert bench.selection.piece_id == block.piece_id


def test_a_copy_is_laid_where_nothing_is_in_its_way(window: MainWindow, qtbot: QtBot) -> None:
    bench = window.bench
    for _ in range(3):
        window.deeds.lay_copy(bench.document.job.pieces[1].piece_id)
    settle(qtbot, bench)
    assert bench.document.job.copies_placed(bench.document.job.pieces[1].piece_id) == 4
    assert [f.rule for f in bench.checker.findings if f.rule in ("spacing", "overlap", "sheet_bounds")] == []
    assert len(bench.selection.placed_ids) == 1


def test_a_copy_without_room_is_told_with_the_next_step(window: MainWindow) -> None:
    bench = window.bench
    block = bench.document.job.pieces[0]
    bench.document.apply("large", lambda job: edits.change_piece(job, block.piece_id, width_mm=400.0))
    window.deeds.lay_copy(block.piece_id)
    assert window.notice.text == (
        "Block & tackle finds no free spot (on the sheets). Add a sheet, or make room."
    )


def test_sheets_are_added_and_removed_and_the_new_one_is_in_view(window: MainWindow) -> None:
    bench = window.bench
    window.actions_by_name["add_sheet"].trigger()
    assert window.current.sheet == bench.document.job.sheets[1]
    assert window.right.panel is window.right.sheet
    window.actions_by_name["remove_sheet"].trigger()
    assert len(bench.document.job.sheets) == 1
    assert not window.actions_by_name["remove_sheet"].isEnabled()


def test_autopack_from_the_tools_row_is_one_step(window: MainWindow, qtbot: QtBot) -> None:
    bench = window.bench
    bench.document.apply("more", lambda job: edits.change_piece(job, job.pieces[1].piece_id, copies=3))
    steps = bench.document.undo_stack.count()
    qtbot.mouseClick(window.tools.autopack, Qt.MouseButton.LeftButton)
    assert window.tools.stop.isVisible()
    assert window.tools.autopack.isHidden()
    qtbot.waitUntil(lambda: bench.document.undo_stack.count() == steps + 1, timeout=WAIT_MS)
    settle(qtbot, bench)
    assert window.tools.autopack.isVisible()
    job = bench.document.job
    assert job.copies_placed(job.pieces[1].piece_id) == 3
    assert job.copies_placed(job.pieces[2].piece_id) > 3


def test_stopping_autopack_beside_its_button_leaves_a_sound_job(window: MainWindow, qtbot: QtBot) -> None:
    bench = window.bench
    qtbot.mouseClick(window.tools.autopack, Qt.MouseButton.LeftButton)
    qtbot.mouseClick(window.tools.stop, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: not bench.packing.is_running, timeout=WAIT_MS)
    settle(qtbot, bench)
    assert window.tools.stop.isHidden()
    assert [f.rule for f in bench.checker.findings if f.rule in ("spacing", "overlap", "sheet_bounds")] == []


def test_a_note_goes_with_the_next_change_and_a_warning_stays(window: MainWindow) -> None:
    bench = window.bench
    bench.notices.tell(Message("Nothing more fits", "", "Add a sheet"))
    assert window.notice.isVisible()
    bench.document.apply("rename", lambda job: edits.rename_job(job, "Other"))
    assert window.notice.isHidden()
    bench.notices.tell(Message("The order falls short", "", "Raise a run"), "caution")
    bench.document.apply("rename", lambda job: edits.rename_job(job, "Third"))
    assert window.notice.isVisible()
    assert window.notice.mark is Mark.CAUTION


def test_a_refused_entry_of_any_panel_is_told_in_the_line(window: MainWindow, qtbot: QtBot) -> None:
    field = window.right.sheet.length_field
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, "99 in")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert window.notice.text == "Length is 99 in; choose from 12 in to 60 in."


def test_the_job_is_renamed_in_the_top_line(window: MainWindow, qtbot: QtBot) -> None:
    name = window.top_line.name
    name.setFocus()
    name.selectAll()
    qtbot.keyClicks(name, "Lantern walk")
    qtbot.keyClick(name, Qt.Key.Key_Return)
    assert window.bench.document.job.name == "Lantern walk"
    name.setFocus()
    qtbot.keyClicks(name, " again")
    qtbot.keyClick(name, Qt.Key.Key_Escape)
    assert (name.text(), window.bench.document.job.name) == ("Lantern walk", "Lantern walk")


def test_a_long_name_is_shortened_while_nobody_writes_in_it(window: MainWindow) -> None:
    long = "The moth survey night and the tide-pool lantern walk, second printing for both"
    window.bench.document.apply("rename", lambda job: edits.rename_job(job, long))
    QApplication.processEvents()
    name = window.top_line.name
    assert name.text().endswith("…")
    name.setFocus()
    assert name.text() == long


def test_panels_are_hidden_and_shown_by_their_actions(window: MainWindow) -> None:
    for name, panel in (("left_panel", window.left), ("right_panel", window.right)):
        window.actions_by_name[name].trigger()
        assert panel.isHidden()
        window.actions_by_name[name].trigger()
        assert panel.isVisible()


def test_tools_give_way_before_the_words_of_autopack_are_cut(window: MainWindow) -> None:
    words = window.tools.autopack.sizeHint().width()
    for width in (1440, 1100, 1000):
        window.resize(width, 800)
        QApplication.processEvents()
        assert window.tools.autopack.width() >= words
        assert window.tools.tool("delete").isVisible()


def test_saving_and_opening_again_gives_the_same_job(
    window: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench = window.bench
    monkeypatch.setattr(
        "app.job_files.QFileDialog.getSaveFileName", lambda *args: (str(tmp_path / "my job"), "")
    )
    window.actions_by_name["save"].trigger()
    path = tmp_path / "my job.duskjob"
    assert read_job(path) == bench.document.job
    assert window.top_line.state.text() == "saved · inches"
    assert bench.settings.recent_jobs == (path,)
    window.actions_by_name["new"].trigger()
    assert bench.document.job.pieces == ()
    window.files.open(path)
    qtbot.waitUntil(lambda: bench.document.path == path, timeout=WAIT_MS)
    assert len(bench.document.job.pieces) == 3


def test_an_unwritable_place_is_told_and_the_job_stays_unsaved(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "no folder" / "job.duskjob"
    monkeypatch.setattr("app.job_files.QFileDialog.getSaveFileName", lambda *args: (str(target), ""))
    window.bench.document.apply("rename", lambda job: edits.rename_job(job, "Other"))
    assert not window.files.save()
    assert window.bench.document.is_dirty
    assert "job.duskjob" in window.notice.text


@pytest.mark.parametrize("content", [b"", b"no job at all", b"PK\x03\x04 half a job"])
def test_a_broken_job_file_leaves_everything_as_it_was(
    window: MainWindow, qtbot: QtBot, tmp_path: Path, content: bytes
) -> None:
    path = tmp_path / "broken.duskjob"
    path.write_bytes(content)
    before = window.bench.document.job
    window.files.open(path)
    qtbot.waitUntil(window.notice.isVisible, timeout=WAIT_MS)
    assert "broken.duskjob" in window.notice.text
    assert window.bench.document.job is before


def test_a_recent_job_that_is_gone_is_told_and_forgotten(window: MainWindow, tmp_path: Path) -> None:
    path = tmp_path / "gone.duskjob"
    window.bench.settings.remember_job(path)
    window.files.open(path)
    assert "gone.duskjob is not there any more" in window.notice.text
    assert window.bench.settings.recent_jobs == ()


def test_a_pasted_picture_becomes_a_piece(window: MainWindow, qtbot: QtBot) -> None:
    image = QImage(120, 90, QImage.Format.Format_ARGB32)
    image.fill(Qt.GlobalColor.transparent)
    for x in range(20, 100):
        for y in range(20, 70):
            image.setPixelColor(x, y, Qt.GlobalColor.black)
    QGuiApplication.clipboard().setImage(image)
    window.actions_by_name["paste"].trigger()
    qtbot.waitUntil(lambda: len(window.bench.document.job.pieces) == 4, timeout=WAIT_MS)


def test_what_is_cut_can_be_pasted(window: MainWindow) -> None:
    bench = window.bench
    copy = bench.document.job.sheets[0].placed[2]
    bench.selection.choose_placed([copy.placed_id])
    window.actions_by_name["cut"].trigger()
    assert bench.document.job.copies_placed(copy.piece_id) == 0
    window.actions_by_name["paste"].trigger()
    assert bench.document.job.copies_placed(copy.piece_id) == 1


def test_a_first_start_says_what_to_do_and_offers_the_sample(
    qapp: QApplication, qtbot: QtBot, tmp_path: Path
) -> None:
    with workbench(qapp) as bench, main_window(bench) as window:
        assert window.start_strip.isVisible()
        assert window.start_strip.sample_button.text() == "Open the sample job"
        assert not window.tools.autopack.isEnabled()
        path = tmp_path / "leaf.svg"
        path.write_bytes(svg_of(make_artwork().outline))
        window.view.files_dropped.emit([path], None, None)
        qtbot.waitUntil(lambda: bool(bench.document.job.pieces), timeout=WAIT_MS)
        assert window.start_strip.isHidden()


def test_a_mistake_in_the_placements_is_told_and_the_shipped_ones_serve(qapp: QApplication) -> None:
    job = shop_job()
    config_folder().mkdir(parents=True, exist_ok=True)
    (config_folder() / "placements.toml").write_text("[[placement]\nname = 3", encoding="utf-8")
    with workbench(qapp, job) as bench, main_window(bench) as window:
        assert "placements.toml" in window.notice.text
        assert window.right.piece.placement.count() >= 10


def test_another_job_forgets_the_old_proof_and_messages(
    window: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    bench = window.bench
    window.maker.proofed = bench.document.job
    bench.notices.tell(Message("Old trouble", "", "Mend it"), "stop")
    path = tmp_path / "other.duskjob"
    write_job(path, edits.rename_job(shop_job(), "Other"))
    window.files.open(path)
    qtbot.waitUntil(lambda: bench.document.job.name == "Other", timeout=WAIT_MS)
    assert window.maker.proofed is None
    assert window.notice.isHidden()
