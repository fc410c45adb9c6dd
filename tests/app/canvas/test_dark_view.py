"""The three ways of looking at the sheets: carrier, garment by day, and dark as the eye sees it."""

import pytest
import shapely
from PySide6.QtGui import QImage
from pytestqt.qtbot import QtBot

from app.canvas.dark_plates import MOST_SIDE_PX, make_plate, plate_scale
from app.canvas.view import SheetView
from app.wiring import Workbench
from layout_core.job.edits import set_garment_colour, set_lighting
from tests.app.canvas.conftest import BLOCK, DISC
from tests.app.canvas.hands import Hands
from tests.core.glow.scenes import lighting
from tests.make import make_artwork
from tests.window_kit import WAIT_MS, settle

pytestmark = pytest.mark.gui


def look_in_the_dark(qtbot: QtBot, bench: Workbench, view: SheetView, minutes: float, far_m: float) -> None:
    """Lights out: wait until what is drawn is that of the moment."""
    bench.viewing.look_at("dark")
    bench.viewing.move_to(minutes=minutes, distance_m=far_m)
    settle(qtbot, bench)
    qtbot.waitUntil(lambda: view.dark_layer._wanted == view.dark_layer._drawn, timeout=WAIT_MS)


def light_of(view: SheetView, placed_id: int) -> float:
    """The mean grey (0 to 255) of what a piece looks like in the dark; 0 when it is not seen."""
    tile = view.sheet_scene.piece_items[placed_id].tile
    if tile is None:
        return 0.0
    grey = tile.image.convertToFormat(QImage.Format.Format_Grayscale8).scaled(1, 1)
    whole = tile.image.width() * tile.image.height()
    return float(grey.pixelColor(0, 0).lightness() * whole)


def shown(hands: Hands, x_mm: float, y_mm: float) -> tuple[int, int, int]:
    """The colour on screen over a point of the first sheet."""
    at = hands.px(x_mm, y_mm)
    pixel = hands.view.viewport().grab().toImage().pixelColor(at)
    return pixel.red(), pixel.green(), pixel.blue()


def test_each_view_paints_its_own_ground_and_ink(
    bench: Workbench, view: SheetView, hands: Hands, qtbot: QtBot
) -> None:
    settle(qtbot, bench)
    inks, grounds = {}, {}
    for name in ("carrier", "garment"):
        bench.viewing.look_at(name)  # type: ignore[arg-type]  # both are views
        inks[name], grounds[name] = shown(hands, 60.0, 60.0), shown(hands, 60.0, 200.0)
    look_in_the_dark(qtbot, bench, view, 5.0, 1.0)
    inks["dark"], grounds["dark"] = shown(hands, 60.0, 60.0), shown(hands, 60.0, 200.0)
    assert len(set(inks.values())) == 3
    assert sum(grounds["dark"]) < 40, "lights out"
    red, green, blue = inks["dark"]
    assert green > red
    assert green > blue
    bench.viewing.look_at("carrier")
    assert shown(hands, 60.0, 60.0) == inks["carrier"], "the day comes back unchanged"


def test_the_garment_view_wears_the_cloth_of_the_job(
    bench: Workbench, view: SheetView, hands: Hands, qtbot: QtBot
) -> None:
    """Just off the ink, where the cloth shows round the piece."""
    bench.viewing.look_at("garment")
    beside = 60.0 - 25.0 - 1.5
    before = shown(hands, beside, 60.0)
    bench.document.apply("Cloth", lambda job: set_garment_colour(job, "red"))
    after = shown(hands, beside, 60.0)
    assert before != after
    assert after[0] > after[1] + 40


def test_the_slider_dims_what_is_drawn(bench: Workbench, view: SheetView, qtbot: QtBot) -> None:
    lights = []
    for minutes in (15.0, 60.0, 240.0):
        look_in_the_dark(qtbot, bench, view, minutes, 2.0)
        lights.append(light_of(view, DISC))
    assert lights == sorted(lights, reverse=True)
    assert lights[0] > lights[-1]


def test_what_is_gone_is_black(bench: Workbench, view: SheetView, qtbot: QtBot) -> None:
    settle(qtbot, bench)
    bench.document.apply("Floodlit", lambda job: set_lighting(job, lighting(30.0)))
    settle(qtbot, bench)
    look_in_the_dark(qtbot, bench, view, 20.0, 3.0)
    assert view.sheet_scene.piece_items[BLOCK].tile is None


def test_every_moment_of_the_strip_can_be_drawn(bench: Workbench, view: SheetView, qtbot: QtBot) -> None:
    """Also where a print is only just above the threshold and rounds to black."""
    wrong: list[object] = []
    bench.tasks.went_wrong.connect(lambda label, error: wrong.append(error))
    for minutes in (0.0, 0.5, 20.0, 51.0, 60.0, 75.0, 90.0, 120.0, 240.0, 480.0):
        for far_m in (0.3, 6.0, 30.0):
            look_in_the_dark(qtbot, bench, view, minutes, far_m)
    assert wrong == []


def test_findings_are_hidden_in_the_dark_and_come_back(bench: Workbench, view: SheetView) -> None:
    for name, is_shown in (("dark", False), ("garment", True), ("carrier", True)):
        bench.viewing.look_at(name)  # type: ignore[arg-type]  # all are views
        assert view._findings._is_shown is is_shown


def test_pieces_are_dragged_in_the_dark_as_by_day(
    bench: Workbench, view: SheetView, hands: Hands, qtbot: QtBot
) -> None:
    look_in_the_dark(qtbot, bench, view, 20.0, 1.0)
    before = bench.document.job.placed(BLOCK).pose
    hands.drag(hands.px(60.0, 60.0), hands.px(80.0, 60.0))
    assert bench.document.job.placed(BLOCK).pose.x_mm == pytest.approx(before.x_mm + 20.0, abs=1.0)


@pytest.mark.parametrize("zoom", [0.01, 0.3, 2.0, 40.0])
@pytest.mark.parametrize("side_mm", [5.0, 300.0])
def test_plates_come_in_few_scales_and_are_never_huge(zoom: float, side_mm: float) -> None:
    scale = plate_scale(zoom, side_mm)
    assert scale * side_mm <= MOST_SIDE_PX * 2**0.5 + 1e-6
    assert plate_scale(zoom * 0.999, side_mm) in (scale, pytest.approx(scale / 2**0.5))


def test_a_plate_knows_which_ink_belongs_to_which_element() -> None:
    two = shapely.MultiPolygon([shapely.box(0, 0, 10, 10), shapely.box(20, 0, 30, 10)])
    artwork = make_artwork(two)
    plate = make_plate(artwork, 30.0, 4.0)
    assert plate.coverage.sum() / 16.0 == pytest.approx(200.0, rel=0.02)
    assert set(plate.element[20, 4:36]) == {0}
    assert set(plate.element[20, 84:116]) == {1}
