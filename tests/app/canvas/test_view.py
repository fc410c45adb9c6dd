"""Looking around: zoom, pan, fit, focus; and what the canvas tells others."""

from dataclasses import replace

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QKeyEvent, QNativeGestureEvent, QPointingDevice
from PySide6.QtWidgets import QApplication, QGraphicsView
from pytestqt.qtbot import QtBot

from app.canvas.motion import SLIDE_MS
from app.canvas.prompt import DROP_ART, PLACE_PIECES
from app.canvas.view import SheetView
from app.tokens import theme_named
from app.wiring import Workbench
from layout_core.geometry.pose import Pose
from layout_core.job.edits import (
    add_sheet,
    change_sheet,
    delete_placed,
    lay_out,
    lock_placed,
    new_job,
    remove_sheet,
)
from tests.app.canvas.conftest import BAR, BLOCK, DISC
from tests.app.canvas.hands import Hands

CONTROL = Qt.KeyboardModifier.ControlModifier


def matte_at(view: SheetView, at: QPoint) -> tuple[float, float]:
    inverse, _ = view.viewportTransform().inverted()
    point = inverse.map(QPointF(at))
    return point.x(), point.y()


def test_at_first_all_sheets_are_in_sight_with_their_rulers(view: SheetView) -> None:
    left, top, right, bottom = view.sheet_scene.matte.bounds_mm
    port = view.viewport().rect()
    corners = view.mapFromScene(QPointF(left, top)), view.mapFromScene(QPointF(right, bottom))
    assert all(port.adjusted(20, 40, -10, -10).contains(corner) for corner in corners)


def test_the_wheel_zooms_and_what_is_under_the_pointer_stays_there(view: SheetView, hands: Hands) -> None:
    at = hands.px(200, 150)
    before, scale = matte_at(view, at), view.sheet_scene.px_per_mm
    hands.wheel(at, 240)
    assert view.sheet_scene.px_per_mm == pytest.approx(scale * 1.25**2)
    assert matte_at(view, at) == pytest.approx(before, abs=1.0 / view.sheet_scene.px_per_mm)


def test_zoom_is_told_as_a_ratio_to_true_size(view: SheetView, qtbot: QtBot) -> None:
    with qtbot.waitSignal(view.zoom_changed) as told:
        view.zoom_in()
    assert told.args is not None
    assert told.args[0] == pytest.approx(view.sheet_scene.px_per_mm * 25.4 / 96)


@pytest.mark.parametrize("by_key", [(Qt.Key.Key_0, CONTROL), (Qt.Key.Key_F, Qt.KeyboardModifier.NoModifier)])
def test_both_fit_keys_bring_all_sheets_back(
    view: SheetView, hands: Hands, by_key: tuple[Qt.Key, Qt.KeyboardModifier]
) -> None:
    fitted = view.sheet_scene.px_per_mm
    hands.wheel(hands.px(10, 10), 480)
    hands.key(*by_key)
    assert view.sheet_scene.px_per_mm == pytest.approx(fitted)


def test_plus_and_minus_zoom(view: SheetView, hands: Hands) -> None:
    scale = view.sheet_scene.px_per_mm
    hands.key(Qt.Key.Key_Plus, text="+")
    assert view.sheet_scene.px_per_mm > scale
    hands.key(Qt.Key.Key_Minus, text="-")
    assert view.sheet_scene.px_per_mm == pytest.approx(scale)


def test_the_middle_button_pulls_the_matte(bench: Workbench, view: SheetView, hands: Hands) -> None:
    start, middle = hands.px(60, 60), Qt.MouseButton.MiddleButton
    hands.press(start, button=middle)
    hands.move(start + QPoint(70, 40), button=middle)
    hands.release(start + QPoint(70, 40), button=middle)
    assert (hands.px(60, 60) - start).toTuple() == (70, 40)
    assert bench.document.undo_stack.count() == 0


def test_space_turns_a_drag_into_a_pull_of_the_matte(bench: Workbench, view: SheetView, hands: Hands) -> None:
    start = hands.px(60, 60)
    hands.hold(Qt.Key.Key_Space, is_down=True)
    hands.drag(start, start + QPoint(-50, 30))
    hands.hold(Qt.Key.Key_Space, is_down=False)
    assert (hands.px(60, 60) - start).toTuple() == (-50, 30)
    assert bench.document.job.placed(BLOCK).pose == Pose(60.0, 60.0)
    assert view.viewport().cursor().shape() == Qt.CursorShape.ArrowCursor


def test_a_new_sheet_comes_into_sight_until_a_person_has_zoomed(
    bench: Workbench, view: SheetView, hands: Hands
) -> None:
    fitted = view.sheet_scene.px_per_mm
    bench.document.apply("Add sheet", add_sheet)
    refitted = view.sheet_scene.px_per_mm
    assert refitted < fitted
    view.zoom_in()
    bench.document.apply("Add sheet", add_sheet)
    assert view.sheet_scene.px_per_mm == pytest.approx(refitted * 1.25)


def test_one_sheet_can_be_brought_to_the_middle(view: SheetView) -> None:
    view.zoom_to(2)
    assert view.sheet_in_sight() == 2
    view.zoom_to(1)
    assert view.sheet_in_sight() == 1


def test_the_pointer_is_told_in_the_frame_of_the_sheet_beneath(
    view: SheetView, hands: Hands, qtbot: QtBot
) -> None:
    with qtbot.waitSignal(view.cursor_moved) as told:
        hands.hover(hands.px(100, 50, sheet_id=2))
    assert told.args is not None
    point, sheet_id = told.args
    assert sheet_id == 2
    assert point == pytest.approx((100.0, 50.0), abs=1.0)
    with qtbot.waitSignal(view.cursor_moved) as told:
        hands.hover(hands.px(-20, 50))
    assert told.args == [None, None]


def test_items_follow_the_job_by_id_and_only_changed_ones_are_touched(
    bench: Workbench, view: SheetView
) -> None:
    items = dict(view.sheet_scene.piece_items)
    bench.document.apply("Delete", lambda job: delete_placed(job, [DISC]))
    assert view.sheet_scene.piece_items.keys() == {BLOCK, BAR}
    assert view.sheet_scene.piece_items[BLOCK] is items[BLOCK]
    bench.document.undo_stack.undo()
    assert view.sheet_scene.piece_items.keys() == {BLOCK, DISC, BAR}


def test_a_sheet_that_goes_takes_its_pieces_with_it(bench: Workbench, view: SheetView) -> None:
    bench.document.apply("Remove", lambda job: remove_sheet(job, 1))
    assert view.sheet_scene.sheet_items.keys() == {2}
    assert view.sheet_scene.piece_items == {}
    assert view.sheet_scene.sheet_items[2].pos().toTuple() == (0.0, 0.0)
    bench.document.undo_stack.undo()
    assert view.sheet_scene.piece_items.keys() == {BLOCK, DISC, BAR}


def test_the_next_job_replaces_everything(bench: Workbench, view: SheetView) -> None:
    bench.document.start_new(new_job())
    assert view.sheet_scene.piece_items == {}
    assert view.accessibleDescription().startswith("1 sheet.")


def test_a_sheet_is_captioned_with_its_size_and_run_in_the_unit_in_use(
    bench: Workbench, view: SheetView
) -> None:
    item = view.sheet_scene.sheet_items[2]
    assert item.caption() == "11.25 × 12 in · run 6"
    bench.settings.change(unit="mm")
    assert item.caption() == "285.8 × 304.8 mm · run 6"
    bench.document.apply("Run", lambda job: change_sheet(job, 2, run=9))
    assert item.caption() == "285.8 × 304.8 mm · run 9"


def test_an_empty_job_says_what_to_do_next_on_its_first_sheet(bench: Workbench, view: SheetView) -> None:
    ids = [BLOCK, DISC, BAR]
    assert view.sheet_scene.sheet_items[1].prompt is None
    bench.document.apply("Delete", lambda job: delete_placed(job, ids))
    assert view.sheet_scene.sheet_items[1].prompt == PLACE_PIECES
    assert view.sheet_scene.sheet_items[2].prompt is None
    bench.document.start_new(new_job())
    (item,) = view.sheet_scene.sheet_items.values()
    assert item.prompt == DROP_ART


def test_the_canvas_has_a_name_and_tells_what_lies_on_it(view: SheetView) -> None:
    assert view.accessibleName() == "Sheets"
    assert "Sheet A: 3 pieces" in view.accessibleDescription()


def test_only_what_changed_is_repainted(view: SheetView) -> None:
    assert view.viewportUpdateMode() == QGraphicsView.ViewportUpdateMode.MinimalViewportUpdate


def test_a_new_theme_is_worn_at_once(bench: Workbench, view: SheetView) -> None:
    dark = view.grab().toImage()
    bench.theming.force("light")
    light = view.grab().toImage()
    middle = view.mapFromScene(QPointF(100.0, 200.0))
    assert dark.pixelColor(middle).name() == theme_named("dark").film.lower()
    assert light.pixelColor(middle).name() == theme_named("light").film.lower()


def test_ink_is_painted_where_the_outline_says(view: SheetView, bench: Workbench) -> None:
    shot = view.grab().toImage()

    def colour(x_mm: float, y_mm: float) -> str:
        return shot.pixelColor(view.mapFromScene(QPointF(x_mm, y_mm))).name()

    ink, film = bench.theme.ink.lower(), bench.theme.film.lower()
    assert [colour(180, 100), colour(193, 100), colour(191.5, 111.5)] == [ink, ink, film]


def test_focus_by_key_is_seen_and_focus_by_mouse_is_not(view: SheetView, qtbot: QtBot) -> None:
    def edge() -> str:
        return view.grab().toImage().pixelColor(0, 300).name()

    view.setFocus(Qt.FocusReason.MouseFocusReason)
    plain = edge()
    view.clearFocus()
    view.setFocus(Qt.FocusReason.TabFocusReason)
    assert edge() != plain


@pytest.mark.parametrize("key", [Qt.Key.Key_Left, Qt.Key.Key_Space])
def test_keys_that_mean_something_here_come_before_the_windows_own(
    view: SheetView, qapp: QApplication, key: Qt.Key
) -> None:
    event = QKeyEvent(QEvent.Type.ShortcutOverride, key, Qt.KeyboardModifier.NoModifier)
    event.ignore()
    QApplication.sendEvent(view, event)
    assert event.isAccepted()


def test_escape_belongs_to_the_canvas_only_during_a_gesture(view: SheetView, hands: Hands) -> None:
    def is_taken() -> bool:
        event = QKeyEvent(QEvent.Type.ShortcutOverride, Qt.Key.Key_Escape, Qt.KeyboardModifier.NoModifier)
        event.ignore()
        QApplication.sendEvent(view, event)
        return event.isAccepted()

    assert not is_taken()
    hands.carry(hands.px(60, 60), hands.px(90, 90))
    assert is_taken()
    hands.key(Qt.Key.Key_Escape)
    assert not is_taken()


def test_new_pieces_slide_to_their_places_and_end_exactly_there(
    bench: Workbench, view: SheetView, qtbot: QtBot
) -> None:
    bench.settings.change(motion=True)
    poses = [(102, Pose(60.0, 200.0)), (102, Pose(120.0, 200.0))]
    bench.document.apply("Autopack", lambda job: lay_out(job, 1, poses))
    first, second = (view.sheet_scene.piece_items[key] for key in (1000, 1001))
    assert first.pos().y() < 200.0
    qtbot.waitUntil(lambda: second.opacity() == 1.0, timeout=SLIDE_MS * 20)
    assert first.pos().toTuple() == pytest.approx((60.0, 200.0))
    assert second.pos().toTuple() == pytest.approx((120.0, 200.0))


def test_with_less_motion_new_pieces_stand_at_once(bench: Workbench, view: SheetView) -> None:
    poses = [(102, Pose(60.0, 200.0)), (102, Pose(120.0, 200.0))]
    bench.document.apply("Autopack", lambda job: lay_out(job, 1, poses))
    assert view.sheet_scene.piece_items[1000].pos().toTuple() == pytest.approx((60.0, 200.0))
    assert view.sheet_scene.piece_items[1000].opacity() == 1.0


def test_locked_pieces_carry_a_mark(bench: Workbench, view: SheetView) -> None:
    item = view.sheet_scene.piece_items[BLOCK]
    assert item.childItems() == []
    bench.document.apply("Lock", lambda job: lock_placed(job, [BLOCK], True))
    assert len(item.childItems()) == 1
    bench.document.undo_stack.undo()
    assert item.childItems() == []


def test_an_undone_job_leaves_no_items_behind(bench: Workbench, view: SheetView) -> None:
    before = len(view.sheet_scene.items())
    job = bench.document.job
    bench.document.apply("Empty", lambda _: replace(job, sheets=()))
    bench.document.undo_stack.undo()
    assert len(view.sheet_scene.items()) == before


def test_a_pinch_on_the_touchpad_zooms_at_the_fingers(view: SheetView, hands: Hands) -> None:
    at, scale = hands.px(100, 100), view.sheet_scene.px_per_mm
    before = matte_at(view, at)
    event = QNativeGestureEvent(
        Qt.NativeGestureType.ZoomNativeGesture, QPointingDevice.primaryPointingDevice(), 2,
        QPointF(at), QPointF(at), QPointF(at), 0.1, QPointF(),
    )  # fmt: skip
    QApplication.sendEvent(view.viewport(), event)
    assert view.sheet_scene.px_per_mm == pytest.approx(scale * 1.1)
    assert matte_at(view, at) == pytest.approx(before, abs=1.0 / view.sheet_scene.px_per_mm)


def test_leaving_the_canvas_clears_the_told_place(view: SheetView, hands: Hands, qtbot: QtBot) -> None:
    hands.hover(hands.px(100, 50))
    with qtbot.waitSignal(view.cursor_moved) as told:
        QApplication.sendEvent(view, QEvent(QEvent.Type.Leave))
    assert told.args == [None, None]
