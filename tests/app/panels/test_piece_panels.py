"""The piece list, the piece's panel and the light table follow the job and change it in named steps."""

import pytest
from PySide6.QtCore import QModelIndex, Qt
from pytestqt.qtbot import QtBot

from app.panels.art_and_pieces import ArtAndPieces
from app.panels.light_table import LightTable
from app.panels.piece_panel import PiecePanel
from app.panels.piece_rows import ID_ROLE
from app.widgets.finding_card import FindingCard
from app.wiring import Workbench
from layout_core.job import edits
from layout_core.job.model import Piece
from layout_core.units import mm
from tests.app.panels.conftest import Keep
from tests.window_kit import settle

pytestmark = pytest.mark.gui


@pytest.fixture
def block(bench: Workbench) -> Piece:
    return bench.document.job.pieces[0]


@pytest.fixture
def rows(keep: Keep, bench: Workbench) -> ArtAndPieces:
    made = ArtAndPieces(bench)
    keep(made)
    made.resize(268, 600)
    made.show()
    return made


@pytest.fixture
def panel(keep: Keep, bench: Workbench) -> PiecePanel:
    made = PiecePanel(bench)
    keep(made)
    bench.selection.choose_piece(bench.document.job.pieces[0].piece_id)
    made.resize(300, 900)
    made.show()
    return made


def spoken(rows: ArtAndPieces, row: int) -> str:
    return str(rows.model.index(row, 0, QModelIndex()).data(Qt.ItemDataRole.AccessibleTextRole))


def now(bench: Workbench) -> Piece:
    """The chosen piece as it is in the job."""
    assert bench.selection.piece_id is not None
    return bench.document.job.piece(bench.selection.piece_id)


def test_each_row_says_in_words_all_that_is_painted(rows: ArtAndPieces) -> None:
    assert spoken(rows, 0) == "Block & tackle, Left chest · adult · 3.75 in, 24 on order, for the shop"
    assert spoken(rows, 2).startswith("Pünktchen, Nape")


def test_rows_follow_the_unit_and_the_job(rows: ArtAndPieces, bench: Workbench) -> None:
    bench.settings.change(unit="mm")
    assert "95.2 mm" in spoken(rows, 0)
    bench.document.undo_stack.clear()
    rows.remove(bench.document.job.pieces[2].piece_id)
    assert rows.model.rowCount() == 2
    bench.document.undo_stack.undo()
    assert rows.model.rowCount() == 3


def test_choosing_works_both_ways(rows: ArtAndPieces, bench: Workbench, qtbot: QtBot) -> None:
    ring = bench.document.job.pieces[1]
    at = rows.list.visualRect(rows.model.index(1, 0)).center()
    qtbot.mouseClick(rows.list.viewport(), Qt.MouseButton.LeftButton, pos=at)
    assert bench.selection.piece_id == ring.piece_id
    bench.selection.choose_placed([bench.document.job.sheets[0].placed[0].placed_id])
    assert rows.list.currentIndex().data(ID_ROLE) == bench.document.job.pieces[0].piece_id
    assert bench.selection.placed_ids
    bench.selection.clear()
    assert not rows.list.selectionModel().hasSelection()


def test_enter_and_double_click_ask_for_a_copy(
    rows: ArtAndPieces, bench: Workbench, block: Piece, qtbot: QtBot
) -> None:
    bench.selection.choose_piece(block.piece_id)
    with qtbot.waitSignal(rows.lay_asked) as asked:
        qtbot.keyClick(rows.list, Qt.Key.Key_Return)
    assert asked.args == [block.piece_id]
    at = rows.list.visualRect(rows.model.index(1, 0)).center()
    qtbot.mouseClick(rows.list.viewport(), Qt.MouseButton.LeftButton, pos=at)
    with qtbot.waitSignal(rows.lay_asked) as asked:
        qtbot.mouseDClick(rows.list.viewport(), Qt.MouseButton.LeftButton, pos=at)
    assert asked.args == [bench.document.job.pieces[1].piece_id]


def test_a_dragged_row_carries_the_piece_id(rows: ArtAndPieces, block: Piece) -> None:
    data = rows.model.mimeData([rows.model.index(0, 0)])
    assert bytes(data.data("application/x-duskwright-piece").data()) == str(block.piece_id).encode()


def test_without_art_the_list_gives_way_to_what_to_do_next(rows: ArtAndPieces, bench: Workbench) -> None:
    bench.document.start_new()
    assert rows.list.isHidden()


def test_placement_and_garment_size_bring_their_width(panel: PiecePanel, bench: Workbench) -> None:
    panel.placement.setCurrentIndex(panel.placement.findData("sleeve"))
    panel.placement.activated.emit(panel.placement.currentIndex())
    assert (now(bench).placement, now(bench).width_mm) == ("sleeve", pytest.approx(mm(3)))
    assert bench.document.undo_stack.count() == 1
    panel.garment_size.setCurrentIndex(panel.garment_size.findData("youth"))
    panel.garment_size.activated.emit(panel.garment_size.currentIndex())
    assert now(bench).width_mm == pytest.approx(mm(2.5))


def test_a_size_the_placement_lacks_gives_way_to_one_it_has(panel: PiecePanel, bench: Workbench) -> None:
    panel.garment_size.setCurrentIndex(panel.garment_size.findData("toddler"))
    panel.garment_size.activated.emit(0)
    assert now(bench).garment_size == "toddler"
    panel.placement.setCurrentIndex(panel.placement.findData("sleeve"))
    panel.placement.activated.emit(0)
    assert (now(bench).placement, now(bench).garment_size) == ("sleeve", "adult")


def test_every_typed_change_is_one_named_undo_step(panel: PiecePanel, bench: Workbench, qtbot: QtBot) -> None:
    before = bench.document.job
    for field, text in ((panel.name, "Tackle"), (panel.width_field, "4 1/4"), (panel.copies, "7")):
        field.setFocus()
        field.selectAll()
        qtbot.keyClicks(field, text)
        qtbot.keyClick(field, Qt.Key.Key_Return)
    assert (now(bench).name, now(bench).copies) == ("Tackle", 7)
    assert now(bench).width_mm == pytest.approx(mm(4.25))
    stack = bench.document.undo_stack
    assert [stack.text(at) for at in range(stack.count())] == [
        "Rename Block & tackle", "Width of Tackle", "Copies of Tackle",
    ]  # fmt: skip
    for _ in range(3):
        stack.undo()
    assert bench.document.job == before


def test_an_empty_name_is_refused_and_the_old_one_shown(
    panel: PiecePanel, bench: Workbench, qtbot: QtBot
) -> None:
    panel.name.setFocus()
    panel.name.selectAll()
    with qtbot.waitSignal(bench.document.refused):
        qtbot.keyClick(panel.name, Qt.Key.Key_Delete)
        qtbot.keyClick(panel.name, Qt.Key.Key_Return)
    assert panel.name.text() == "Block & tackle"


def test_filler_and_order_are_changed_by_their_fields(panel: PiecePanel, bench: Workbench) -> None:
    panel.filler.click()
    assert now(bench).filler
    panel.order.setCurrentIndex(1)
    panel.order.activated.emit(1)
    assert now(bench).order_id == bench.document.job.orders[0].order_id


def test_turn_place_and_lock_speak_of_the_chosen_copy(
    panel: PiecePanel, bench: Workbench, qtbot: QtBot
) -> None:
    copy = bench.document.job.sheets[0].placed[0]
    assert not panel.placed.from_left.isEnabled()
    bench.selection.choose_placed([copy.placed_id])
    assert panel.placed.from_left.text() == "2.756 in"
    panel.placed.turn.setValue(90.0)
    panel.placed.from_left.setFocus()
    panel.placed.from_left.selectAll()
    qtbot.keyClicks(panel.placed.from_left, "3 in")
    qtbot.keyClick(panel.placed.from_left, Qt.Key.Key_Return)
    moved = bench.document.job.placed(copy.placed_id).pose
    assert (moved.x_mm, moved.y_mm, moved.turn_deg) == (pytest.approx(mm(3)), copy.pose.y_mm, 90.0)
    panel.placed.locked.click()
    assert bench.document.job.placed(copy.placed_id).locked
    assert not panel.placed.turn.isEnabled()


def test_a_copy_goes_to_another_sheet_by_its_field(panel: PiecePanel, bench: Workbench) -> None:
    copy = bench.document.job.sheets[0].placed[0]
    assert panel.sheet_row.isHidden()
    bench.document.apply("add", edits.add_sheet)
    bench.selection.choose_placed([copy.placed_id])
    assert not panel.sheet_row.isHidden()
    panel.placed.sheet.setCurrentIndex(1)
    panel.placed.sheet.activated.emit(1)
    assert bench.document.job.sheet_of(copy.placed_id) == bench.document.job.sheets[1]
    assert bench.document.job.placed(copy.placed_id).pose == copy.pose
    assert bench.document.undo_stack.undoText() == "Move to Sheet B"


def test_without_a_copy_the_turn_is_that_of_the_piece(panel: PiecePanel, bench: Workbench) -> None:
    panel.placed.turn.setValue(180.0)
    assert now(bench).turn_deg == 180.0
    assert bench.document.job.sheets[0].placed[0].pose.turn_deg == 0.0


def test_what_the_printer_sees_is_told_at_the_size(panel: PiecePanel, bench: Workbench, qtbot: QtBot) -> None:
    """By hand: 3.75 x 3 in of solid ink is 11.25 sq in; a solid block has no fine line and no gap."""
    settle(qtbot, bench)
    assert panel.printer.text_of("Ink area") == "11.2 sq in in 1 part"
    assert panel.printer.text_of("Finest line") == "0.02 in or more"
    assert panel.printer.text_of("Finest gap") == "0.028 in or more"
    assert panel.printer.text_of("Resolution") == "outlines, sharp at any size"


def test_findings_of_the_piece_stand_as_cards(panel: PiecePanel, bench: Workbench, qtbot: QtBot) -> None:
    settle(qtbot, bench)
    assert panel.findChildren(FindingCard) == []
    panel.copies.setValue(9)
    settle(qtbot, bench)

    def names() -> list[str]:
        return [card.accessibleName() for card in panel.findChildren(FindingCard) if not card.isHidden()]

    qtbot.waitUntil(lambda: len(names()) == 1)
    assert names()[0].startswith("caution: Copies differ")


def test_the_light_table_shows_the_chosen_piece_and_says_so(keep: Keep, bench: Workbench) -> None:
    table = LightTable(bench)
    keep(table)
    table.resize(600, 400)
    assert table.accessibleName() == "Light table: Block & tackle, 3.75 × 3 in"
    image = table.grab().toImage()
    middle = image.pixelColor(image.width() // 2, image.height() // 2).name()
    assert middle == bench.theme.ink.lower()
    bench.selection.choose_piece(bench.document.job.pieces[1].piece_id)
    image = table.grab().toImage()
    assert image.pixelColor(image.width() // 2, image.height() // 2).name() == bench.theme.film.lower()
