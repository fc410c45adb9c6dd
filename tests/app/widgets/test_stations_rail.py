"""Five equal cards; one is in view; figures give way before names."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from pytestqt.qtbot import QtBot

from app.tokens import theme_named
from app.widgets.marks import Mark
from app.widgets.stations_rail import HEIGHT_PX, Station, StationsRail

pytestmark = pytest.mark.gui

CARDS = tuple(
    Station(key, key.title(), mark, "7 pieces")
    for key, mark in zip(("art", "sheets", "findings", "plan", "hand-off"), Mark, strict=True)
)


@pytest.fixture
def rail(qtbot: QtBot) -> StationsRail:
    made = StationsRail(CARDS, theme_named("dark"))
    qtbot.addWidget(made)
    made.resize(1400, HEIGHT_PX)
    made.show()
    return made


def test_the_cards_are_equally_wide_and_fixed_in_height(rail: StationsRail) -> None:
    widths = [rail.card(station.key).width() for station in CARDS]
    assert max(widths) - min(widths) <= 1
    assert {rail.card(station.key).height() for station in CARDS} == {HEIGHT_PX}


def test_a_click_brings_a_station_into_view_and_tells_it(qtbot: QtBot, rail: StationsRail) -> None:
    told: list[str] = []
    rail.chosen.connect(told.append)
    qtbot.mouseClick(rail.card("plan"), Qt.MouseButton.LeftButton)
    assert told == ["plan"]
    assert [s.key for s in CARDS if rail.card(s.key).isChecked()] == ["plan"]
    qtbot.mouseClick(rail.card("plan"), Qt.MouseButton.LeftButton)
    assert rail.card("plan").isChecked()


def test_arrow_keys_go_from_card_to_card_and_space_chooses(qtbot: QtBot, rail: StationsRail) -> None:
    rail.card("art").setFocus()
    qtbot.keyClick(rail.card("art"), Qt.Key.Key_Left)
    qtbot.waitUntil(rail.card("hand-off").hasFocus)
    qtbot.keyClick(rail.card("hand-off"), Qt.Key.Key_Space)
    assert rail.in_view == "hand-off"


@pytest.mark.parametrize(
    ("width", "figures", "names"), [(1400, True, True), (900, False, True), (560, False, False)]
)
def test_figures_give_way_first_then_names(
    rail: StationsRail, width: int, figures: bool, names: bool
) -> None:
    rail.resize(width, HEIGHT_PX)
    card = rail.card("sheets")
    assert (card.shows_figure, card.shows_name) == (figures, names)


def test_a_card_says_its_name_figure_and_state_to_a_screen_reader(rail: StationsRail) -> None:
    rail.set_station(Station("findings", "Findings", Mark.STOP, "1 stop"))
    spoken = QAccessible.queryAccessibleInterface(rail.card("findings"))
    assert spoken.text(QAccessible.Text.Name) == "Findings: 1 stop"
    assert spoken.text(QAccessible.Text.Description) == "stop"
