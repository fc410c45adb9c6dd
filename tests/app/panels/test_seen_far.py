"""How far the chosen piece is seen: two figures, what ends each, the moment, and what they assume."""

import numpy as np
import pytest
from pytestqt.qtbot import QtBot

from app.panels.piece_panel import PiecePanel
from app.panels.seen_far import SeenFar
from app.wiring import Workbench
from layout_core.glow.bands import piece_elements, piece_scene, scene_bands
from layout_core.glow.visibility import shown_m
from layout_core.glow.words import DECORATION_ONLY
from layout_core.job.edits import set_garment_colour, set_lighting
from tests.app.panels.conftest import Keep
from tests.core.glow.scenes import BLACKOUT, lighting
from tests.window_kit import settle

pytestmark = pytest.mark.gui

READS, SHAPE = "Reads to", "Seen as a shape to"


@pytest.fixture
def seen(keep: Keep, bench: Workbench, qtbot: QtBot) -> SeenFar:
    made = PiecePanel(bench)
    keep(made)
    bench.selection.choose_piece(bench.document.job.pieces[0].piece_id)
    made.resize(300, 1100)
    settle(qtbot, bench)
    return made.seen


def expected(bench: Workbench, minutes: float) -> tuple[str, str]:
    """Both distances worked out without the window."""
    job = bench.document.job
    piece = job.pieces[0]
    bands = scene_bands(piece_elements(job, piece), piece_scene(job, piece), np.array([minutes]))
    return shown_m(float(bands.reads_m[0])), shown_m(float(bands.shape_m[0]))


def metres(text: str) -> float:
    return float(text.removeprefix("> ").removesuffix(" m"))


def test_both_distances_are_those_of_the_moment(seen: SeenFar, bench: Workbench) -> None:
    """Between the worked moments the window interpolates, which may move the second figure by one or two."""
    for minutes in (0.0, 20.0, 60.0):
        bench.viewing.move_to(minutes=minutes)
        for name, wanted in zip((READS, SHAPE), expected(bench, minutes), strict=True):
            assert metres(seen.text_of(name)) == pytest.approx(metres(wanted), rel=0.05)
        assert f"{minutes:g} min" in seen.when.text()
        assert "dim hall" in seen.when.text()


def test_the_causes_are_told_apart(seen: SeenFar, bench: Workbench, qtbot: QtBot) -> None:
    bench.selection.choose_piece(bench.document.job.pieces[1].piece_id)
    assert metres(seen.text_of(READS)) < metres(seen.text_of(SHAPE))
    assert seen.cause_of(READS) == "beyond it, too fine to read"
    bench.viewing.move_to(minutes=60.0)
    assert seen.cause_of(SHAPE) == "beyond it, too small to see"
    bench.viewing.move_to(minutes=100.0)
    assert seen.cause_of(READS) == "beyond it, strokes too small to see", "light ends it before detail does"
    bench.document.apply("Bright", lambda job: set_lighting(job, lighting(30.0)))
    settle(qtbot, bench)
    assert seen.text_of(READS) == seen.text_of(SHAPE) == "not at all"
    assert seen.cause_of(SHAPE).startswith("30 cd/m² round it is too bright for this print, 0.00")


def test_beyond_30_m_no_cause_is_claimed(seen: SeenFar, bench: Workbench, qtbot: QtBot) -> None:
    bench.document.apply("Dark", lambda job: set_lighting(job, lighting(BLACKOUT)))
    settle(qtbot, bench)
    bench.viewing.move_to(minutes=20.0)
    assert seen.text_of(SHAPE) == "> 30 m"
    assert seen.cause_of(SHAPE) == ""


def test_the_figures_say_what_they_assume_and_what_they_are_not_for(
    seen: SeenFar, bench: Workbench, qtbot: QtBot
) -> None:
    text = seen.assumed.text()
    assert text.endswith(DECORATION_ONLY)
    assert "not measured" in text
    assert "on black" in text
    assert "lx" in text
    assert "mcd/m²" in seen.assumed.toolTip()
    job = bench.document.job
    piece = job.pieces[2]
    bench.document.apply("Cloth", lambda job: set_garment_colour(job, "navy"))
    bench.selection.choose_piece(piece.piece_id)
    settle(qtbot, bench)
    assert "on navy" in seen.assumed.text()


def test_a_reader_hears_the_figure_with_its_cause_and_moment(seen: SeenFar) -> None:
    value = seen._values[READS]
    for part in (READS, seen.text_of(READS), seen.cause_of(READS), seen.when.text()):
        assert part in value.accessibleName()
