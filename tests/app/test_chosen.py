"""What the chosen pieces can undergo, each one undo step."""

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.chosen import Chosen
from app.document import Document
from app.selection import Selection
from layout_core.geometry.pose import Pose
from tests.make import make_artwork, make_job

pytestmark = pytest.mark.gui


@pytest.fixture
def document(qapp: QApplication) -> Document:
    return Document(make_job([make_artwork()], poses=[(0, Pose(40, 40)), (0, Pose(120, 40))]))


@pytest.fixture
def selection(document: Document) -> Selection:
    return Selection(document)


@pytest.fixture
def chosen(document: Document, selection: Selection) -> Chosen:
    return Chosen(document, selection)


def test_nothing_chosen_changes_nothing(document: Document, chosen: Chosen) -> None:
    before = document.job
    assert not any(
        (chosen.nudge(1, 1), chosen.turn(90), chosen.duplicate(), chosen.delete(), chosen.toggle_lock())
    )
    assert document.job is before
    assert not chosen.are_locked


def test_nudges_of_a_selection_are_one_step(document: Document, selection: Selection, chosen: Chosen) -> None:
    selection.choose_placed([301, 302])
    for _ in range(5):
        chosen.nudge(0.254, 0.0)
    assert document.undo_stack.count() == 1
    assert document.undo_stack.undoText() == "Move 2 pieces"
    assert document.job.placed(302).pose.x_mm == pytest.approx(121.27)
    selection.choose_placed([301])
    chosen.nudge(0.254, 0.0)
    assert document.undo_stack.count() == 2


def test_four_quarter_turns_leave_no_step(document: Document, selection: Selection, chosen: Chosen) -> None:
    selection.choose_placed([301])
    for _ in range(4):
        chosen.turn(90.0)
    assert document.undo_stack.count() == 0
    chosen.turn(-90.0)
    assert document.job.placed(301).pose.turn_deg == 270.0


def test_duplicate_chooses_the_new_ones(document: Document, selection: Selection, chosen: Chosen) -> None:
    selection.choose_placed([301, 302])
    assert chosen.duplicate()
    assert len(document.job.sheets[0].placed) == 4
    assert selection.placed_ids == {p.placed_id for p in document.job.sheets[0].placed} - {301, 302}
    assert document.undo_stack.count() == 1


def test_delete_takes_copies_off_the_sheet_but_keeps_the_piece(
    document: Document, selection: Selection, chosen: Chosen
) -> None:
    selection.choose_placed([301])
    assert chosen.delete()
    assert [p.placed_id for p in document.job.sheets[0].placed] == [302]
    assert len(document.job.pieces) == 1
    assert document.undo_stack.undoText() == "Delete piece"


def test_delete_of_a_piece_of_the_list_takes_it_out_of_the_job(
    document: Document, selection: Selection, chosen: Chosen
) -> None:
    selection.choose_piece(101)
    assert chosen.delete()
    assert document.job.pieces == ()
    assert document.job.sheets[0].placed == ()
    document.undo_stack.undo()
    assert len(document.job.sheets[0].placed) == 2


def test_lock_is_on_until_all_are_locked(document: Document, selection: Selection, chosen: Chosen) -> None:
    selection.choose_placed([301])
    chosen.toggle_lock()
    assert document.job.placed(301).locked
    selection.choose_placed([301, 302])
    assert not chosen.are_locked
    chosen.toggle_lock()
    assert chosen.are_locked
    chosen.toggle_lock()
    assert not document.job.placed(301).locked


def test_locked_piece_refuses_and_says_so(
    document: Document, selection: Selection, chosen: Chosen, qtbot: QtBot
) -> None:
    selection.choose_placed([301])
    chosen.toggle_lock()
    with qtbot.waitSignal(document.refused) as told:
        assert not chosen.nudge(1.0, 0.0)
    assert "locked" in told.args[0]


def test_select_all_takes_every_sheet(selection: Selection, chosen: Chosen) -> None:
    chosen.choose_all()
    assert selection.placed_ids == {301, 302}
