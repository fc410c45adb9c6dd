"""Moving pieces by mouse and keys, each as one undo step, with the room they have told."""

import pytest
from PySide6.QtCore import QPoint, Qt

from app.canvas.drag import Verdict
from app.canvas.pixels import Tone
from app.canvas.view import SheetView
from app.wiring import Workbench
from layout_core.geometry.pose import Pose
from layout_core.job.edits import lock_placed, set_poses
from tests.app.canvas.conftest import BAR, BLOCK, DISC
from tests.app.canvas.hands import Hands

ALT = Qt.KeyboardModifier.AltModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier


def pose_of(bench: Workbench, placed_id: int) -> Pose:
    return bench.document.job.placed(placed_id).pose


def test_a_drag_moves_the_piece_by_the_way_of_the_mouse_in_one_undo_step(
    bench: Workbench, hands: Hands
) -> None:
    start, way = hands.px(60, 60), QPoint(60, 45)
    hands.drag(start, start + way)
    scale = hands.view.sheet_scene.px_per_mm
    pose = pose_of(bench, BLOCK)
    assert (pose.x_mm, pose.y_mm) == pytest.approx((60 + 60 / scale, 60 + 45 / scale))
    assert bench.document.undo_stack.count() == 1
    assert bench.document.undo_stack.undoText() == "Move block"
    bench.document.undo_stack.undo()
    assert pose_of(bench, BLOCK) == Pose(60.0, 60.0)
    assert hands.view.sheet_scene.piece_items[BLOCK].pos().toTuple() == pytest.approx((60.0, 60.0))


def test_all_chosen_pieces_move_together(bench: Workbench, hands: Hands) -> None:
    bench.selection.choose_placed([BLOCK, DISC])
    start = hands.px(60, 60)
    hands.drag(start, start + QPoint(0, 50))
    shift = 50 / hands.view.sheet_scene.px_per_mm
    assert pose_of(bench, BLOCK).y_mm == pytest.approx(60 + shift)
    assert pose_of(bench, DISC).y_mm == pytest.approx(100 + shift)
    assert pose_of(bench, BAR) == Pose(140.0, 300.0)
    assert bench.document.undo_stack.undoText() == "Move 2 pieces"


def test_a_tremble_of_the_mouse_moves_nothing(bench: Workbench, hands: Hands) -> None:
    start = hands.px(60, 60)
    hands.drag(start, start + QPoint(2, 1))
    assert bench.document.undo_stack.count() == 0
    assert bench.selection.placed_ids == {BLOCK}


def test_escape_puts_everything_back_and_edits_nothing(bench: Workbench, hands: Hands) -> None:
    start = hands.px(60, 60)
    hands.carry(start, start + QPoint(80, 80))
    item = hands.view.sheet_scene.piece_items[BLOCK]
    assert item.pos().x() > 70
    hands.key(Qt.Key.Key_Escape)
    assert item.pos().toTuple() == pytest.approx((60.0, 60.0))
    hands.move(start + QPoint(90, 90))
    hands.release(start + QPoint(90, 90))
    assert bench.document.undo_stack.count() == 0
    assert bench.selection.placed_ids == {BLOCK}
    assert hands.view.sheet_scene.measure.text == ""


def test_a_drag_back_to_the_start_is_no_edit(bench: Workbench, hands: Hands) -> None:
    start = hands.px(60, 60)
    hands.carry(start, start + QPoint(80, 80))
    hands.move(start)
    hands.release(start)
    assert bench.document.undo_stack.count() == 0


@pytest.mark.parametrize(
    ("x_mm", "y_mm", "tone", "word"),
    [
        (148.0, 100.0, Tone.CALM, " in"),
        (137.0, 100.0, Tone.CAUTION, Verdict.CLOSE),
        (160.0, 100.0, Tone.STOP, Verdict.OVERLAP),
        (10.0, 100.0, Tone.STOP, Verdict.OFF_SHEET),
    ],
)
def test_the_room_is_told_while_carrying_in_words_and_tone(
    bench: Workbench, hands: Hands, x_mm: float, y_mm: float, tone: Tone, word: str
) -> None:
    # The disc reaches from 165 mm on and the block is 50 wide: at 137 there are 3 mm, at 132 there are 8.
    if tone is Tone.CALM:
        x_mm = 132.0
    hands.carry(hands.px(60, 60), hands.px(x_mm, y_mm))
    measure = hands.view.sheet_scene.measure
    assert word in measure.text
    assert measure.tone is tone
    hands.key(Qt.Key.Key_Escape)


def test_letting_go_takes_the_hints_away(bench: Workbench, hands: Hands) -> None:
    bench.settings.change(snapping=True)
    hands.carry(hands.px(60, 60), hands.px(140, 60))
    scene = hands.view.sheet_scene
    assert scene.guides.guides
    hands.release(hands.px(140, 60))
    assert not scene.guides.guides
    assert scene.measure.text == ""


def test_a_piece_near_the_edge_catches_on_it_and_alt_keeps_it_free(bench: Workbench, hands: Hands) -> None:
    bench.settings.change(snapping=True)
    near_edge = hands.px(27, 200)
    hands.drag(hands.px(60, 60), near_edge)
    assert pose_of(bench, BLOCK).x_mm == pytest.approx(25.0)
    bench.document.undo_stack.undo()
    hands.drag(hands.px(60, 60), near_edge, ALT)
    assert pose_of(bench, BLOCK).x_mm == pytest.approx(27.0, abs=0.8)
    assert pose_of(bench, BLOCK).x_mm != pytest.approx(25.0, abs=0.1)


def test_with_snapping_off_nothing_catches(bench: Workbench, hands: Hands) -> None:
    hands.carry(hands.px(60, 60), hands.px(27, 200))
    assert hands.view.sheet_scene.guides.guides == ()
    hands.key(Qt.Key.Key_Escape)


def test_a_piece_let_go_over_another_sheet_lies_there_under_the_same_pointer(
    bench: Workbench, hands: Hands
) -> None:
    hands.drag(hands.px(60, 60), hands.px(100, 120, sheet_id=2))
    job = bench.document.job
    assert job.sheet_of(BLOCK).sheet_id == 2
    pose = job.placed(BLOCK).pose
    assert (pose.x_mm, pose.y_mm) == pytest.approx((100.0, 120.0), abs=1.0)
    assert bench.document.undo_stack.count() == 1
    bench.document.undo_stack.undo()
    assert bench.document.job.sheet_of(BLOCK).sheet_id == 1


def test_the_sheet_that_would_take_the_piece_is_framed_while_it_hovers(
    bench: Workbench, hands: Hands
) -> None:
    hands.carry(hands.px(60, 60), hands.px(100, 120, sheet_id=2))
    items = hands.view.sheet_scene.sheet_items
    assert [items[1].is_target, items[2].is_target] == [False, True]
    hands.release(hands.px(100, 120, sheet_id=2))
    assert not items[2].is_target


def test_a_locked_piece_stays_and_the_reason_is_told(bench: Workbench, hands: Hands) -> None:
    bench.document.apply("Lock", lambda job: lock_placed(job, [BLOCK], True))
    told: list[str] = []
    bench.document.refused.connect(told.append)
    hands.drag(hands.px(60, 60), hands.px(160, 200))
    assert pose_of(bench, BLOCK) == Pose(60.0, 60.0)
    assert bench.document.undo_stack.count() == 1
    assert len(told) == 1
    assert "locked" in told[0]


def test_locked_pieces_stay_while_the_others_of_the_selection_move(bench: Workbench, hands: Hands) -> None:
    bench.document.apply("Lock", lambda job: lock_placed(job, [BLOCK], True))
    bench.selection.choose_placed([BLOCK, DISC])
    hands.drag(hands.px(180, 100), hands.px(180, 160))
    assert pose_of(bench, BLOCK) == Pose(60.0, 60.0)
    assert pose_of(bench, DISC).y_mm == pytest.approx(160.0, abs=1.0)


def test_an_undo_during_a_drag_ends_the_drag(bench: Workbench, hands: Hands) -> None:
    hands.drag(hands.px(60, 60), hands.px(60, 160))
    hands.carry(hands.px(60, 160), hands.px(120, 160))
    bench.document.undo_stack.undo()
    hands.release(hands.px(120, 160))
    assert pose_of(bench, BLOCK) == Pose(60.0, 60.0)
    assert hands.view.sheet_scene.piece_items[BLOCK].pos().toTuple() == pytest.approx((60.0, 60.0))


@pytest.mark.parametrize(
    ("unit", "keys", "step_mm"),
    [
        ("in", Qt.KeyboardModifier.NoModifier, 0.254),
        ("in", SHIFT, 2.54),
        ("mm", Qt.KeyboardModifier.NoModifier, 0.25),
        ("mm", SHIFT, 2.5),
    ],
)
def test_arrow_keys_nudge_by_the_step_of_the_unit(
    bench: Workbench, hands: Hands, unit: str, keys: Qt.KeyboardModifier, step_mm: float
) -> None:
    bench.settings.change(unit=unit)
    bench.selection.choose_placed([BLOCK])
    hands.key(Qt.Key.Key_Right, keys)
    hands.key(Qt.Key.Key_Up, keys)
    pose = pose_of(bench, BLOCK)
    assert (pose.x_mm, pose.y_mm) == pytest.approx((60 + step_mm, 60 - step_mm))


def test_nudges_in_a_row_are_one_undo_step(bench: Workbench, hands: Hands) -> None:
    bench.selection.choose_placed([BLOCK])
    for _ in range(12):
        hands.key(Qt.Key.Key_Down)
    assert bench.document.undo_stack.count() == 1
    bench.document.undo_stack.undo()
    assert pose_of(bench, BLOCK) == Pose(60.0, 60.0)


def test_a_nudge_tells_the_room_too(bench: Workbench, hands: Hands) -> None:
    bench.selection.choose_placed([BLOCK])
    hands.drag(hands.px(60, 60), hands.px(137, 100))
    hands.key(Qt.Key.Key_Right)
    assert Verdict.CLOSE in hands.view.sheet_scene.measure.text


def test_arrow_keys_without_a_selection_move_neither_pieces_nor_the_view(
    bench: Workbench, hands: Hands
) -> None:
    before = hands.px(60, 60)
    hands.key(Qt.Key.Key_Down)
    assert bench.document.undo_stack.count() == 0
    assert hands.px(60, 60) == before


def test_a_corner_drawn_outwards_widens_every_copy_and_keeps_the_far_corner(
    bench: Workbench, hands: Hands
) -> None:
    bench.selection.choose_placed([BLOCK])
    hands.drag(hands.px(85, 80), hands.px(110, 100))
    job = bench.document.job
    width = job.piece(101).width_mm
    assert width == pytest.approx(75.0, abs=1.5)
    pose = job.placed(BLOCK).pose
    assert (pose.x_mm - width / 2, pose.y_mm - width * 0.8 / 2) == pytest.approx((35.0, 40.0))
    assert bench.document.undo_stack.count() == 1
    assert bench.document.undo_stack.undoText() == "Resize block"


def test_a_turned_piece_resizes_about_its_own_far_corner(bench: Workbench, view: SheetView) -> None:
    bench.document.apply("Turn", lambda job: set_poses(job, {BLOCK: Pose(100.0, 100.0, 90.0)}))
    bench.selection.choose_placed([BLOCK])
    hands = Hands(view)
    # Turned clockwise a quarter, the piece's own top left corner lies top right: (120, 75).
    hands.drag(hands.px(120, 75), hands.px(110, 87))
    frame = view.sheet_scene.frames.frames[0].corners
    assert frame[2].toTuple() == pytest.approx((80.0, 125.0), abs=1e-6)
    assert bench.document.job.piece(101).width_mm < 45.0


def test_with_snapping_a_width_lands_on_sixteenths_of_an_inch(bench: Workbench, hands: Hands) -> None:
    bench.settings.change(snapping=True)
    bench.selection.choose_placed([BLOCK])
    hands.drag(hands.px(85, 80), hands.px(101, 93))
    sixteenths = bench.document.job.piece(101).width_mm / 25.4 * 16
    assert sixteenths == pytest.approx(round(sixteenths))


def test_escape_stops_a_resize(bench: Workbench, hands: Hands) -> None:
    bench.selection.choose_placed([BLOCK])
    hands.carry(hands.px(85, 80), hands.px(120, 110))
    assert hands.view.sheet_scene.piece_items[BLOCK].scale() > 1.2
    hands.key(Qt.Key.Key_Escape)
    hands.release(hands.px(120, 110))
    assert hands.view.sheet_scene.piece_items[BLOCK].scale() == 1.0
    assert bench.document.job.piece(101).width_mm == 50.0
    assert bench.document.undo_stack.count() == 0


def test_what_is_carried_lies_on_top_until_it_is_let_go(bench: Workbench, hands: Hands) -> None:
    items = hands.view.sheet_scene.piece_items
    hands.carry(hands.px(60, 60), hands.px(160, 100))
    assert items[BLOCK].zValue() > items[DISC].zValue()
    hands.release(hands.px(160, 100))
    assert items[BLOCK].zValue() == items[DISC].zValue()
