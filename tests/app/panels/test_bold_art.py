"""The whole way: a drawing in two colours and fine outlines becomes bold one-ink art that passes."""

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.arrivals import with_arrivals
from app.widgets.finding_card import FindingCard
from app.window import MainWindow
from layout_core.art.intake import read_art_bytes
from layout_core.checks.findings import Severity
from tests.picture_art import FILL, jellyfish_svg
from tests.window_kit import WAIT_MS, main_window, settle, workbench

pytestmark = pytest.mark.gui

ART_RULES = frozenset({"line_weight", "neck", "gap", "bridge", "speck", "pinhole"})
MOST_CLICKS = 6


@pytest.fixture
def window(qapp: QApplication) -> Iterator[MainWindow]:
    with workbench(qapp) as bench, main_window(bench) as shown:
        yield shown


def to_mend(window: MainWindow) -> list[str]:
    """The rules of the art that still ask for something."""
    found = window.bench.checker.findings
    return [one.rule for one in found if one.rule in ART_RULES and one.severity is not Severity.NOTE]


def fixable(window: MainWindow) -> list[FindingCard]:
    cards = window.right.piece.findChildren(FindingCard)
    return [card for card in cards if card.fix_buttons and not card.isHidden()]


def test_a_two_colour_outline_drawing_becomes_bold_art_that_passes_in_a_few_clicks(
    window: MainWindow, qtbot: QtBot
) -> None:
    bench = window.bench
    artwork = read_art_bytes("jellyfish.svg", jellyfish_svg())
    bench.document.apply("add", lambda job: with_arrivals(job, [artwork], None))
    bench.selection.choose_piece(bench.document.job.pieces[-1].piece_id)
    window.deeds.show_ink()
    settle(qtbot, bench)
    knock = window.right.ink.rows[FILL].choice.button("knock")
    qtbot.mouseClick(knock, Qt.MouseButton.LeftButton)
    settle(qtbot, bench)
    assert "line_weight" in to_mend(window)
    qtbot.mouseClick(window.right.art_switch.button("piece"), Qt.MouseButton.LeftButton)
    clicks = 0
    while to_mend(window) and clicks < MOST_CLICKS:
        qtbot.waitUntil(lambda: bool(fixable(window)), timeout=WAIT_MS)
        fix = fixable(window)[0].fix_buttons[0]
        steps = bench.document.undo_stack.index()
        qtbot.mouseClick(fix, Qt.MouseButton.LeftButton)
        qtbot.waitUntil(lambda steps=steps: bench.document.undo_stack.index() == steps + 1, timeout=WAIT_MS)
        settle(qtbot, bench)
        clicks += 1
    assert to_mend(window) == []
    art = bench.document.job.arts[-1]
    assert art.original is not None
    assert {"thicken"} <= {repair.kind for repair in art.repairs}
    assert art.artwork.outline.area > 1.5 * art.original.outline.area
