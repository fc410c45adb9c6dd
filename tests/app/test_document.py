"""Every change is one undo step, and nothing but a change is one."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.document import Document
from layout_core.errors import JobFileError, LayoutError, SaveError
from layout_core.geometry.pose import Pose
from layout_core.job import edits
from layout_core.job.model import Job
from tests.make import make_artwork, make_job

pytestmark = pytest.mark.gui


@pytest.fixture
def job() -> Job:
    return make_job([make_artwork()], poses=[(0, Pose(40, 40)), (0, Pose(120, 40))])


def refuse(job: Job) -> Job:
    raise LayoutError("the sheet is too short")


def nudge(document: Document, dx_mm: float) -> bool:
    return document.apply("Move piece", lambda job: edits.move_placed(job, [301], dx_mm, 0.0), "nudge 301")


def test_edit_is_one_named_undo_step(qtbot: QtBot, job: Job) -> None:
    document = Document(job)
    with qtbot.waitSignal(document.job_changed) as told:
        assert document.apply("Rename job", lambda j: edits.rename_job(j, "Tide pools"))
    assert told.args == [job, document.job]
    assert document.job.name == "Tide pools"
    assert (document.undo_stack.count(), document.undo_stack.undoText()) == (1, "Rename job")
    document.undo_stack.undo()
    assert document.job is job
    document.undo_stack.redo()
    assert document.job.name == "Tide pools"


def test_undo_and_redo_tell_of_both_jobs(qtbot: QtBot, job: Job) -> None:
    document = Document(job)
    nudge(document, 5.0)
    moved = document.job
    with qtbot.waitSignal(document.job_changed) as told:
        document.undo_stack.undo()
    assert told.args[0] is moved
    assert told.args[1] is job


def test_edit_that_changes_nothing_is_no_step(qapp: QApplication, job: Job) -> None:
    document = Document(job)
    assert not document.apply("Rename job", lambda j: edits.rename_job(j, j.name))
    assert document.undo_stack.count() == 0
    assert not document.is_dirty


def test_refused_edit_tells_why_and_leaves_the_job(qtbot: QtBot, job: Job) -> None:
    document = Document(job)
    with qtbot.waitSignal(document.refused) as told:
        assert not document.apply("Shorten", refuse)
    assert told.args == ["the sheet is too short"]
    assert document.job is job
    assert document.undo_stack.count() == 0


def test_nudges_in_a_row_are_one_step(qapp: QApplication, job: Job) -> None:
    document = Document(job)
    for _ in range(100):
        nudge(document, 0.254)
    assert document.undo_stack.count() == 1
    assert document.job.placed(301).pose.x_mm == pytest.approx(40 + 25.4)
    document.undo_stack.undo()
    assert document.job is job


def test_other_edit_between_nudges_ends_the_row(qapp: QApplication, job: Job) -> None:
    document = Document(job)
    nudge(document, 1.0)
    document.apply("Rename job", lambda j: edits.rename_job(j, "Tide pools"))
    nudge(document, 1.0)
    assert document.undo_stack.count() == 3


def test_nudge_of_other_pieces_is_another_step(qapp: QApplication, job: Job) -> None:
    document = Document(job)
    nudge(document, 1.0)
    document.apply("Move piece", lambda j: edits.move_placed(j, [302], 1.0, 0.0), "nudge 302")
    assert document.undo_stack.count() == 2


def test_nudge_there_and_back_leaves_no_step(qapp: QApplication, job: Job) -> None:
    document = Document(job)
    nudge(document, 1.0)
    nudge(document, -1.0)
    assert document.undo_stack.count() == 0
    assert document.job == job
    assert not document.is_dirty


def test_nudge_after_a_save_is_a_step_of_its_own(qapp: QApplication, job: Job, tmp_path: Path) -> None:
    document = Document(job)
    nudge(document, 1.0)
    document.save(tmp_path / "job.duskjob")
    nudge(document, 1.0)
    assert document.undo_stack.count() == 2
    document.undo_stack.undo()
    assert not document.is_dirty


def test_save_then_open_gives_the_same_job(qtbot: QtBot, job: Job, tmp_path: Path) -> None:
    document, path = Document(job), tmp_path / "moth night #1 – Ärmel.duskjob"
    nudge(document, 3.0)
    assert document.is_dirty
    with qtbot.waitSignals([document.saved_changed, document.path_changed]):
        document.save(path)
    assert not document.is_dirty
    other = Document()
    other.open(path)
    assert other.job == document.job
    assert other.path == path
    assert not other.is_dirty
    assert other.undo_stack.count() == 0


def test_undo_past_a_save_is_unsaved_again(qapp: QApplication, job: Job, tmp_path: Path) -> None:
    document = Document(job)
    nudge(document, 3.0)
    document.save(tmp_path / "job.duskjob")
    document.undo_stack.undo()
    assert document.is_dirty
    document.undo_stack.redo()
    assert not document.is_dirty


def test_failed_save_leaves_the_job_unsaved_and_the_path_as_it_was(
    qapp: QApplication, job: Job, tmp_path: Path
) -> None:
    document = Document(job)
    nudge(document, 3.0)
    with pytest.raises(SaveError, match="lost"):
        document.save(tmp_path / "no such folder" / "lost.duskjob")
    assert document.is_dirty
    assert document.path is None
    assert document.undo_stack.count() == 1


def test_save_without_any_path_is_refused(qapp: QApplication) -> None:
    with pytest.raises(ValueError, match="no file yet"):
        Document().save()


def test_file_that_is_no_job_keeps_the_open_one(qapp: QApplication, job: Job, tmp_path: Path) -> None:
    broken = tmp_path / "broken.duskjob"
    broken.write_bytes(b"not a zip")
    document = Document(job)
    nudge(document, 3.0)
    before = document.job
    with pytest.raises(JobFileError):
        document.open(broken)
    assert document.job is before
    assert document.is_dirty
    assert document.undo_stack.count() == 1


def test_recovered_job_counts_as_unsaved_until_it_is_saved(qtbot: QtBot, job: Job, tmp_path: Path) -> None:
    document = Document()
    with qtbot.waitSignals([document.saved_changed, document.replaced]):
        document.adopt(job, tmp_path / "job.duskjob", is_saved=False)
    assert document.is_dirty
    document.save()
    assert not document.is_dirty


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.sampled_from(["nudge", "back", "turn", "copy", "delete", "undo", "redo"]), max_size=30))
def test_undoing_everything_gives_the_first_job_and_redoing_the_last(
    qapp: QApplication, steps: list[str]
) -> None:
    first = make_job([make_artwork()], poses=[(0, Pose(40, 40)), (0, Pose(120, 40))])
    document = Document(first)
    for step in steps:
        match step:
            case "nudge":
                nudge(document, 1.0)
            case "back":
                nudge(document, -1.0)
            case "turn":
                document.apply("Turn", lambda job: edits.turn_placed(job, [301], 90.0))
            case "copy":
                document.apply("Copy", lambda job: edits.duplicate_placed(job, [301], 5.0, 5.0))
            case "delete":
                last = document.job.sheets[0].placed[-1].placed_id
                if last != 301:
                    document.apply("Delete", lambda job, last=last: edits.delete_placed(job, [last]))
            case "undo":
                document.undo_stack.undo()
            case "redo":
                document.undo_stack.redo()
    while document.undo_stack.canRedo():
        document.undo_stack.redo()
    last_job = document.job
    while document.undo_stack.canUndo():
        document.undo_stack.undo()
    assert document.job == first
    while document.undo_stack.canRedo():
        document.undo_stack.redo()
    assert document.job == last_job
