"""The ink map at the art station: choices show at once, are one undo step, and are kept in the job's file."""

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QMenu, QPushButton
from pytestqt.qtbot import QtBot

from app.panels.ink_panel import HONEST
from app.panels.light_table import LightTable
from app.widgets.swatch_row import share_words
from app.window import MainWindow
from app.wiring import Workbench
from layout_core.art.intake import read_art_bytes
from layout_core.art.stock import stock_shape
from layout_core.job import edits
from layout_core.job.file import job_bytes, job_from_bytes
from layout_core.job.model import Job
from tests.window_kit import WAIT_MS, main_window, settle, throw_away, workbench

pytestmark = pytest.mark.gui

TWO_COLOURS = b"""<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="60mm" viewBox="0 0 60 60">
<rect width="60" height="60" fill="#c8102e"/><circle cx="30" cy="30" r="20" fill="#0a2a88"/></svg>"""
SHADOW = b"""<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="60mm" viewBox="0 0 60 60">
<rect x="30" width="30" height="60" fill="#000" fill-opacity=".4"/>
<rect width="20" height="60" fill="#000"/></svg>"""
HOLED = b"""<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="60mm" viewBox="0 0 60 60">
<path fill-rule="evenodd" d="M0 0H60V60H0Z M20 20H40V40H20Z"/></svg>"""
RED, BLUE = "#c8102e", "#0a2a88"


@pytest.fixture
def bench(qapp: QApplication) -> Iterator[Workbench]:
    with workbench(qapp) as built:
        yield built


@pytest.fixture
def window(bench: Workbench) -> Iterator[MainWindow]:
    with main_window(bench) as shown:
        yield shown


def open_ink(window: MainWindow, qtbot: QtBot, data: bytes = TWO_COLOURS, name: str = "badge.svg") -> None:
    """The art is added and its ink shown, by the way a person takes."""
    bench = window.bench
    artwork = read_art_bytes(name, data)

    def edit(job: Job) -> Job:
        art_id = job.next_id
        return edits.add_piece(edits.add_art(job, artwork), art_id, width_mm=50.0, copies=0, filler=True)

    bench.document.apply("add", edit)
    bench.selection.choose_piece(bench.document.job.pieces[-1].piece_id)
    window.go_to("art")
    qtbot.mouseClick(window.right.art_switch.button("ink"), Qt.MouseButton.LeftButton)
    settle(qtbot, bench)
    assert window.right.panel is window.right.ink


def press(window: MainWindow, colour: str, key: str, qtbot: QtBot) -> None:
    row = window.right.ink.rows[colour]
    qtbot.mouseClick(row.choice.button(key), Qt.MouseButton.LeftButton)


def printed_mm2(bench: Workbench) -> float:
    return float(bench.document.job.arts[-1].artwork.outline.area)


def test_the_colours_stand_with_name_share_and_fate(window: MainWindow, qtbot: QtBot) -> None:
    open_ink(window, qtbot)
    names = [row.accessibleName() for row in window.right.ink.rows.values()]
    assert names == [
        f"red {RED}, 65 % of the art, is knocked out",
        f"dark blue {BLUE}, 35 % of the art, prints",
    ]
    assert window.right.ink.sub.text() == "2 colours, 1 of them knocked out"


def test_a_choice_is_one_undo_step_saved_and_back_with_undo(
    window: MainWindow, bench: Workbench, qtbot: QtBot
) -> None:
    open_ink(window, qtbot)
    steps, before = bench.document.undo_stack.count(), printed_mm2(bench)
    assert before == pytest.approx(1256.6, rel=1e-3)
    press(window, RED, "print", qtbot)
    settle(qtbot, bench)
    assert bench.document.undo_stack.count() == steps + 1
    assert printed_mm2(bench) == pytest.approx(3600.0, rel=1e-3)
    job = bench.document.job
    assert job_from_bytes("job", job_bytes(job)).arts[-1].ink_map == job.arts[-1].ink_map is not None
    bench.document.undo_stack.undo()
    assert printed_mm2(bench) == before
    assert window.right.ink.rows[RED].accessibleName().endswith("is knocked out")


def test_the_light_table_shows_the_choice_before_the_job_follows(
    window: MainWindow, bench: Workbench, qtbot: QtBot
) -> None:
    open_ink(window, qtbot)
    mapping, art = bench.ink_mapping, bench.document.job.arts[-1]
    areas: list[float] = []

    def note() -> None:
        shown = mapping.preview(art.art_id)
        if shown is not None and bench.document.job.arts[-1] is art:
            areas.append(shown.area)

    mapping.changed.connect(note)
    press(window, RED, "print", qtbot)
    press(window, BLUE, "knock", qtbot)
    settle(qtbot, bench)
    assert areas[-1] == pytest.approx(3600.0 - 1256.6, rel=1e-3)
    assert printed_mm2(bench) == pytest.approx(areas[-1], rel=1e-6)
    assert mapping.preview(art.art_id) is None


def test_the_preview_is_what_the_light_table_paints(
    window: MainWindow, bench: Workbench, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    open_ink(window, qtbot)
    table: LightTable = window.art_page.table
    before = table.grab().toImage()
    outline = bench.document.job.arts[-1].artwork.outline.buffer(-5)
    monkeypatch.setattr(bench.ink_mapping, "_preview", outline)
    assert table.grab().toImage() != before


def test_the_last_colour_cannot_be_knocked_out_and_says_why(
    window: MainWindow, bench: Workbench, qtbot: QtBot
) -> None:
    open_ink(window, qtbot)
    job = bench.document.job
    press(window, BLUE, "knock", qtbot)
    assert window.right.ink.fault.text() == "No colour prints, so nothing of the art would be left."
    assert window.right.ink.rows[BLUE].choice.current == "print"
    settle(qtbot, bench)
    assert bench.document.job is job


def test_as_proposed_takes_the_choices_back(window: MainWindow, bench: Workbench, qtbot: QtBot) -> None:
    open_ink(window, qtbot)
    before = printed_mm2(bench)
    assert not window.right.ink.propose_button.isEnabled()
    press(window, RED, "print", qtbot)
    settle(qtbot, bench)
    qtbot.mouseClick(window.right.ink.propose_button, Qt.MouseButton.LeftButton)
    settle(qtbot, bench)
    assert bench.document.job.arts[-1].ink_map is None
    assert printed_mm2(bench) == pytest.approx(before)
    assert window.right.ink.rows[RED].choice.current == "knock"


def test_swatches_work_by_the_keyboard_and_keep_the_focus(
    window: MainWindow, bench: Workbench, qtbot: QtBot
) -> None:
    open_ink(window, qtbot)
    button = window.right.ink.rows[RED].choice.button("print")
    button.setFocus()
    qtbot.keyClick(button, Qt.Key.Key_Space)
    settle(qtbot, bench)
    assert printed_mm2(bench) == pytest.approx(3600.0, rel=1e-3)
    assert window.right.ink.rows[RED].choice.button("print") is button


def test_a_soft_shadow_prints_once_the_slider_is_below_it_in_one_step(
    window: MainWindow, bench: Workbench, qtbot: QtBot
) -> None:
    open_ink(window, qtbot, SHADOW)
    assert HONEST.startswith("One opaque ink cannot print half a tone")
    steps, before = bench.document.undo_stack.count(), printed_mm2(bench)
    slider = window.right.ink.threshold
    assert slider.value() == 50
    slider.setFocus()
    for _ in range(3):
        qtbot.keyClick(slider, Qt.Key.Key_PageDown)
    qtbot.waitUntil(lambda: bench.document.job.arts[-1].ink_map is not None, timeout=WAIT_MS)
    settle(qtbot, bench)
    assert bench.document.undo_stack.count() == steps + 1
    assert bench.document.job.arts[-1].ink_map.threshold == 0.35
    assert printed_mm2(bench) == pytest.approx(before + 1800.0, rel=1e-3)


def test_art_made_in_the_one_ink_has_no_colours_to_choose_from(
    window: MainWindow, bench: Workbench, qtbot: QtBot
) -> None:
    bench.document.apply("star", lambda job: edits.add_stock(job, stock_shape("star")))
    art_id = bench.document.job.arts[-1].art_id
    bench.document.apply("piece", lambda job: edits.add_piece(job, art_id, copies=0, filler=True))
    bench.selection.choose_piece(bench.document.job.pieces[-1].piece_id)
    window.go_to("art")
    window.right.show_ink()
    settle(qtbot, bench)
    assert window.right.ink.rows == {}
    assert window.right.ink.sub.text() == "Made in the one ink; it has no colours to choose from."


def test_repairs_nobody_found_missing_are_offered_and_taken_back(
    window: MainWindow, bench: Workbench, qtbot: QtBot
) -> None:
    open_ink(window, qtbot)
    texts = [one.text() for one in window.right.ink.findChildren(QPushButton) if not one.isHidden()]
    (outline,) = (text for text in texts if text.startswith("Solid with an outline"))
    press(window, RED, "print", qtbot)
    settle(qtbot, bench)
    press(window, RED, "knock", qtbot)
    settle(qtbot, bench)
    before = bench.document.job
    button = next(one for one in window.right.ink.findChildren(QPushButton) if one.text() == outline)
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: bool(bench.document.job.arts[-1].repairs), timeout=WAIT_MS)
    settle(qtbot, bench)
    qtbot.mouseClick(window.right.ink.back_button, Qt.MouseButton.LeftButton)
    assert bench.document.job == before


def test_a_new_ink_map_keeps_the_repairs(window: MainWindow, bench: Workbench, qtbot: QtBot) -> None:
    open_ink(window, qtbot)
    button = next(
        one for one in window.right.ink.findChildren(QPushButton) if one.text().startswith("Thin to")
    )
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: bool(bench.document.job.arts[-1].repairs), timeout=WAIT_MS)
    settle(qtbot, bench)
    press(window, RED, "print", qtbot)
    settle(qtbot, bench)
    art = bench.document.job.arts[-1]
    assert art.repairs
    assert art.ink_map is not None
    assert art.artwork.outline.area < 3600.0 * 0.5


def test_a_share_of_nearly_nothing_is_not_called_nothing() -> None:
    assert share_words(0.0004) == "below 1 %"
    assert share_words(0.126) == "13 %"


def test_the_menu_of_the_art_makes_solid_though_nothing_asks_for_it_and_takes_it_back(
    window: MainWindow, bench: Workbench, qtbot: QtBot
) -> None:
    open_ink(window, qtbot, HOLED)
    before = bench.document.job
    choose_in_menu(window, "Make solid")
    qtbot.waitUntil(lambda: bool(bench.document.job.arts[-1].repairs), timeout=WAIT_MS)
    settle(qtbot, bench)
    assert printed_mm2(bench) == pytest.approx(3600.0, rel=1e-3)
    choose_in_menu(window, "Take the repairs back")
    assert bench.document.job == before


def choose_in_menu(window: MainWindow, text: str) -> None:
    """Choose a repair in the menu of the only piece, which is not opened: it would grab the keys."""
    menu = window.left.menu_of(window.bench.document.job.pieces[-1].piece_id)
    repairs = next(sub for sub in menu.findChildren(QMenu) if sub.title() == "Repair")
    entry = next(action for action in repairs.actions() if action.text() == text)
    assert entry.isEnabled()
    entry.trigger()
    throw_away(menu)


def test_the_key_of_the_ink_brings_it_forward_from_any_station(
    window: MainWindow, bench: Workbench, qtbot: QtBot
) -> None:
    open_ink(window, qtbot)
    window.right.art_switch.set_current("piece")
    bench.selection.clear()
    window.go_to("findings")
    qtbot.keyClick(window, Qt.Key.Key_I, Qt.KeyboardModifier.ControlModifier)
    assert window.right.panel is window.right.ink
    assert window.right.ink.head.text() == "badge"
