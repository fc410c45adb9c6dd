"""A part of a job can be carried into the same job or another one."""

import pytest
import shapely

from app.arrivals import DropPoint
from app.pasting import part_of, with_part
from layout_core.art.lettering import Lettering
from layout_core.geometry.pose import Pose
from layout_core.job import edits
from layout_core.job.file import job_bytes, job_from_bytes
from layout_core.job.model import Job
from tests.make import GLOW, make_artwork, make_job


@pytest.fixture
def job() -> Job:
    arts = [make_artwork(name="moth"), make_artwork(shapely.box(0, 0, 20, 60), name="lantern")]
    return make_job(arts, poses=[(0, Pose(40, 40)), (0, Pose(120, 40)), (1, Pose(40, 120, 90.0))])


def test_part_holds_only_what_was_chosen(job: Job) -> None:
    part = part_of(edits.lock_placed(job, [303], True), {303})
    assert [piece.name for piece in part.pieces] == ["lantern"]
    assert len(part.arts) == 1
    assert [(p.piece_id, p.pose, p.locked) for p in part.sheets[0].placed] == [
        (102, Pose(40, 120, 90.0), False)
    ]


def test_part_survives_the_job_file(job: Job) -> None:
    part = part_of(job, {301, 303})
    assert job_from_bytes("part", job_bytes(part)) == part


def test_pasting_into_the_same_job_adds_copies_and_no_pieces(job: Job) -> None:
    pasted = with_part(job, part_of(job, {301, 303}), None, 5.0)
    assert pasted.pieces == job.pieces
    assert pasted.arts == job.arts
    assert [(p.piece_id, p.pose) for p in pasted.sheets[0].placed[3:]] == [
        (101, Pose(45, 45)),
        (102, Pose(45, 125, 90.0)),
    ]


def test_pasting_at_a_point_brings_the_middle_there(job: Job) -> None:
    pasted = with_part(job, part_of(job, {301, 302}), DropPoint(1, 100.0, 200.0), 5.0)
    assert [p.pose for p in pasted.sheets[0].placed[3:]] == [Pose(60, 200), Pose(140, 200)]


def test_pasting_into_another_job_brings_art_and_piece(job: Job) -> None:
    job = edits.change_piece(job, 102, turn_deg=90.0, copies=7)
    other = edits.new_job()
    pasted = with_part(other, part_of(job, {303}), None, 5.0)
    (piece,) = pasted.pieces
    assert (piece.name, piece.width_mm, piece.turn_deg, piece.copies) == ("lantern", 20.0, 90.0, 7)
    assert pasted.artwork_of(piece) == job.artwork_of(job.piece(102))
    assert len(pasted.sheets[0].placed) == 1
    again = with_part(pasted, part_of(pasted, {pasted.sheets[0].placed[0].placed_id}), None, 5.0)
    assert again.pieces == pasted.pieces


def test_piece_changed_since_the_copy_comes_in_as_it_was(job: Job) -> None:
    part = part_of(job, {301})
    pasted = with_part(edits.change_piece(job, 101, width_mm=80.0), part, None, 5.0)
    assert [piece.width_mm for piece in pasted.pieces] == [80.0, 20.0, 50.0]
    assert len(pasted.arts) == 2


def test_lettering_pasted_into_another_job_can_still_be_changed() -> None:
    words = Lettering("MOTHS")
    job = edits.add_lettering(edits.new_job(limits=GLOW), words)
    job = edits.add_piece(job, 2, width_mm=60.0)
    job = edits.place_piece(job, 1, 3, Pose(100, 50))
    pasted = with_part(edits.new_job(limits=GLOW), part_of(job, {4}), None, 5.0)
    assert [art.lettering for art in pasted.arts] == [words]
    assert edits.change_lettering(pasted, pasted.arts[0].art_id, Lettering("WALK")).pieces[0].name == "WALK"
