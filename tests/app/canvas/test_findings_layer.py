"""Findings drawn where they are."""

from dataclasses import replace

import pytest
import shapely
from pytestqt.qtbot import QtBot

from app.canvas.findings_layer import MOST_MARKS
from app.canvas.marks import SpotsItem, spot_of
from app.canvas.pixels import Tone
from app.canvas.view import SheetView
from app.wiring import Workbench
from layout_core.checks.findings import Finding, Severity
from layout_core.geometry.pose import Pose
from layout_core.job.edits import change_piece, move_placed, place_piece, set_poses
from tests.app.canvas.conftest import BLOCK, DISC
from tests.app.canvas.hands import Hands
from tests.patience import WAIT_MS

THIN = Finding(
    "line_weight", Severity.STOP, "thin", 0.3, 0.46, where_mm=(10.0, 10.0), piece_id=101,
    highlight=shapely.box(9.8, 5, 10.2, 15),
)  # fmt: skip
CRAMPED = Finding(
    "spacing", Severity.CAUTION, "close", 3.0, 6.35, where_mm=(163.5, 100.0), sheet_id=1,
    placed_ids=(BLOCK, DISC), highlight=shapely.LineString([(162, 100), (165, 100)]),
)  # fmt: skip
PLACELESS = Finding("copies", Severity.NOTE, "one missing", piece_id=102)


def test_a_fault_of_the_art_is_drawn_on_every_copy_in_the_copys_own_frame(
    bench: Workbench, view: SheetView
) -> None:
    bench.document.apply("Place", lambda job: place_piece(job, 2, 101, Pose(100.0, 100.0, 90.0)))
    view.findings_layer.show_findings((THIN,))
    marks = [item for item in view.findings_layer.items if isinstance(item, SpotsItem)]
    assert {item.parentItem() for item in marks} == {
        view.sheet_scene.piece_items[BLOCK],
        view.sheet_scene.piece_items[1000],
    }
    # (10, 10) of the 50 x 40 piece is (-15, -10) from its centre.
    assert marks[0].spots[0].where.toTuple() == (-15.0, -10.0)
    assert marks[0].spots[0].tone is Tone.STOP


def test_a_cramped_pair_is_joined_with_a_measure_on_its_sheet(view: SheetView) -> None:
    view.findings_layer.show_findings((CRAMPED,))
    (item,) = (item for item in view.findings_layer.items if isinstance(item, SpotsItem))
    (spot,) = item.spots
    assert spot.ends is not None
    assert [end.toTuple() for end in spot.ends] == [(162.0, 100.0), (165.0, 100.0)]
    assert spot.text == "0.12 in"


def test_a_finding_that_lies_nowhere_is_left_to_the_list(view: SheetView) -> None:
    view.findings_layer.show_findings((PLACELESS,))
    assert view.findings_layer.items == ()
    assert spot_of(PLACELESS) is None


def test_findings_about_what_is_gone_are_passed_over(view: SheetView) -> None:
    view.findings_layer.show_findings((replace(THIN, piece_id=999), replace(CRAMPED, sheet_id=999)))
    assert view.findings_layer.items == ()


def test_new_findings_replace_the_old_ones(view: SheetView) -> None:
    before = len(view.sheet_scene.items())
    view.findings_layer.show_findings((THIN, CRAMPED))
    assert len(view.sheet_scene.items()) == before + 2
    view.findings_layer.show_findings(())
    assert len(view.sheet_scene.items()) == before


def test_the_marks_can_be_left_out(view: SheetView) -> None:
    view.findings_layer.show_findings((THIN, CRAMPED))
    view.set_findings_shown(False)
    assert not any(item.isVisible() for item in view.findings_layer.items)
    view.findings_layer.show_findings((CRAMPED,))
    assert not any(item.isVisible() for item in view.findings_layer.items)
    view.set_findings_shown(True)
    assert all(item.isVisible() for item in view.findings_layer.items)


def test_carrying_a_piece_hides_what_it_makes_untrue(view: SheetView, hands: Hands, bench: Workbench) -> None:
    view.findings_layer.show_findings((THIN, CRAMPED))
    thin, cramped = view.findings_layer.items
    hands.carry(hands.px(60, 60), hands.px(60, 160))
    assert thin.isVisible()
    assert not cramped.isVisible()
    hands.release(hands.px(60, 160))


def test_marks_that_a_change_made_untrue_wait_for_the_next_check(bench: Workbench, view: SheetView) -> None:
    view.findings_layer.show_findings((THIN, CRAMPED))
    bench.document.apply("Move", lambda job: move_placed(job, [DISC], 1.0, 0.0))
    (left,) = view.findings_layer.items
    assert left.parentItem() is view.sheet_scene.piece_items[BLOCK]
    bench.document.apply("Widen", lambda job: change_piece(job, 101, width_mm=51.0))
    assert view.findings_layer.items == ()
    bench.document.undo_stack.undo()
    bench.document.undo_stack.undo()
    assert len(view.findings_layer.items) == 2


@pytest.mark.parametrize(
    ("finding", "x_mm", "y_mm"),
    [(THIN, 45.0, 50.0), (CRAMPED, 163.5, 100.0), (replace(THIN, where_mm=None), 60.0, 60.0)],
)
def test_a_finding_is_brought_to_the_middle_and_ringed(
    view: SheetView, hands: Hands, finding: Finding, x_mm: float, y_mm: float
) -> None:
    view.findings_layer.show_findings((finding,))
    view.show_finding(finding)
    middle = view.viewport().rect().center()
    assert (hands.px(x_mm, y_mm) - middle).manhattanLength() <= 3
    assert view.sheet_scene.beacon.isVisible()


def test_a_fault_on_a_turned_copy_is_found_where_it_was_turned_to(
    bench: Workbench, view: SheetView, hands: Hands
) -> None:
    bench.document.apply("Turn", lambda job: set_poses(job, {BLOCK: Pose(60.0, 60.0, 90.0)}))
    view.show_finding(THIN)
    middle = view.viewport().rect().center()
    # (-15, -10) turned clockwise by a quarter is (10, -15).
    assert (hands.px(70.0, 45.0) - middle).manhattanLength() <= 3


def test_a_finding_without_a_place_shows_a_copy_of_its_piece(view: SheetView, hands: Hands) -> None:
    view.show_finding(PLACELESS)
    middle = view.viewport().rect().center()
    assert (hands.px(180.0, 100.0) - middle).manhattanLength() <= 3


def test_a_finding_about_a_piece_that_lies_on_no_sheet_moves_nothing(view: SheetView) -> None:
    before = view.viewportTransform()
    view.show_finding(replace(THIN, piece_id=999))
    assert view.viewportTransform() == before
    assert not view.sheet_scene.beacon.isVisible()


def test_the_checkers_findings_arrive_by_themselves(bench: Workbench, view: SheetView, qtbot: QtBot) -> None:
    with qtbot.waitSignal(bench.checker.findings_changed, timeout=WAIT_MS):
        bench.document.apply("Move", lambda job: set_poses(job, {DISC: Pose(70.0, 60.0)}))
    drawn = [spot for item in view.findings_layer.items if isinstance(item, SpotsItem) for spot in item.spots]
    assert any(spot.tone is Tone.STOP and spot.text == "overlap" for spot in drawn)


def crowd(count: int) -> tuple[Finding, ...]:
    """So many cautions on the first sheet, and one stop after them all."""
    cautions = tuple(replace(CRAMPED, measured=1.0 + number / 1000.0) for number in range(count))
    return (*cautions, replace(CRAMPED, severity=Severity.STOP))


def test_a_crowded_sheet_marks_the_worst_and_counts_the_rest_at_its_foot(view: SheetView) -> None:
    view.findings_layer.show_findings(crowd(MOST_MARKS + 1_500))
    spots = [spot for item in view.findings_layer.items for spot in item.spots]
    assert len(spots) == MOST_MARKS
    assert [spot.tone for spot in spots].count(Tone.STOP) == 1
    (more,) = view.findings_layer.left_out
    assert more.label.text == "and 1,501 more, see Findings"
    film = view.sheet_scene.sheet_items[1]
    assert film.mapRectToScene(film.film).contains(more.sceneBoundingRect())
    view.set_findings_shown(False)
    assert not more.isVisible()


def test_each_piece_in_trouble_has_a_mark_before_one_has_two(view: SheetView) -> None:
    on_itself = replace(CRAMPED, placed_ids=(BLOCK,))
    crowded = [replace(on_itself, measured=1.0 + number / 1000.0) for number in range(MOST_MARKS)]
    view.findings_layer.show_findings((*crowded, replace(CRAMPED, measured=5.08, placed_ids=(DISC,))))
    texts = [spot.text for item in view.findings_layer.items for spot in item.spots]
    assert "0.2 in" in texts


def test_a_sheet_with_as_many_marks_as_can_be_drawn_counts_nothing(view: SheetView) -> None:
    view.findings_layer.show_findings(crowd(MOST_MARKS - 1))
    assert len(view.findings_layer.items) == MOST_MARKS
    assert view.findings_layer.left_out == ()


def test_the_count_goes_with_what_it_counts(view: SheetView) -> None:
    before = len(view.sheet_scene.items())
    view.findings_layer.show_findings(crowd(MOST_MARKS + 5))
    view.findings_layer.show_findings(())
    assert view.findings_layer.left_out == ()
    assert len(view.sheet_scene.items()) == before
