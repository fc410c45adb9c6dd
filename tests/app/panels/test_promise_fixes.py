"""Findings of the promise are mended by one click in the window: thicker, larger, or solid."""

from collections.abc import Iterator
from dataclasses import replace

import pytest
import shapely
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QPushButton
from pytestqt.qtbot import QtBot

from app.panels.current_sheet import CurrentSheet
from app.panels.proof_maker import ProofMaker
from app.panels.right_side import RightSide
from app.wiring import Workbench
from layout_core.checks.findings import Severity
from layout_core.glow.scene import usual_lighting
from layout_core.glow.venue import load_venues, venue_named
from layout_core.job.edits import add_art, add_piece, set_lighting
from layout_core.job.lighting import Promise
from layout_core.job.model import Job
from tests.make import make_artwork, make_job
from tests.window_kit import WAIT_MS, settle, throw_away, workbench

pytestmark = pytest.mark.gui

STROKE = shapely.union(shapely.box(0, 0, 1.2, 30), shapely.box(20, 0, 60, 40))
FRAME = shapely.box(0, 0, 30, 30) - shapely.box(1, 1, 29, 29)


def promised(shape: shapely.Geometry) -> Job:
    """A job that promises to read from 2 m after 20 min in a dim hall, with one piece."""
    promise = Promise(2.0, 20.0, "reads")
    light = replace(usual_lighting(), venue=venue_named("dim hall", load_venues()), promise=promise)
    return set_lighting(make_job([make_artwork(shape, "Signal")]), light)


@pytest.fixture
def bench(qapp: QApplication, request: pytest.FixtureRequest) -> Iterator[Workbench]:
    with workbench(qapp, promised(getattr(request, "param", STROKE))) as built:
        yield built


@pytest.fixture
def side(bench: Workbench, qtbot: QtBot) -> Iterator[RightSide]:
    made = RightSide(bench, CurrentSheet(bench.document, bench.selection, bench.app), ProofMaker(bench))
    made.resize(300, 900)
    made.show_station("findings")
    made.show()
    settle(qtbot, bench)
    yield made
    throw_away(made)


def missed(bench: Workbench) -> int:
    """How many whole elements miss the promise."""
    found = bench.checker.findings
    return sum(one.rule == "promise" and one.severity is Severity.CAUTION for one in found)


def press(side: RightSide, start: str, bench: Workbench, qtbot: QtBot) -> None:
    def there() -> list[QPushButton]:
        shown = [one for one in side.findChildren(QPushButton) if one.isVisibleTo(side)]
        return [one for one in shown if one.text().startswith(start)]

    qtbot.waitUntil(lambda: bool(there()), timeout=WAIT_MS)
    qtbot.mouseClick(there()[0], Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: bench.document.undo_stack.count() == 1, timeout=WAIT_MS)
    settle(qtbot, bench)


@pytest.mark.parametrize("fix", ["Thicken to", "Enlarge to"])
def test_one_click_keeps_the_promise_and_one_undo_breaks_it_again(
    side: RightSide, bench: Workbench, qtbot: QtBot, fix: str
) -> None:
    job = bench.document.job
    assert missed(bench) == 1
    press(side, fix, bench, qtbot)
    assert missed(bench) == 0
    bench.document.undo_stack.undo()
    assert bench.document.job == job
    settle(qtbot, bench)
    assert missed(bench) == 1


@pytest.mark.parametrize("bench", [FRAME], indirect=True)
def test_an_outlined_figure_is_made_solid_by_one_click(
    side: RightSide, bench: Workbench, qtbot: QtBot
) -> None:
    assert missed(bench) >= 1
    press(side, "Make solid", bench, qtbot)
    assert missed(bench) == 0
    assert bench.document.job.arts[0].artwork.outline.area == pytest.approx(900.0, rel=1e-3)


def test_the_card_says_how_far_it_gets_and_what_would_do(side: RightSide, bench: Workbench) -> None:
    shown = [card for card in side.findings.findChildren(QPushButton) if card.text().startswith("Thicken")]
    assert shown
    message = next(one.message for one in bench.checker.findings if one.rule == "promise")
    card = shown[0].parentWidget()
    assert card is not None
    assert message in card.accessibleName()


def test_a_job_without_a_promise_has_no_misses(bench: Workbench, qtbot: QtBot) -> None:
    lighting = bench.document.job.lighting
    assert lighting is not None
    bench.document.apply("no promise", lambda job: set_lighting(job, replace(lighting, promise=None)))
    settle(qtbot, bench)
    assert bench.checker.misses(bench.document.job.pieces[0].piece_id) == ()


@pytest.mark.parametrize("fix", ["Repair all 2 arts", "Enlarge all 2 pieces"])
def test_one_click_mends_all_that_misses_the_promise_and_one_undo_brings_it_back(
    bench: Workbench, side: RightSide, qtbot: QtBot, fix: str
) -> None:
    other = make_artwork(STROKE, "Second signal")

    def with_second(job: Job) -> Job:
        return add_piece(add_art(job, other), job.next_id, width_mm=job.pieces[0].width_mm)

    bench.document.apply("Add art", with_second)
    bench.document.undo_stack.clear()
    settle(qtbot, bench)
    before, job = missed(bench), bench.document.job
    press(side, fix, bench, qtbot)
    assert all(art.repairs for art in bench.document.job.arts) == fix.startswith("Repair")
    assert missed(bench) < before
    bench.document.undo_stack.undo()
    assert bench.document.job == job
    settle(qtbot, bench)
    assert missed(bench) == before
