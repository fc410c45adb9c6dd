"""The lights-out strip by hand: time cursor, distance line, keys, fields and the table twin."""

import pytest
from PySide6.QtCore import QPoint, Qt
from pytestqt.qtbot import QtBot

from app.panels.lights_out import LightsOut
from app.panels.seen_words import CAUTION, state_word
from app.viewing import LEAST_M, MOST_M, MOST_MINUTES
from app.wiring import Workbench
from layout_core.job.edits import set_lighting
from layout_core.job.lighting import Promise
from tests.app.panels.conftest import Keep
from tests.core.glow.scenes import FULL_MOON, lighting
from tests.window_kit import settle

pytestmark = pytest.mark.gui
LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def strip(keep: Keep, bench: Workbench, qtbot: QtBot) -> LightsOut:
    made = LightsOut(bench)
    keep(made)
    made.resize(1000, made.height())
    settle(qtbot, bench)
    qtbot.waitExposed(made)
    return made


@pytest.fixture
def one(strip: LightsOut, bench: Workbench) -> LightsOut:
    """The strip with the field of the ring."""
    bench.selection.choose_piece(bench.document.job.pieces[1].piece_id)
    return strip


def at(strip: LightsOut, minutes: float, distance_m: float) -> QPoint:
    """The pixel of the chart at a moment and a distance."""
    scale = strip.chart.scale
    return QPoint(round(scale.x(minutes)), round(scale.y(distance_m)))


def drag(qtbot: QtBot, strip: LightsOut, start: QPoint, end: QPoint) -> None:
    chart = strip.chart
    qtbot.mousePress(chart, LEFT, pos=start)
    qtbot.mouseMove(chart, pos=(start + end) / 2)
    qtbot.mouseMove(chart, pos=end)
    qtbot.mouseRelease(chart, LEFT, pos=end)


def cells(strip: LightsOut) -> list[list[str]]:
    model = strip.model
    return [
        [str(model.index(row, column).data()) for column in range(model.columnCount())]
        for row in range(model.rowCount())
    ]


def test_dragging_the_time_cursor_moves_the_minutes_alone(
    one: LightsOut, bench: Workbench, qtbot: QtBot
) -> None:
    drag(qtbot, one, at(one, 20.0, 10.0), at(one, 60.0, 1.0))
    assert bench.viewing.minutes == pytest.approx(60.0, abs=1.0)
    assert bench.viewing.distance_m == 3.0
    drag(qtbot, one, at(one, bench.viewing.minutes, 10.0), QPoint(-500, 20))
    assert bench.viewing.minutes == 0.0


def test_dragging_the_distance_line_moves_the_distance_alone(
    one: LightsOut, bench: Workbench, qtbot: QtBot
) -> None:
    drag(qtbot, one, at(one, 80.0, 3.0), at(one, 5.0, 10.0))
    assert bench.viewing.distance_m == pytest.approx(10.0, rel=0.06)
    assert bench.viewing.minutes == 20.0
    drag(qtbot, one, at(one, 80.0, bench.viewing.distance_m), at(one, 80.0, 3.0) + QPoint(0, 900))
    assert bench.viewing.distance_m == LEAST_M


def test_a_click_in_the_field_moves_both(one: LightsOut, bench: Workbench, qtbot: QtBot) -> None:
    qtbot.mouseClick(one.chart, LEFT, pos=at(one, 60.0, 10.0))
    assert bench.viewing.minutes == pytest.approx(60.0, abs=1.0)
    assert bench.viewing.distance_m == pytest.approx(10.0, rel=0.06)


def test_the_axis_takes_the_distance_and_other_buttons_do_nothing(
    one: LightsOut, bench: Workbench, qtbot: QtBot
) -> None:
    qtbot.mouseClick(one.chart, LEFT, pos=QPoint(8, at(one, 0.0, 1.0).y()))
    assert bench.viewing.distance_m == pytest.approx(1.0, rel=0.06)
    assert bench.viewing.minutes == 20.0
    qtbot.mouseClick(one.chart, Qt.MouseButton.RightButton, pos=at(one, 60.0, 10.0))
    assert bench.viewing.minutes == 20.0


def test_without_a_chosen_piece_a_drag_moves_time_over_a_row_a_piece(
    strip: LightsOut, bench: Workbench, qtbot: QtBot
) -> None:
    assert [row[0] for row in cells(strip)] == [band.name for band in strip.all_bands]
    assert len(strip.all_bands) == len(bench.document.job.pieces)
    drag(qtbot, strip, at(strip, 5.0, 30.0), at(strip, 60.0, 0.3))
    assert bench.viewing.minutes == pytest.approx(60.0, abs=1.0)
    assert bench.viewing.distance_m == 3.0


@pytest.mark.parametrize(
    ("key", "minutes", "distance_m"),
    [
        (Qt.Key.Key_Right, 25.0, 3.0),
        (Qt.Key.Key_Left, 19.0, 3.0),
        (Qt.Key.Key_Home, 0.0, 3.0),
        (Qt.Key.Key_End, 120.0, 3.0),
        (Qt.Key.Key_Up, 20.0, 3.4),
        (Qt.Key.Key_Down, 20.0, 2.7),
        (Qt.Key.Key_PageUp, 20.0, 5.3),
        (Qt.Key.Key_PageDown, 20.0, 1.7),
    ],
)
def test_keys_move_the_cursor(
    one: LightsOut, bench: Workbench, qtbot: QtBot, key: Qt.Key, minutes: float, distance_m: float
) -> None:
    qtbot.keyClick(one.chart, key)
    assert (bench.viewing.minutes, bench.viewing.distance_m) == (minutes, distance_m)


def test_keys_stop_at_the_ends(one: LightsOut, bench: Workbench, qtbot: QtBot) -> None:
    for key in (Qt.Key.Key_Left, Qt.Key.Key_PageDown):
        for _ in range(60):
            qtbot.keyClick(one.chart, key, Qt.KeyboardModifier.ShiftModifier)
    assert (bench.viewing.minutes, bench.viewing.distance_m) == (0.0, LEAST_M)
    for key in (Qt.Key.Key_Right, Qt.Key.Key_PageUp):
        for _ in range(60):
            qtbot.keyClick(one.chart, key, Qt.KeyboardModifier.ShiftModifier)
    assert (bench.viewing.minutes, bench.viewing.distance_m) == (MOST_MINUTES, MOST_M)


def test_a_reader_hears_moment_distance_state_and_reach(one: LightsOut, bench: Workbench) -> None:
    bench.viewing.move_to(minutes=20.0, distance_m=3.0)
    said = one.chart.accessibleDescription()
    ring = bench.document.job.pieces[1]
    glow = bench.glow.glow_of(ring.piece_id)
    assert glow is not None
    assert said.startswith(f"{ring.name} at 3.0 m after 20 min: {state_word(glow, 20.0, 3.0)}")
    assert "reads to" in said
    assert "seen as a shape to" in said


def test_fields_take_typed_figures_and_follow_the_cursor(
    one: LightsOut, bench: Workbench, qtbot: QtBot
) -> None:
    for field, text in ((one.minutes, "45"), (one.distance, "7.5")):
        field.setFocus()
        field.selectAll()
        qtbot.keyClicks(field, text)
        qtbot.keyClick(field, Qt.Key.Key_Return)
    assert (bench.viewing.minutes, bench.viewing.distance_m) == (45.0, 7.5)
    bench.viewing.move_to(minutes=5.0, distance_m=1.0)
    assert (one.minutes.value(), one.distance.value()) == (5.0, 1.0)


@pytest.mark.parametrize("typed", ["0", "1000", "-2", "far"])
def test_no_distance_of_none_or_a_kilometre_can_be_typed(
    one: LightsOut, bench: Workbench, qtbot: QtBot, typed: str
) -> None:
    field = one.distance
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, typed)
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert LEAST_M <= bench.viewing.distance_m <= MOST_M


def test_the_table_tells_what_the_picture_shows(one: LightsOut, bench: Workbench, qtbot: QtBot) -> None:
    qtbot.mouseClick(one.as_table, LEFT)
    assert one.table.isVisible()
    assert not one.chart.isVisible()
    ring = bench.glow.glow_of(bench.document.job.pieces[1].piece_id)
    assert ring is not None
    bench.viewing.move_to(minutes=33.0, distance_m=3.0)
    table = cells(one)
    assert "33 min" in [row[0] for row in table]
    for row, minutes in ((table[0], 0.0), (table[-1], 480.0)):
        assert row[3] == state_word(ring, minutes, 3.0)
    qtbot.keyClick(one.as_table, Qt.Key.Key_Space)
    assert one.chart.isVisible()


def test_what_goes_first_stands_first(strip: LightsOut) -> None:
    reach = [band.glow.shape_m(20.0) for band in strip.all_bands]
    assert reach == sorted(reach)


def test_the_strip_names_light_venue_and_the_caution(one: LightsOut, bench: Workbench, qtbot: QtBot) -> None:
    assert one.caution.text() == CAUTION
    assert "never safety marking" in CAUTION
    assert "dim hall" in one.lighting.text()
    bench.document.apply("Moon", lambda job: set_lighting(job, lighting(FULL_MOON, Promise(2.0, 150.0))))
    settle(qtbot, bench)
    assert "test venue" in one.lighting.text()
    assert one.chart.scale.most_minutes == MOST_MINUTES, "the promised moment lies on the strip"
    assert not one.chart.grab().isNull()


def test_each_state_has_a_pattern_and_a_word_so_that_no_colour_is_needed(
    one: LightsOut, bench: Workbench
) -> None:
    """Ink columns of the chart without colour: read, shape and gone differ in grey or in pattern."""
    ring = bench.glow.glow_of(bench.document.job.pieces[1].piece_id)
    assert ring is not None
    reads_m, shape_m = ring.reads_m(5.0), ring.shape_m(5.0)
    assert 0.4 < reads_m < shape_m
    image = one.chart.grab().toImage()
    scale = one.chart.scale
    near, far = max(0.35, reads_m * 0.3), min(30.0, (reads_m * shape_m) ** 0.5)
    greys = []
    for distance_m in (near, far):
        x, y = round(scale.x(5.0)), round(scale.y(distance_m))
        block = {image.pixelColor(x + dx, y + dy).lightness() for dx in range(-6, 7) for dy in range(-6, 7)}
        greys.append(block)
    assert greys[0] != greys[1]
    assert len(greys[1]) > 1, "what is seen as a shape is hatched"
    for distance_m, word in ((near, "reads"), (far, "seen as a shape")):
        bench.viewing.move_to(minutes=5.0, distance_m=distance_m)
        assert word in one.chart.words


def test_while_a_table_holds_a_mistake_the_strip_says_so_and_keeps_the_last_good_state(
    one: LightsOut, bench: Workbench
) -> None:
    before = cells(one)
    bench.glow._tell_failure(ValueError("broken"))
    assert one.lighting.text() == "It cannot be worked out"
    assert cells(one) == before
