"""Copies piled on each other: thousands of findings, of which the window shows as many as help."""

import pytest
from PySide6.QtWidgets import QLabel, QWidget
from pytestqt.qtbot import QtBot

from app.panels.finding_cards import MOST_CARDS
from app.panels.findings_panel import FindingsPanel
from app.panels.open_stops import OpenStops
from app.panels.piece_panel import PiecePanel
from app.widgets.finding_card import FindingCard
from app.wiring import Workbench
from layout_core.checks.findings import Severity
from layout_core.geometry.pose import Pose
from layout_core.job import edits
from layout_core.job.model import Job
from tests.app.panels.conftest import Keep
from tests.window_kit import settle

pytestmark = pytest.mark.gui
COPIES = 16


@pytest.fixture
def pile(bench: Workbench, qtbot: QtBot) -> Workbench:
    """Sixteen copies in one place: 120 overlaps."""

    def piled(job: Job) -> Job:
        sheet, piece = job.sheets[0], job.pieces[0]
        for number in range(COPIES):
            job = edits.place_piece(job, sheet.sheet_id, piece.piece_id, Pose(100.0 + number, 100.0))
        return job

    bench.document.apply("Pile", piled)
    settle(qtbot, bench)
    return bench


def shown_cards(panel: QWidget) -> list[FindingCard]:
    return [card for card in panel.findChildren(FindingCard) if not card.isHidden()]


def words(panel: QWidget) -> str:
    return "\n".join(label.text() for label in panel.findChildren(QLabel) if not label.isHidden())


def overlaps(bench: Workbench) -> int:
    return sum(finding.rule == "overlap" for finding in bench.checker.findings)


def test_the_findings_panel_shows_the_worst_and_counts_the_rest(keep: Keep, pile: Workbench) -> None:
    panel = FindingsPanel(pile)
    keep(panel)
    stops = sum(finding.severity is Severity.STOP for finding in pile.checker.findings)
    assert stops >= COPIES * (COPIES - 1) // 2
    assert len(shown_cards(panel)) == MOST_CARDS
    assert all(card.accessibleName().startswith("stop") for card in shown_cards(panel))
    assert "more follow as these are mended or waived" in words(panel)


def test_the_proof_station_shows_as_many(keep: Keep, pile: Workbench, qtbot: QtBot) -> None:
    panel = OpenStops(pile)
    keep(panel)
    qtbot.waitUntil(lambda: len(shown_cards(panel)) == MOST_CARDS)
    assert f"{overlaps(pile) - MOST_CARDS:,} more follow" in words(panel)


def test_the_piece_panel_shows_as_many(keep: Keep, pile: Workbench, qtbot: QtBot) -> None:
    panel = PiecePanel(pile)
    keep(panel)
    first = pile.document.job.pieces[0].piece_id
    laid = pile.document.job.sheets[0].placed
    pile.selection.choose_placed([placed.placed_id for placed in laid if placed.piece_id == first])
    qtbot.waitUntil(lambda: len(shown_cards(panel)) == MOST_CARDS)
    assert "more follow" in words(panel)


def test_without_a_crowd_nothing_is_left_out(keep: Keep, bench: Workbench, qtbot: QtBot) -> None:
    settle(qtbot, bench)
    panel = FindingsPanel(bench)
    keep(panel)
    assert "more follow" not in words(panel)
