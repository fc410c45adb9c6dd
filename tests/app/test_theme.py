"""The theme dresses every window at once, from the bundled face and our own drawings."""

from pathlib import Path
from xml.etree import ElementTree

import pytest
from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QFontInfo, QFontMetricsF, QIcon, QPalette, QStyleHints
from PySide6.QtWidgets import (
    QApplication,
    QCheckBox,
    QComboBox,
    QLineEdit,
    QPushButton,
    QSpinBox,
    QToolButton,
)
from pytestqt.qtbot import QtBot

from app.settings import Settings
from app.theme import apply_theme, icon, measure_font, theme_named, ui_font
from app.theming import Theming
from app.tokens import ThemeName
from layout_core.shipped import shipped

pytestmark = pytest.mark.gui

OWN_SIGN = "duskwright"
"""The program's own sign is painted in colour."""

ICONS = sorted(path.stem for path in shipped("resources", "icons").glob("*.svg"))
LINE_ICONS = [name for name in ICONS if name != OWN_SIGN]
SVG = "{http://www.w3.org/2000/svg}"


@pytest.mark.parametrize("name", ["dark", "light"])
def test_palette_follows_the_tokens(qapp: QApplication, name: ThemeName) -> None:
    theme = theme_named(name)
    apply_theme(qapp, theme)
    palette = qapp.palette()
    assert palette.color(QPalette.ColorRole.WindowText).name() == theme.text.lower()
    assert palette.color(QPalette.ColorRole.Base).name() == theme.raised.lower()
    assert (
        palette.color(QPalette.ColorGroup.Disabled, QPalette.ColorRole.ButtonText).name()
        == theme.faint.lower()
    )


def test_interface_is_set_in_the_bundled_face(qapp: QApplication) -> None:
    apply_theme(qapp, theme_named("dark"))
    for weight in (400, 500, 600, 700):
        info = QFontInfo(ui_font(13, weight))
        assert info.family() == "Manrope"
        assert info.exactMatch()
        assert info.pixelSize() == 13


def test_figures_of_measures_are_all_as_wide(qapp: QApplication) -> None:
    apply_theme(qapp, theme_named("dark"))
    metrics = QFontMetricsF(measure_font(14))
    assert len({round(metrics.horizontalAdvance(figure * 10), 3) for figure in "0123456789"}) == 1


@pytest.mark.parametrize("name", ["dark", "light"])
def test_targets_are_large_enough(qtbot: QtBot, qapp: QApplication, name: ThemeName) -> None:
    """Ours: buttons 32 px, fields 28 px. Source of the floor of 24 px: WCAG 2.2, success criterion 2.5.8."""
    apply_theme(qapp, theme_named(name))
    for made, least in (
        (QPushButton("Autopack"), 32),
        (QToolButton(), 32),
        (QSpinBox(), 28),
        (QComboBox(), 28),
        (QLineEdit(), 28),
        (QCheckBox("Snap"), 24),
    ):
        qtbot.addWidget(made)
        made.ensurePolished()
        assert made.sizeHint().height() >= least, type(made).__name__


@pytest.mark.parametrize("name", ["dark", "light"])
@pytest.mark.parametrize("kind", [QPushButton, QLineEdit, QCheckBox, QComboBox, QSpinBox, QToolButton])
def test_keyboard_focus_can_be_seen(qtbot: QtBot, qapp: QApplication, name: ThemeName, kind: type) -> None:
    apply_theme(qapp, theme_named(name))
    widget = kind()
    qtbot.addWidget(widget)
    widget.resize(120, 40)
    widget.show()
    qtbot.waitExposed(widget)
    widget.clearFocus()
    without = widget.grab().toImage()
    widget.activateWindow()
    widget.setFocus()
    qtbot.waitUntil(widget.hasFocus)
    if isinstance(widget, QLineEdit):
        widget.setCursorPosition(0)
    focused = widget.grab().toImage()
    accent = theme_named(name).accent.lower()
    assert (
        sum(
            focused.pixelColor(x, y).name() == accent and without.pixelColor(x, y).name() != accent
            for x in range(focused.width())
            for y in range(focused.height())
        )
        > 50
    )


@pytest.mark.parametrize("name", LINE_ICONS)
def test_icon_is_a_line_drawing_on_the_grid(name: str) -> None:
    root = ElementTree.parse(shipped("resources", "icons", f"{name}.svg")).getroot()
    assert root.get("viewBox") == "0 0 20 20"
    assert (root.get("stroke"), root.get("stroke-width"), root.get("fill")) == (
        "currentColor",
        "1.75",
        "none",
    )
    for shape in root.iter():
        assert shape.get("stroke", "none") in ("none", "currentColor")
        assert shape.tag.removeprefix(SVG) in ("svg", "path", "rect", "circle")


def test_no_two_icons_are_the_same_drawing() -> None:
    drawings = [
        Path(shipped("resources", "icons", f"{name}.svg")).read_text(encoding="utf-8") for name in ICONS
    ]
    assert len(set(drawings)) == len(drawings)


@pytest.mark.parametrize("name", ICONS)
def test_icon_is_drawn_and_stays_on_its_grid(qapp: QApplication, name: str) -> None:
    theme = theme_named("dark")
    image = icon(name, theme).pixmap(QSize(20, 20), 2.0).toImage()
    assert (image.width(), image.height()) == (40, 40)
    inked = [image.pixelColor(x, y).alpha() > 0 for y in range(40) for x in range(40)]
    assert sum(inked) > 30
    assert not all(inked)


def test_icon_wears_the_theme_and_fades_when_disabled(qapp: QApplication) -> None:
    theme = theme_named("light")
    drawing = icon("halt", theme)
    normal = drawing.pixmap(QSize(40, 40), QIcon.Mode.Normal).toImage()
    faint = drawing.pixmap(QSize(40, 40), QIcon.Mode.Disabled).toImage()
    middle_of_left_edge = (9, 20)
    assert normal.pixelColor(*middle_of_left_edge).name() == theme.text.lower()
    assert faint.pixelColor(*middle_of_left_edge).name() == theme.faint.lower()


def test_theme_changes_at_once_with_the_setting(qtbot: QtBot, qapp: QApplication) -> None:
    settings = Settings()
    settings.change(theme="dark")
    theming = Theming(qapp, settings)
    button = QPushButton("Autopack")
    qtbot.addWidget(button)
    button.show()
    with qtbot.waitSignal(theming.changed):
        settings.change(theme="light")
    assert theming.theme.name == "light"
    assert button.palette().color(QPalette.ColorRole.ButtonText).name() == theme_named("light").text.lower()


def test_system_setting_follows_the_system(
    qtbot: QtBot, qapp: QApplication, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The offscreen platform knows no colour scheme, so what the system says is put in its mouth."""
    says: list[ThemeName] = ["dark"]
    monkeypatch.setattr("app.theming.system_theme_name", lambda app: says[0])
    theming = Theming(qapp, Settings())
    assert theming.theme.name == "dark"
    says[0] = "light"
    with qtbot.waitSignal(theming.changed):
        qapp.styleHints().colorSchemeChanged.emit(qapp.styleHints().colorScheme())
    assert theming.theme.name == "light"


def test_system_is_asked_to_dress_its_own_parts(
    qtbot: QtBot, qapp: QApplication, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No platform of a test machine obeys, so only the asking is watched."""
    asked: list[Qt.ColorScheme] = []
    monkeypatch.setattr(QStyleHints, "setColorScheme", lambda hints, scheme: asked.append(scheme))
    settings = Settings()
    theming = Theming(qapp, settings)
    settings.change(theme="light")
    settings.change(theme="system")
    theming.force("dark")
    assert asked == [
        Qt.ColorScheme.Unknown,
        Qt.ColorScheme.Light,
        Qt.ColorScheme.Unknown,
        Qt.ColorScheme.Dark,
    ]


def test_forced_theme_overrules_the_setting(qtbot: QtBot, qapp: QApplication) -> None:
    settings = Settings()
    settings.change(theme="dark")
    theming = Theming(qapp, settings, "light")
    assert theming.theme.name == "light"
    with qtbot.waitSignal(theming.changed):
        theming.force(None)
    assert theming.theme.name == "dark"
