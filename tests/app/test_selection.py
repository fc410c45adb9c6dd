"""The selection holds only what the job holds."""

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.document import Document
from app.selection import Selection
from layout_core.geometry.pose import Pose
from layout_core.job import edits
from tests.make import make_artwork, make_job

pytestmark = pytest.mark.gui


@pytest.fixture
def document(qapp: QApplication) -> Document:
    arts = [make_artwork(name="moth"), make_artwork(name="lantern")]
    return Document(make_job(arts, poses=[(0, Pose(40, 40)), (0, Pose(120, 40)), (1, Pose(40, 120))]))


def test_copies_of_one_piece_choose_the_piece(document: Document, qtbot: QtBot) -> None:
    selection = Selection(document)
    with qtbot.waitSignal(selection.changed):
        selection.choose_placed([301, 302])
    assert selection.placed_ids == {301, 302}
    assert selection.piece_id == 101


def test_copies_of_several_pieces_choose_no_piece(document: Document) -> None:
    selection = Selection(document)
    selection.choose_placed([301, 303])
    assert selection.piece_id is None


def test_unknown_ids_are_passed_over(document: Document) -> None:
    selection = Selection(document)
    selection.choose_placed([301, 999])
    assert selection.placed_ids == {301}
    selection.choose_piece(999)
    assert selection.piece_id is None


def test_piece_of_the_list_chooses_none_of_its_copies(document: Document) -> None:
    selection = Selection(document)
    selection.choose_placed([301])
    selection.choose_piece(102)
    assert (selection.placed_ids, selection.piece_id) == (frozenset(), 102)


def test_choosing_the_same_again_tells_nobody(document: Document, qtbot: QtBot) -> None:
    selection = Selection(document)
    selection.choose_placed([301])
    with qtbot.assertNotEmitted(selection.changed):
        selection.choose_placed([301])


def test_deleted_copy_leaves_the_selection(document: Document, qtbot: QtBot) -> None:
    selection = Selection(document)
    selection.choose_placed([301, 303])
    with qtbot.waitSignal(selection.changed):
        document.apply("Delete", lambda job: edits.delete_placed(job, [303]))
    assert selection.placed_ids == {301}
    assert selection.piece_id == 101


def test_undone_piece_leaves_the_selection(document: Document) -> None:
    selection = Selection(document)
    art_id = document.job.arts[0].art_id
    document.apply("Add piece", lambda job: edits.add_piece(job, art_id))
    selection.choose_piece(document.job.pieces[-1].piece_id)
    document.undo_stack.undo()
    assert selection.piece_id is None


def test_selection_is_no_undo_step(document: Document) -> None:
    Selection(document).choose_placed([301])
    assert document.undo_stack.count() == 0
    assert not document.is_dirty
