"""The words on the canvas and in the lists that stand beside it."""

from dataclasses import replace

import pytest

from app.canvas.drag import Room, Verdict
from app.canvas.words import describe_job, describe_placed, step_name, write_room, write_size
from layout_core.geometry.pose import Pose
from layout_core.job.edits import change_piece, lock_placed, set_poses
from tests.app.canvas.conftest import BLOCK, canvas_job


def test_a_placed_piece_is_told_with_name_size_sheet_and_place() -> None:
    assert describe_placed(canvas_job(), BLOCK) == (
        "block, 1.97 × 1.57 in; Sheet A, 2.36 in from the left and 2.36 in from the top"
    )


def test_turn_filler_and_lock_are_told_too_in_millimetres_when_asked() -> None:
    job = change_piece(lock_placed(canvas_job(), [BLOCK], True), 101, filler=True)
    job = set_poses(job, {BLOCK: Pose(60.0, 60.0, 90.0)})
    assert describe_placed(job, BLOCK, "mm") == (
        "block, 50 × 40 mm; Sheet A, 60 mm from the left and 60 mm from the top; turned 90°; filler; locked"
    )


def test_an_unknown_piece_is_a_key_error() -> None:
    with pytest.raises(KeyError):
        describe_placed(canvas_job(), 999)


def test_the_job_is_told_sheet_by_sheet() -> None:
    told = describe_job(canvas_job())
    assert told.startswith("2 sheets. Sheet A: 3 pieces; Sheet B: 0 pieces.")
    assert describe_job(replace(canvas_job(), sheets=())) == "No sheet yet."


def test_a_distance_below_the_gap_has_a_word_and_never_reads_like_the_gap() -> None:
    assert write_room(Room(Verdict.CLEAR, 6.35), 6.35, "in") == "0.25 in"
    assert write_room(Room(Verdict.CLOSE, 5.3), 6.35, "in") == "0.21 in · too close"
    assert write_room(Room(Verdict.CLOSE, 6.3), 6.35, "in") == "0.248 in · too close"


def test_overlap_margin_and_edge_are_words() -> None:
    verdicts = (Verdict.OVERLAP, Verdict.MARGIN, Verdict.OFF_SHEET)
    words = [write_room(Room(verdict), 6.35, "in") for verdict in verdicts]
    assert words == ["overlaps", "in the margin", "off the sheet"]
    assert write_room(Room(Verdict.CLEAR), 6.35, "in") == ""


def test_sizes_are_read_as_people_write_them() -> None:
    assert write_size(279.4, 238.25, "in") == "11 × 9.38 in"
    assert write_size(279.4, 238.25, "mm") == "279.4 × 238.2 mm"


def test_an_undo_step_names_one_piece_and_counts_several() -> None:
    job = canvas_job()
    assert step_name("Move", job, frozenset({BLOCK})) == "Move block"
    assert step_name("Move", job, frozenset({301, 302})) == "Move 2 pieces"
