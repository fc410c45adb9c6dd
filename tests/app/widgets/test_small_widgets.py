"""Segmented choice, notice bar, finding card, empty state, labels, quiet fields, thumbnail, table."""

import pytest
import shapely
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QAccessible, QWheelEvent
from PySide6.QtWidgets import QApplication, QLabel, QLineEdit
from pytestqt.qtbot import QtBot

from app.theme import load_fonts
from app.tokens import theme_named
from app.widgets.empty_state import EmptyState
from app.widgets.finding_card import FindingCard
from app.widgets.labels import ElidedLabel, captioned
from app.widgets.marks import Mark
from app.widgets.notice_bar import NoticeBar
from app.widgets.quiet import QuietCombo, QuietSpin, TurnField
from app.widgets.segmented import Segmented
from app.widgets.thumbnail import thumbnail
from tests.make import make_artwork

pytestmark = pytest.mark.gui
DARK = theme_named("dark")


def test_a_segmented_choice_tells_clicks_but_not_what_it_is_set_to(qtbot: QtBot) -> None:
    control = Segmented("Unit", [("in", "Inches"), ("mm", "Millimetres")])
    qtbot.addWidget(control)
    told: list[str] = []
    control.chosen.connect(told.append)
    control.set_current("mm")
    assert (control.current, told) == ("mm", [])
    qtbot.mouseClick(control.button("in"), Qt.MouseButton.LeftButton)
    assert (control.current, told) == ("in", ["in"])


def test_a_notice_shows_its_sentence_and_its_last_button_closes_it(qtbot: QtBot) -> None:
    bar = NoticeBar(DARK)
    qtbot.addWidget(bar)
    pressed: list[str] = []
    bar.say(
        Mark.STOP, "leaf.svg is empty. Choose another file.", [("Try again", lambda: pressed.append("again"))]
    )
    assert bar.isVisible()
    assert (bar.mark, bar.text) == (Mark.STOP, "leaf.svg is empty. Choose another file.")
    assert [button.text() for button in bar.buttons] == ["Try again", "Close"]
    qtbot.mouseClick(bar.buttons[-1], Qt.MouseButton.LeftButton)
    assert bar.isHidden()
    assert pressed == []


def test_a_notice_button_does_its_deed_once_and_the_line_goes(qtbot: QtBot) -> None:
    bar = NoticeBar(DARK)
    qtbot.addWidget(bar)
    pressed: list[str] = []
    bar.say(Mark.NOTE, "Unsaved work was kept.", [("Bring it back", lambda: pressed.append("back"))])
    qtbot.mouseClick(bar.buttons[0], Qt.MouseButton.LeftButton)
    assert pressed == ["back"]
    assert bar.isHidden()


def test_a_deed_may_put_up_the_next_notice(qtbot: QtBot) -> None:
    bar = NoticeBar(DARK)
    qtbot.addWidget(bar)
    bar.say(Mark.NOTE, "First.", [("Next", lambda: bar.say(Mark.NOTE, "Second."))])
    qtbot.mouseClick(bar.buttons[0], Qt.MouseButton.LeftButton)
    assert bar.isVisible()
    assert bar.text == "Second."


def test_escape_closes_a_notice_that_has_the_keyboard(qtbot: QtBot) -> None:
    bar = NoticeBar(DARK)
    qtbot.addWidget(bar)
    bar.say(Mark.NOTE, "Said.")
    qtbot.keyClick(bar.buttons[0], Qt.Key.Key_Escape)
    assert bar.isHidden()


def test_a_waiver_needs_who_and_why(qtbot: QtBot) -> None:
    card = FindingCard(Mark.CAUTION, "Line too fine", "0.019 in, needs 0.02 in", "", DARK)
    qtbot.addWidget(card)
    card.show()
    told: list[tuple[str, str]] = []
    card.waived.connect(lambda who, why: told.append((who, why)))
    qtbot.mouseClick(card.waive_button, Qt.MouseButton.LeftButton)
    qtbot.keyClicks(card.who, "Iris")
    qtbot.keyClick(card.who, Qt.Key.Key_Return)
    assert told == []
    assert not card.accept_button.isEnabled()
    qtbot.keyClicks(card.reason, "test piece only")
    qtbot.mouseClick(card.accept_button, Qt.MouseButton.LeftButton)
    assert told == [("Iris", "test piece only")]


def test_a_card_speaks_its_severity_and_tells_show(qtbot: QtBot) -> None:
    card = FindingCard(Mark.STOP, "Off the sheet", "0.4 in", "", DARK, waiver="Waived by Iris: trimmed")
    qtbot.addWidget(card)
    spoken = QAccessible.queryAccessibleInterface(card).text(QAccessible.Text.Name)
    assert spoken == "stop: Off the sheet. 0.4 in"
    with qtbot.waitSignal(card.show_asked):
        qtbot.mouseClick(card.show_button, Qt.MouseButton.LeftButton)
    with qtbot.waitSignal(card.unwaived):
        qtbot.mouseClick(card.back_button, Qt.MouseButton.LeftButton)


def test_an_empty_state_holds_one_button(qtbot: QtBot) -> None:
    state = EmptyState("Drop art here.", "Add art")
    qtbot.addWidget(state)
    assert state.button is not None
    with qtbot.waitSignal(state.pressed):
        qtbot.mouseClick(state.button, Qt.MouseButton.LeftButton)


def test_a_long_label_is_shortened_and_tells_the_whole_in_its_tip(qtbot: QtBot) -> None:
    made = ElidedLabel("A name that is far too long for a panel")
    qtbot.addWidget(made)
    made.resize(60, 20)
    made.grab()
    assert made.toolTip() == made.text()
    made.resize(600, 20)
    made.grab()
    assert made.toolTip() == ""


def test_a_caption_is_the_buddy_of_its_field(qtbot: QtBot) -> None:
    field = QLineEdit()
    holder = captioned("&Name", field)
    qtbot.addWidget(holder)
    assert holder.findChildren(QLabel)[0].buddy() is field
    assert QAccessible.queryAccessibleInterface(field).text(QAccessible.Text.Name) == "Name"


@pytest.mark.parametrize("kind", ["combo", "spin", "turn"])
def test_the_wheel_scrolls_the_panel_and_changes_no_field(qtbot: QtBot, kind: str) -> None:
    field: QuietCombo | QuietSpin | TurnField
    if kind == "combo":
        field = QuietCombo("Placement")
        field.addItems(["a", "b"])
    else:
        field = QuietSpin("Copies", 0, 9) if kind == "spin" else TurnField("Turn")
        field.setValue(5)
    qtbot.addWidget(field)
    field.show()
    field.setFocus()
    at = QPointF(5, 5)
    event = QWheelEvent(
        at, at, QPoint(0, 0), QPoint(0, -120), Qt.MouseButton.NoButton, Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase, False,
    )  # fmt: skip
    before = field.currentIndex() if isinstance(field, QuietCombo) else field.value()
    QApplication.sendEvent(field, event)
    after = field.currentIndex() if isinstance(field, QuietCombo) else field.value()
    assert before == after


def test_a_turn_goes_round_and_shows_no_needless_decimals(qtbot: QtBot) -> None:
    field = TurnField("Turn")
    qtbot.addWidget(field)
    field.setValue(345.0)
    field.stepUp()
    assert field.value() == 0.0
    field.setValue(22.5)
    assert field.text() == "22.5°"
    field.setValue(90.0)
    assert field.text() == "90°"


def test_a_thumbnail_shows_the_true_outline_with_its_hole(qapp: QApplication) -> None:
    load_fonts()
    frame = shapely.box(0, 0, 40, 40).difference(shapely.box(10, 10, 30, 30))
    image = thumbnail(make_artwork(frame), 40, 1.0, "#FFFFFF").toImage()
    assert image.pixelColor(5, 20).alpha() == 255
    assert image.pixelColor(20, 20).alpha() == 0


def test_a_thumbnail_has_as_many_pixels_as_the_screen(qapp: QApplication) -> None:
    pixmap = thumbnail(make_artwork(), 32, 2.0, "#FFFFFF")
    assert (pixmap.width(), pixmap.devicePixelRatioF()) == (64, 2.0)
