"""Dropping files, pictures and pieces of the list on the canvas."""

from pathlib import Path
from unittest.mock import Mock

import pytest
from PySide6.QtCore import QByteArray, QMimeData, QUrl
from PySide6.QtGui import QColor, QImage
from pytestqt.qtbot import QtBot

from app.canvas.drops import PIECE_MIME, piece_mime
from app.canvas.view import SheetView
from app.wiring import Workbench
from tests.app.canvas.hands import Hands


def files(*names: str) -> QMimeData:
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(name) for name in names])
    return data


def test_dropped_files_are_told_with_the_sheet_and_the_place(
    view: SheetView, hands: Hands, qtbot: QtBot
) -> None:
    names = ("/art/moth, #2.svg", "/art/Käfer.png")
    with qtbot.waitSignal(view.files_dropped) as told:
        assert hands.drop(files(*names), hands.px(80, 90, sheet_id=2))
    assert told.args is not None
    paths, sheet_id, pose = told.args
    assert paths == [Path(name) for name in names]
    assert sheet_id == 2
    assert (pose.x_mm, pose.y_mm) == pytest.approx((80.0, 90.0), abs=1.0)


def test_files_dropped_on_bare_matte_belong_to_no_sheet(view: SheetView, hands: Hands, qtbot: QtBot) -> None:
    with qtbot.waitSignal(view.files_dropped) as told:
        assert hands.drop(files("/art/moth.svg"), hands.px(-20, 90))
    assert told.args is not None
    assert told.args[1:] == [None, None]


def test_a_dropped_picture_is_told_as_a_png_file(view: SheetView, hands: Hands, qtbot: QtBot) -> None:
    image = QImage(7, 5, QImage.Format.Format_RGB32)
    image.fill(QColor("#336699"))
    data = QMimeData()
    data.setImageData(image)
    with qtbot.waitSignal(view.picture_dropped) as told:
        assert hands.drop(data, hands.px(80, 90))
    assert told.args is not None
    png, sheet_id, _ = told.args
    assert QImage.fromData(QByteArray(png)).size() == image.size()
    assert sheet_id == 1


def test_an_svg_from_another_program_is_taken_like_a_paste(
    bench: Workbench, view: SheetView, hands: Hands, monkeypatch: pytest.MonkeyPatch
) -> None:
    taken = Mock()
    monkeypatch.setattr(bench.art_import, "add_bytes", taken)
    data = QMimeData()
    data.setData("image/svg+xml", QByteArray(b"<svg xmlns='http://www.w3.org/2000/svg'/>"))
    assert hands.drop(data, hands.px(80, 90))
    (((name, _),), point), _ = taken.call_args
    assert name.endswith(".svg")
    assert point.sheet_id == 1


def test_the_sheet_beneath_is_framed_while_files_hover_and_no_longer_after(
    view: SheetView, hands: Hands
) -> None:
    items = view.sheet_scene.sheet_items
    assert hands.enter(files("/art/moth.svg"), hands.px(80, 90, sheet_id=2))
    assert [items[1].is_target, items[2].is_target] == [False, True]
    view.dragLeaveEvent(Mock())
    assert not items[2].is_target


@pytest.mark.parametrize("text", ["hello", ""])
def test_plain_text_is_not_taken(hands: Hands, text: str) -> None:
    data = QMimeData()
    data.setText(text)
    assert not hands.enter(data, hands.px(80, 90))


def test_links_to_other_machines_are_not_taken(hands: Hands) -> None:
    data = QMimeData()
    data.setUrls([QUrl("https://example.org/moth.svg")])
    assert not hands.enter(data, hands.px(80, 90))


def test_a_piece_from_the_list_is_placed_where_it_is_let_go_in_one_step(
    bench: Workbench, hands: Hands
) -> None:
    assert hands.drop(piece_mime(102), hands.px(80, 90, sheet_id=2))
    (placed,) = bench.document.job.sheet(2).placed
    assert placed.piece_id == 102
    assert (placed.pose.x_mm, placed.pose.y_mm) == pytest.approx((80.0, 90.0), abs=1.0)
    assert bench.selection.placed_ids == {placed.placed_id}
    assert bench.document.undo_stack.count() == 1
    assert bench.document.undo_stack.undoText() == "Place disc"


def test_a_piece_over_the_sheet_is_shown_with_its_room_before_it_is_let_go(
    bench: Workbench, view: SheetView, hands: Hands
) -> None:
    before = len(view.sheet_scene.items())
    assert hands.enter(piece_mime(102), hands.px(60, 60))
    assert len(view.sheet_scene.items()) == before + 1
    assert hands.shown_texts() == ["overlaps"]
    view.dragLeaveEvent(Mock())
    assert len(view.sheet_scene.items()) == before
    assert bench.document.undo_stack.count() == 0


def test_a_piece_let_go_on_bare_matte_is_placed_nowhere(bench: Workbench, hands: Hands) -> None:
    hands.drop(piece_mime(102), hands.px(-30, 60))
    assert bench.document.undo_stack.count() == 0


def test_a_dropped_piece_catches_on_the_edge_of_the_sheet(bench: Workbench, hands: Hands) -> None:
    bench.settings.change(snapping=True)
    hands.drop(piece_mime(102), hands.px(17, 150, sheet_id=2))
    (placed,) = bench.document.job.sheet(2).placed
    assert placed.pose.x_mm == pytest.approx(15.0)


@pytest.mark.parametrize("content", [b"999", b"", b"moth", b"-1", b"1" * 400, b"\xff\xfe"])
def test_an_unknown_piece_is_not_taken(hands: Hands, content: bytes) -> None:
    data = QMimeData()
    data.setData(PIECE_MIME, QByteArray(content))
    assert not hands.enter(data, hands.px(80, 90))
