"""Every action has words, a place in a menu and one key of its own; enabled only when it can be used."""

from collections import Counter
from collections.abc import Iterator

import pytest
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import QApplication, QToolButton, QWidget
from pytestqt.qtbot import QtBot

from app.action_table import ACTIONS
from app.actions import Actions
from app.wiring import Workbench, build_workbench
from layout_core.geometry.pose import Pose
from layout_core.shipped import shipped
from tests.make import make_artwork, make_job

pytestmark = pytest.mark.gui


@pytest.fixture
def bench(qapp: QApplication) -> Iterator[Workbench]:
    built = build_workbench(
        qapp, make_job([make_artwork()], poses=[(0, Pose(40, 40)), (0, Pose(120, 40))]), "dark"
    )
    yield built
    built.close()
    qapp.processEvents()


@pytest.fixture
def actions(bench: Workbench) -> Actions:
    return Actions(bench)


def test_no_key_is_there_twice(actions: Actions) -> None:
    keys = Counter(key.toString() for action in actions for key in action.shortcuts())
    assert [key for key, count in keys.items() if count > 1] == []


def test_no_mnemonic_is_there_twice_in_a_menu(actions: Actions) -> None:
    letters = Counter((spec.menu, spec.text[spec.text.index("&") + 1].lower()) for spec in ACTIONS)
    assert [letter for letter, count in letters.items() if count > 1] == []


@pytest.mark.parametrize(
    ("name", "standard"),
    [
        ("open", QKeySequence.StandardKey.Open),
        ("save", QKeySequence.StandardKey.Save),
        ("undo", QKeySequence.StandardKey.Undo),
        ("redo", QKeySequence.StandardKey.Redo),
        ("cut", QKeySequence.StandardKey.Cut),
        ("copy", QKeySequence.StandardKey.Copy),
        ("paste", QKeySequence.StandardKey.Paste),
        ("select_all", QKeySequence.StandardKey.SelectAll),
        ("zoom_in", QKeySequence.StandardKey.ZoomIn),
        ("zoom_out", QKeySequence.StandardKey.ZoomOut),
        ("keys", QKeySequence.StandardKey.HelpContents),
        ("new", QKeySequence.StandardKey.New),
        ("delete", QKeySequence.StandardKey.Delete),
    ],
)
def test_standard_keys_are_those_of_the_system(
    actions: Actions, name: str, standard: QKeySequence.StandardKey
) -> None:
    assert QKeySequence.keyBindings(standard)[0] in actions[name].shortcuts()


@pytest.mark.parametrize(("name", "key"), [("quit", "Ctrl+Q"), ("save_as", "Ctrl+Shift+S")])
def test_keys_that_a_system_may_lack_are_there_all_the_same(actions: Actions, name: str, key: str) -> None:
    assert QKeySequence(key) in actions[name].shortcuts()


def test_every_action_says_what_it_does_and_with_which_key(actions: Actions) -> None:
    for spec in ACTIONS:
        action = actions[spec.name]
        assert action.text().count("&") == 1
        assert action.toolTip().startswith(spec.does)
        if action.shortcuts():
            assert action.shortcut().toString(QKeySequence.SequenceFormat.NativeText) in action.toolTip()
        assert spec.does[0].isupper()
        assert not spec.does.endswith(".")


def test_every_icon_is_shipped_and_stands_for_one_action_only(actions: Actions) -> None:
    icons = [spec.icon for spec in ACTIONS if spec.icon]
    assert len(set(icons)) == len(icons)
    for spec in ACTIONS:
        if spec.icon:
            assert shipped("resources", "icons", f"{spec.icon}.svg").is_file()
            assert not actions[spec.name].icon().isNull()


def test_button_with_only_an_icon_gets_its_name_from_the_action(actions: Actions, qtbot: QtBot) -> None:
    for action in actions:
        button = QToolButton()
        qtbot.addWidget(button)
        button.setDefaultAction(action)
        assert button.text().strip()


def test_list_of_keys_is_that_of_the_actions(actions: Actions) -> None:
    listed = actions.key_list()
    count = sum(len(action.shortcuts()) for action in actions)
    assert len(listed) == count
    assert all(key and does for key, does in listed)


def test_action_nobody_has_a_deed_for_is_disabled(actions: Actions) -> None:
    assert not actions["open"].isEnabled()
    opened: list[int] = []
    actions.on("open", lambda: opened.append(1))
    assert actions["open"].isEnabled()
    actions["open"].trigger()
    assert opened == [1]


def test_later_deed_takes_the_place_of_the_earlier(actions: Actions) -> None:
    done: list[str] = []
    actions.on("open", lambda: done.append("first"))
    actions.on("open", lambda: done.append("second"))
    actions["open"].trigger()
    assert done == ["second"]


def test_actions_on_the_chosen_follow_the_selection(actions: Actions, bench: Workbench) -> None:
    for name in ("cut", "copy"):
        actions.on(name, lambda: None)
    names = ("cut", "copy", "duplicate", "delete", "turn_right", "turn_left", "lock", "select_none")
    assert not any(actions[name].isEnabled() for name in names)
    bench.selection.choose_placed([301])
    assert all(actions[name].isEnabled() for name in names)
    bench.selection.choose_piece(101)
    assert actions["delete"].isEnabled()
    assert not actions["duplicate"].isEnabled()


def test_undo_names_its_step(actions: Actions, bench: Workbench) -> None:
    assert not actions["undo"].isEnabled()
    bench.selection.choose_placed([301])
    actions["turn_right"].trigger()
    assert actions["undo"].isEnabled()
    assert actions["undo"].text() == "&Undo turn piece"
    actions["undo"].trigger()
    assert bench.document.job.placed(301).pose.turn_deg == 0.0
    assert actions["redo"].text() == "&Redo turn piece"
    assert not actions["undo"].isEnabled()


def test_ampersand_in_a_name_is_no_mnemonic(actions: Actions, bench: Workbench) -> None:
    bench.document.apply("Add Moth & Moon.svg", lambda job: make_job())
    assert actions["undo"].text() == "&Undo add Moth && Moon.svg"


def test_lock_shows_whether_all_chosen_are_locked(actions: Actions, bench: Workbench) -> None:
    bench.selection.choose_placed([301])
    actions["lock"].trigger()
    assert bench.document.job.placed(301).locked
    assert actions["lock"].isChecked()
    bench.selection.choose_placed([301, 302])
    assert not actions["lock"].isChecked()


def test_units_snapping_and_theme_are_settings(actions: Actions, bench: Workbench) -> None:
    bench.settings.change(unit="in", snapping=True)
    actions["inches"].trigger()
    assert bench.settings.unit == "mm"
    assert not actions["inches"].isChecked()
    actions["snap"].trigger()
    assert not bench.settings.snapping
    assert not actions["snap"].isChecked()
    bench.theming.force(None)
    shown = bench.theme.name
    actions["next_theme"].trigger()
    assert bench.theme.name != shown


def test_icons_follow_the_theme(actions: Actions, bench: Workbench) -> None:
    dark = actions["undo"].icon().cacheKey()
    bench.theming.force("light")
    assert actions["undo"].icon().cacheKey() != dark


def test_actions_work_by_key(actions: Actions, bench: Workbench, qtbot: QtBot) -> None:
    from PySide6.QtCore import Qt

    window = QWidget()
    qtbot.addWidget(window)
    window.addActions(list(actions))
    window.show()
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    qtbot.keyClick(window, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    assert bench.selection.placed_ids == {301, 302}
    qtbot.keyClick(window, Qt.Key.Key_D, Qt.KeyboardModifier.ControlModifier)
    assert len(bench.document.job.sheets[0].placed) == 4
    qtbot.keyClick(window, Qt.Key.Key_Delete)
    assert len(bench.document.job.sheets[0].placed) == 2
    qtbot.keyClick(window, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert len(bench.document.job.sheets[0].placed) == 4
