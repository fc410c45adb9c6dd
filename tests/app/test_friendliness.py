"""The window's checklist: twenty-five rules that a script can check, each with its test.

Rule 5 is told as a story in tests/end_to_end; rules 14 to 23 stand in test_friendliness_work.py.
Rules after WCAG 2.2 and the customs of desktops. Rule 17 (an answer within a tenth of a second) is measured
by tests/bench/canvas.py and never asserted here: no test depends on the clock.
"""

import os
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator

import pytest
from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QAccessible, QAction, QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QDialog,
    QLabel,
    QLineEdit,
    QMenu,
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
from app.wiring import Workbench
from layout_core.checks.findings import Severity
from layout_core.job import edits
from tests.window_kit import main_window, shop_job, workbench

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


def test_rule_11_no_caption_takes_the_letter_of_a_menu_or_of_another(window: MainWindow) -> None:
    bench = window.bench
    bench.document.apply("Add a sheet", edits.add_sheet)
    menus = [action.text() for action in window.menus.actions()]
    for state in in_every_state(window):
        captions = [
            label.text() for label in window.findChildren(QLabel) if label.isVisible() and label.buddy()
        ]
        letters = Counter(
            text[text.index("&") + 1].lower() for text in (*menus, *captions) if "&" in text.replace("&&", "")
        )
        assert [letter for letter, count in letters.items() if count > 1] == [], state


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
