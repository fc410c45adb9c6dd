"""The window's checklist: twenty-five rules that a script can check, each with its test.

Rules after WCAG 2.2 and the customs of desktops. Rule 17 (an answer within a tenth of a second) is measured
by tests/bench/canvas.py and never asserted here: no test depends on the clock.
"""

import os
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, QRect, QSize, Qt, QTimer, QUrl
from PySide6.QtGui import QAccessible, QAction, QCloseEvent, QDragEnterEvent, QDropEvent, QKeySequence
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QDialog,
    QLineEdit,
    QMenu,
    QMessageBox,
    QToolButton,
    QWidget,
)
from pytestqt.qtbot import QtBot

from app.dialogs.about import AboutDialog
from app.dialogs.keys import CANVAS_KEYS, KeysDialog
from app.dialogs.settings import SettingsDialog
from app.panels.job_words import MARK_OF
from app.panels.station_figures import STATIONS
from app.theme import icon
from app.tokens import ThemeName, contrast, theme_named
from app.window import MainWindow
from app.window_state import is_seen
from app.wiring import Workbench
from layout_core import errors
from layout_core.checks.findings import Severity
from layout_core.job import edits
from layout_core.job.file import job_digest, write_job
from layout_core.job.model import Job
from layout_core.progress import Progress
from tests.make import make_artwork, svg_of
from tests.window_kit import WAIT_MS, main_window, settle, shop_job, workbench

pytestmark = pytest.mark.gui

THEMES: tuple[ThemeName, ...] = ("dark", "light")


@pytest.fixture
def bench(qapp: QApplication) -> Iterator[Workbench]:
    with workbench(qapp, shop_job()) as built:
        yield built


@pytest.fixture
def window(bench: Workbench) -> Iterator[MainWindow]:
    with main_window(bench) as shown:
        yield shown


def visible(window: QWidget, *kinds: type[QWidget]) -> list[QWidget]:
    """Widgets of the kinds a person can see, without the small parts that Qt makes for itself."""
    found = [w for kind in kinds for w in window.findChildren(kind) if w.isVisible()]
    return [w for w in found if not w.objectName().startswith("qt_")]


def in_every_state(window: MainWindow) -> Iterator[str]:
    """Bring each station into view, with a copy chosen and with nothing chosen."""
    bench = window.bench
    for station in STATIONS:
        window.go_to(station)
        bench.selection.choose_placed([bench.document.job.sheets[0].placed[0].placed_id])
        yield f"{station}, a copy chosen"
        bench.selection.clear()
        yield f"{station}, nothing chosen"


@pytest.mark.parametrize("name", THEMES)
def test_rule_01_words_stand_out_from_what_they_lie_on(name: ThemeName) -> None:
    theme = theme_named(name)
    for ground in (theme.back, theme.panel, theme.raised):
        for words in (theme.text, theme.muted, theme.caution, theme.stop, theme.note):
            assert contrast(words, ground) >= 4.5, (words, ground)
    assert contrast(theme.on_accent, theme.accent) >= 4.5
    assert contrast(theme.accent_text, theme.accent_fill) >= 4.5


@pytest.mark.parametrize("name", THEMES)
def test_rule_02_edges_of_controls_and_the_selection_stand_out(name: ThemeName) -> None:
    theme = theme_named(name)
    for line in (theme.edge, theme.accent):
        for ground in (theme.back, theme.panel, theme.raised):
            assert contrast(line, ground) >= 3.0, (line, ground)


def test_rule_03_each_severity_has_its_own_mark_and_word() -> None:
    """Shapes are compared in tests/app/widgets/test_marks.py."""
    assert len({MARK_OF[severity] for severity in Severity}) == len(Severity)
    assert {MARK_OF[severity].value for severity in Severity} == {"stop", "caution", "note"}


def test_rule_04_targets_are_at_least_24_pixels(window: MainWindow) -> None:
    small: dict[str, QSize] = {}
    for state in in_every_state(window):
        for widget in visible(window, QAbstractButton, QAbstractSpinBox, QComboBox, QLineEdit):
            if widget.width() < 24 or widget.height() < 24:
                small[f"{state}: {widget.accessibleName() or type(widget).__name__}"] = widget.size()
    assert small == {}
    for button in window.tools.findChildren(QToolButton):
        assert min(button.width(), button.height()) >= 32


def tab_ring(window: MainWindow, start: QWidget, most: int = 200) -> list[QWidget]:
    """The widgets that get the keyboard by Tab, from the start until it comes round."""
    start.setFocus()
    ring = [start]
    for _ in range(most):
        focused = QApplication.focusWidget()
        assert focused is not None
        tab(focused, Qt.Key.Key_Tab)
        arrived = QApplication.focusWidget()
        assert arrived is not None
        if arrived is start:
            return ring
        ring.append(arrived)
    raise AssertionError(f"Tab never comes back to {start.accessibleName()}")


def tab(widget: QWidget, key: Qt.Key) -> None:
    from PySide6.QtTest import QTest

    QTest.keyClick(widget, key)


def test_rule_06_tab_visits_each_control_once_and_returns(window: MainWindow) -> None:
    bench = window.bench
    bench.selection.choose_placed([bench.document.job.sheets[0].placed[0].placed_id])
    window.activateWindow()
    missed: list[str] = []
    for station in STATIONS:
        window.go_to(station)
        ring = tab_ring(window, window.rail.card(station))
        assert [widget for widget, count in Counter(ring).items() if count > 1] == []
        missed += [
            f"{station}: {widget.accessibleName() or type(widget).__name__}"
            for widget in visible(window, QAbstractButton, QAbstractSpinBox, QComboBox, QLineEdit)
            if takes_tab(widget) and widget not in ring
        ]
    assert missed == []


def takes_tab(widget: QWidget) -> bool:
    """Whether Tab should stop here. Of exclusive choices it stops at the one in force."""
    if not widget.isEnabled() or not widget.focusPolicy() & Qt.FocusPolicy.TabFocus or widget.focusProxy():
        return False
    if isinstance(widget, QAbstractButton) and widget.group() is not None:
        return widget.isChecked()
    return True


def test_rule_07_the_keyboard_focus_can_be_seen(window: MainWindow) -> None:
    bench = window.bench
    bench.selection.choose_placed([bench.document.job.sheets[0].placed[0].placed_id])
    window.activateWindow()
    start = window.rail.card("sheets")
    start.setFocus(Qt.FocusReason.TabFocusReason)
    unseen: list[str] = []
    for _ in range(200):
        focused = QApplication.focusWidget()
        assert focused is not None
        with_focus = focused.grab().toImage()
        tab(focused, Qt.Key.Key_Tab)
        if focused.grab().toImage() == with_focus:
            unseen.append(focused.accessibleName() or type(focused).__name__)
        if QApplication.focusWidget() is start:
            break
    assert unseen == []


DRAG_TWINS = {
    "move a copy": ("arrow keys", "Middle from left", "Middle from top"),
    "move a copy to another sheet": ("On sheet",),
    "size a piece by its corner": ("Width",),
    "lay a piece from the list": ("Enter",),
    "drop files": ("Add art…",),
}


def test_rule_08_what_is_dragged_can_also_be_typed(window: MainWindow, qtbot: QtBot) -> None:
    bench = window.bench
    bench.document.apply("Add a sheet", edits.add_sheet)
    copy = bench.document.job.sheets[0].placed[0]
    bench.selection.choose_placed([copy.placed_id])
    names = {widget.accessibleName() for widget in visible(window, QWidget)}
    for twins in DRAG_TWINS.values():
        for twin in twins:
            if twin not in ("arrow keys", "Enter", "Add art…"):
                assert twin in names, twin
    window.view.setFocus()
    qtbot.keyClick(window.view, Qt.Key.Key_Right)
    assert bench.document.job.placed(copy.placed_id).pose.x_mm == pytest.approx(copy.pose.x_mm + 0.254)
    before = bench.document.job.copies_placed(copy.piece_id)
    qtbot.keyClick(window.left.list, Qt.Key.Key_Return)
    assert bench.document.job.copies_placed(copy.piece_id) == before + 1
    assert window.actions_by_name["add_art"].isEnabled()


def test_rule_09_every_control_has_a_name(window: MainWindow) -> None:
    nameless: set[str] = set()
    for state in in_every_state(window):
        for widget in window.findChildren(QWidget):
            if not widget.isVisible() or widget.focusPolicy() == Qt.FocusPolicy.NoFocus:
                continue
            is_inner = isinstance(widget.parent(), (QComboBox, QAbstractSpinBox))
            if is_inner or widget.objectName().startswith("qt_"):
                continue
            spoken = QAccessible.queryAccessibleInterface(widget)
            if spoken is not None and not spoken.text(QAccessible.Text.Name).strip():
                nameless.add(f"{state}: {type(widget).__name__} in {type(widget.parent()).__name__}")
    assert nameless == set()


STANDARD = {
    "open": QKeySequence.StandardKey.Open,
    "save": QKeySequence.StandardKey.Save,
    "undo": QKeySequence.StandardKey.Undo,
    "redo": QKeySequence.StandardKey.Redo,
    "cut": QKeySequence.StandardKey.Cut,
    "copy": QKeySequence.StandardKey.Copy,
    "paste": QKeySequence.StandardKey.Paste,
    "select_all": QKeySequence.StandardKey.SelectAll,
    "zoom_in": QKeySequence.StandardKey.ZoomIn,
    "zoom_out": QKeySequence.StandardKey.ZoomOut,
    "keys": QKeySequence.StandardKey.HelpContents,
}


def test_rule_10_the_standard_keys_do_what_they_do_everywhere(window: MainWindow) -> None:
    for name, standard in STANDARD.items():
        assert QKeySequence.keyBindings(standard)[0] in window.actions_by_name[name].shortcuts(), name
    assert "Ctrl+Q" in [key.toString() for key in window.actions_by_name["quit"].shortcuts()]
    assert window.actions_by_name["save_as"].shortcuts()


def test_rule_11_no_key_does_two_things(window: MainWindow) -> None:
    keys = Counter(
        key.toString() for action in set(window.findChildren(QAction)) for key in action.shortcuts()
    )
    assert [key for key, count in keys.items() if count > 1] == []


def all_menu_actions(window: MainWindow) -> list[QAction]:
    """Every action of every menu and submenu."""
    return [action for menu in window.menus.findChildren(QMenu) for action in menu.actions()]


def test_rule_12_every_tool_stands_in_a_menu_with_a_mnemonic_and_its_key(window: MainWindow) -> None:
    in_menus = set(all_menu_actions(window))
    for button in window.tools.findChildren(QToolButton):
        action = button.defaultAction()
        assert action in in_menus
        assert "&" in action.text()
        key = action.shortcut().toString(QKeySequence.SequenceFormat.NativeText)
        assert key
        assert key in action.toolTip()
    assert set(window.actions_by_name) <= in_menus
    assert all("&" in action.text() for action in window.menus.actions())


def test_rule_13_the_list_of_keys_is_that_of_the_actions(window: MainWindow) -> None:
    window.actions_by_name["keys"].trigger()
    (dialog,) = window.findChildren(KeysDialog)
    assert dialog.isVisible()
    assert not dialog.isModal()
    listed = [
        (str(dialog.model.index(row, 0).data()), str(dialog.model.index(row, 1).data()))
        for row in range(dialog.model.rowCount())
    ]
    assert listed == [*window.actions_by_name.key_list(), *CANVAS_KEYS]
    assert "Alt+3" in [key for key, _ in listed]


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
            tab(box, key)

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
    return [*made, FileNotFoundError(2, "No such file", "/tmp/x/job.duskjob"), MemoryError(), ValueError("x")]


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


def test_rule_24_system_dark_and_light_switch_at_once(qapp: QApplication) -> None:
    with workbench(qapp, shop_job(), None) as bench, main_window(bench) as window:
        grounds = []
        for choice in ("dark", "light", "dark"):
            window.menus.theme_action(choice).trigger()
            assert bench.theme.name == choice
            assert window.rail.card("art").theme is bench.theme
            image = window.grab().toImage()
            grounds.append(image.pixelColor(4, 4).name())
            assert grounds[-1] == bench.theme.back.lower()
        assert grounds[0] == grounds[2] != grounds[1]
        window.menus.theme_action("system").trigger()
        assert bench.settings.theme == "system"


def test_rule_25_everything_fits_a_small_screen(window: MainWindow) -> None:
    for state in in_every_state(window):
        least = window.minimumSizeHint()
        assert least.width() <= 1280, state
        assert least.height() <= 720, state


def test_rule_25_icons_are_drawn_for_sharp_screens(qapp: QApplication) -> None:
    pixmap = icon("lock", theme_named("dark")).pixmap(QSize(20, 20), 2.0)
    assert pixmap.size() == QSize(40, 40)


AT_SCALE = """
import os, sys
from PySide6.QtWidgets import QApplication
from app.window import MainWindow
from app.wiring import build_workbench
app = QApplication([])
bench = build_workbench(app, None, "dark")
window = MainWindow(bench)
window.resize(1280, 720)
image = window.grab().toImage()
least = window.minimumSizeHint()
print(image.devicePixelRatio(), image.width(), least.width(), least.height())
bench.close()
"""


def test_rule_25_at_twice_the_scale_the_window_has_twice_the_pixels() -> None:
    env = {**os.environ, "QT_SCALE_FACTOR": "2", "QT_QPA_PLATFORM": "offscreen"}
    command = [sys.executable, "-c", AT_SCALE]
    run = subprocess.run(command, env=env, capture_output=True, text=True, timeout=120, check=True)
    ratio, width, least_width, least_height = map(float, run.stdout.split())
    assert (ratio, width) == (2.0, 2560.0)
    assert least_width <= 1280
    assert least_height <= 720


def test_settings_and_about_are_no_modal_dialogs_and_count_at_once(window: MainWindow, qtbot: QtBot) -> None:
    window.actions_by_name["settings"].trigger()
    window.actions_by_name["about"].trigger()
    dialogs: list[QDialog] = [*window.findChildren(SettingsDialog), *window.findChildren(AboutDialog)]
    assert [dialog.isVisible() and not dialog.isModal() for dialog in dialogs] == [True, True]
    (settings,) = window.findChildren(SettingsDialog)
    qtbot.mouseClick(settings.unit.button("mm"), Qt.MouseButton.LeftButton)
    assert window.bench.settings.unit == "mm"
    window.status.unit.click()
    assert settings.unit.current == "in"
    window.actions_by_name["settings"].trigger()
    assert len(window.findChildren(SettingsDialog)) == 1
