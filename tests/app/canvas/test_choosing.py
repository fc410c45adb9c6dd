"""Choosing with the mouse: click, add, rubber band, all, none."""

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QApplication

from app.canvas.view import SheetView
from app.wiring import Workbench
from layout_core.job.edits import change_piece, lock_placed
from tests.app.canvas.conftest import BAR, BLOCK, DISC
from tests.app.canvas.hands import Hands

SHIFT = Qt.KeyboardModifier.ShiftModifier
CONTROL = Qt.KeyboardModifier.ControlModifier


def test_a_click_chooses_the_piece_beneath_and_frames_it(bench: Workbench, hands: Hands) -> None:
    hands.click(hands.px(60, 60))
    assert bench.selection.placed_ids == {BLOCK}
    assert len(hands.view.sheet_scene.frames.frames) == 1
    assert hands.shown_texts() == ["1.97 × 1.57 in"]


def test_a_click_on_bare_film_clears_the_selection(bench: Workbench, hands: Hands) -> None:
    hands.click(hands.px(60, 60))
    hands.click(hands.px(60, 400))
    assert bench.selection.placed_ids == frozenset()
    assert hands.view.sheet_scene.frames.frames == ()


@pytest.mark.parametrize("adding", [SHIFT, CONTROL])
def test_a_click_with_shift_or_control_adds_and_takes_away(
    bench: Workbench, hands: Hands, adding: Qt.KeyboardModifier
) -> None:
    hands.click(hands.px(60, 60))
    hands.click(hands.px(180, 100), adding)
    assert bench.selection.placed_ids == {BLOCK, DISC}
    hands.click(hands.px(60, 60), adding)
    assert bench.selection.placed_ids == {DISC}


def test_a_click_on_one_of_several_chosen_leaves_only_that_one(bench: Workbench, hands: Hands) -> None:
    bench.selection.choose_placed([BLOCK, DISC, BAR])
    hands.click(hands.px(180, 100))
    assert bench.selection.placed_ids == {DISC}


def test_the_rubber_band_chooses_what_it_touches(bench: Workbench, hands: Hands) -> None:
    hands.drag(hands.px(20, 20), hands.px(170, 110))
    assert bench.selection.placed_ids == {BLOCK, DISC}
    assert bench.document.undo_stack.count() == 0


def test_the_rubber_band_goes_by_the_ink_not_by_its_box(bench: Workbench, hands: Hands) -> None:
    # The corner of the disc's box, about 4 mm from the disc itself.
    hands.drag(hands.px(150, 70), hands.px(167, 87))
    assert bench.selection.placed_ids == frozenset()


def test_the_rubber_band_adds_when_shift_is_down(bench: Workbench, hands: Hands) -> None:
    bench.selection.choose_placed([BAR])
    hands.press(hands.px(20, 20), SHIFT)
    hands.move(hands.px(100, 90), SHIFT)
    hands.release(hands.px(100, 90), SHIFT)
    assert bench.selection.placed_ids == {BLOCK, BAR}


def test_escape_stops_the_rubber_band_and_keeps_what_was_chosen(bench: Workbench, hands: Hands) -> None:
    bench.selection.choose_placed([BAR])
    hands.carry(hands.px(20, 20), hands.px(170, 110))
    hands.key(Qt.Key.Key_Escape)
    hands.release(hands.px(170, 110))
    assert bench.selection.placed_ids == {BAR}
    assert len(hands.view.sheet_scene.frames.frames) == 1


def test_escape_without_a_gesture_chooses_nothing(bench: Workbench, hands: Hands) -> None:
    bench.selection.choose_placed([BAR])
    hands.key(Qt.Key.Key_Escape)
    assert bench.selection.placed_ids == frozenset()


def test_control_a_chooses_everything_on_all_sheets(bench: Workbench, hands: Hands) -> None:
    hands.key(Qt.Key.Key_A, CONTROL)
    assert bench.selection.placed_ids == {BLOCK, DISC, BAR}


def test_the_right_button_chooses_what_a_menu_will_be_about(bench: Workbench, hands: Hands) -> None:
    hands.press(hands.px(180, 100), button=Qt.MouseButton.RightButton)
    assert bench.selection.placed_ids == {DISC}


def test_a_selection_made_elsewhere_is_framed(bench: Workbench, view: SheetView) -> None:
    bench.selection.choose_placed([BLOCK, BAR])
    assert len(view.sheet_scene.frames.frames) == 2
    assert not view.sheet_scene.frames.has_handles


def test_a_chosen_filler_says_so_and_a_locked_piece_has_no_handles(bench: Workbench, hands: Hands) -> None:
    bench.document.apply("Filler", lambda job: change_piece(job, 101, filler=True))
    bench.selection.choose_placed([BLOCK])
    frames = hands.view.sheet_scene.frames
    assert hands.shown_texts() == ["filler · 1.97 × 1.57 in"]
    assert frames.has_handles
    assert frames.frames[0].is_filler
    bench.document.apply("Lock", lambda job: lock_placed(job, [BLOCK], True))
    assert not frames.has_handles


def test_small_art_can_be_hit_from_a_few_pixels_away(bench: Workbench, hands: Hands) -> None:
    edge = hands.px(60, 80)
    hands.click(edge + QPoint(0, 2))
    assert bench.selection.placed_ids == {BLOCK}


def test_the_pointer_tells_a_corner_from_the_rest(bench: Workbench, hands: Hands, qapp: QApplication) -> None:
    bench.selection.choose_placed([BLOCK])
    port = hands.view.viewport()
    hands.hover(hands.px(35, 40))
    assert port.cursor().shape() == Qt.CursorShape.SizeFDiagCursor
    hands.hover(hands.px(85, 40))
    assert port.cursor().shape() == Qt.CursorShape.SizeBDiagCursor
    hands.hover(hands.px(60, 60))
    assert port.cursor().shape() == Qt.CursorShape.ArrowCursor
