"""A length field takes what people write, in the unit in force, and refuses in words."""

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from app.widgets.length_field import LengthField
from layout_core.units import mm

pytestmark = pytest.mark.gui


@pytest.fixture
def field(qtbot: QtBot) -> LengthField:
    made = LengthField("Width", least_mm=mm(1), most_mm=mm(60))
    qtbot.addWidget(made)
    made.set_value_mm(mm(3))
    made.show()
    return made


def write(qtbot: QtBot, field: LengthField, text: str) -> list[float]:
    """What was committed after typing the text and pressing Return."""
    told: list[float] = []
    field.committed.connect(told.append)
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, text)
    qtbot.keyClick(field, Qt.Key.Key_Return)
    return told


@pytest.mark.parametrize(
    ("text", "inches", "shown"),
    [
        ("3.5", 3.5, "3.5 in"),
        ("11,25", 11.25, "11.25 in"),
        ("11 1/4", 11.25, "11.25 in"),
        ('3-1/2"', 3.5, "3.5 in"),
        ("89mm", 89 / 25.4, "3.504 in"),
        ("8.9 cm", 89 / 25.4, "3.504 in"),
    ],
)
def test_lengths_are_taken_as_people_write_them(
    qtbot: QtBot, field: LengthField, text: str, inches: float, shown: str
) -> None:
    assert write(qtbot, field, text) == [pytest.approx(mm(inches))]
    assert field.text() == shown


def test_a_bare_number_is_in_the_unit_in_force(qtbot: QtBot, field: LengthField) -> None:
    field.set_unit("mm")
    assert write(qtbot, field, "89") == [pytest.approx(89.0)]


@pytest.mark.parametrize("text", ["wide", "", "3..5", "-4", "0.5", "61 in", "1/0"])
def test_what_is_no_length_or_out_of_range_is_refused_and_stays_for_mending(
    qtbot: QtBot, field: LengthField, text: str
) -> None:
    refused: list[str] = []
    field.refused.connect(refused.append)
    field.setText("")
    field.setModified(True)
    assert write(qtbot, field, text) == []
    assert len(refused) == 1
    assert field.is_wrong
    assert field.text() == text
    assert field.value_mm == mm(3)
    assert field.accessibleDescription() == refused[0]


def test_escape_brings_the_old_length_back(qtbot: QtBot, field: LengthField) -> None:
    write(qtbot, field, "nonsense")
    qtbot.keyClick(field, Qt.Key.Key_Escape)
    assert field.text() == "3 in"
    assert not field.is_wrong


@pytest.mark.parametrize(("unit", "step_mm"), [("in", 25.4 / 8), ("mm", 1.0)])
def test_up_and_down_step_by_an_eighth_or_a_millimetre(
    qtbot: QtBot, field: LengthField, unit: str, step_mm: float
) -> None:
    field.set_unit("mm" if unit == "mm" else "in")
    told: list[float] = []
    field.committed.connect(told.append)
    qtbot.keyClick(field, Qt.Key.Key_Up)
    qtbot.keyClick(field, Qt.Key.Key_Down)
    qtbot.keyClick(field, Qt.Key.Key_Down)
    assert told == pytest.approx([mm(3) + step_mm, mm(3), mm(3) - step_mm])


def test_steps_stop_at_the_ends_of_the_range(qtbot: QtBot, field: LengthField) -> None:
    field.set_value_mm(mm(60))
    told: list[float] = []
    field.committed.connect(told.append)
    qtbot.keyClick(field, Qt.Key.Key_Up)
    assert told == []
    assert field.value_mm == mm(60)


def test_showing_a_length_or_the_same_length_tells_nobody(qtbot: QtBot, field: LengthField) -> None:
    told: list[float] = []
    field.committed.connect(told.append)
    field.set_value_mm(mm(7))
    field.set_unit("mm")
    assert write(qtbot, field, "177.8") == []
    assert told == []
