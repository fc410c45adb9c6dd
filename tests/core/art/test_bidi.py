"""Reading order of mixed lines: cases worked out by hand from UAX #9, and Qt's own order beside ours."""

import random

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QFont, QGuiApplication, QTextLayout, QTextOption

from layout_core.art.bidi import CODES, embedding_levels, runs_as_seen, without_codes


def seen(line: str) -> str:
    """The characters from left to right."""
    return "".join(
        line[at]
        for run in runs_as_seen(line)
        for at in (
            range(run.end - 1, run.start - 1, -1) if run.is_right_to_left else range(run.start, run.end)
        )
    )


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("abc", "abc"),
        ("אבג", "גבא"),
        ("ab אב cd", "ab בא cd"),
        ("אב ab גד", "דג ab בא"),  # P2: the first letter makes the line right to left
        ("אב 12 גד", "דג 12 בא"),  # I1: a number in right-to-left words keeps its digits in order
        ("ab 12 אב", "ab 12 בא"),  # W7: after Latin a number is Latin
        ("אב 1,2", "1,2 בא"),  # W4: one separator between digits belongs to the number
        ("אב 1, 2", "2 ,1 בא"),  # W6: followed by a blank it does not
        ("אב 5%", "5% בא"),  # W5
        ("ש(a)", ")a(ש"),  # N0: brackets stay with the line; drawing them mirrored is L4, the font's part
        ("a (אב) b", "a (בא) b"),
        ("אב!", "!בא"),  # N1, N2: a sign at the end goes with the line
        ("ab אב!", "ab בא!"),
        ("شب 12", "12 بش"),  # W2: an Arabic letter makes the number Arabic, still in order
        ("אב ", " בא"),  # L1: a blank at the end takes the line's level
        ("", ""),
    ],
)
def test_lines_worked_out_by_hand(line: str, expected: str) -> None:
    assert seen(line) == expected


def test_levels_worked_out_by_hand() -> None:
    """Base 0; Hebrew 1; the number after Hebrew 2 (I1); Latin 0; blanks between words of one level theirs."""
    assert embedding_levels("a אב 12 ב c") == [0, 0, 1, 1, 1, 2, 2, 1, 1, 0, 0]
    assert embedding_levels("אa1") == [1, 2, 2]


def test_a_mark_goes_with_its_letter() -> None:
    assert embedding_levels("אָa") == [1, 1, 2]
    assert embedding_levels("a(אָ)ָ")[4:] == [0, 0]


def test_every_character_is_seen_once() -> None:
    random_signs = random.Random(3)
    for _ in range(300):
        line = "".join(random_signs.choices("ab אב12شر,.()[]\u200f\u200d\u0301\u05b0", k=10))
        runs = sorted(runs_as_seen(line), key=lambda run: run.start)
        assert [at for run in runs for at in range(run.start, run.end)] == list(range(10))


def test_codes_that_turn_the_direction_are_taken_out() -> None:
    assert without_codes("a" + "".join(sorted(CODES)) + "ב") == "aב"
    assert without_codes("a\u200fb\u200d") == "a\u200fb\u200d"


def test_qt_puts_random_lines_in_the_same_order(qapp: QGuiApplication) -> None:
    """Qt 6 implements the whole of UAX #9; blanks at the ends are left out, as it measures them apart."""
    random_signs = random.Random(11)
    alphabet = "ab אב12+,.%$()[]-:!شر٣"
    lengths = [random_signs.randint(1, 12) for _ in range(1500)]
    lines = {"".join(random_signs.choices(alphabet, k=length)).strip() for length in lengths}
    wrong = {line: seen(line) for line in sorted(lines) if line and seen(line) != _seen_by_qt(line)}
    assert wrong == {}


def _seen_by_qt(text: str) -> str:
    # Not the font of the application: a test before may have set one that borrows no letters from others.
    layout = QTextLayout(text, QFont("Sans Serif", 9))
    option = QTextOption()
    option.setTextDirection(Qt.LayoutDirection.LayoutDirectionAuto)
    option.setWrapMode(QTextOption.WrapMode.NoWrap)
    layout.setTextOption(option)
    layout.beginLayout()
    line = layout.createLine()
    line.setLineWidth(1e6)
    layout.endLayout()
    everything = QTextLayout.GlyphRunRetrievalFlag.RetrieveAll
    placed = [
        (point.x(), index)
        for run in line.glyphRuns(-1, -1, everything)
        for point, index in zip(run.positions(), run.stringIndexes(), strict=True)
    ]
    return "".join(text[index] for _, index in sorted(placed))
