"""The sheet's panel, the plan and the orders: fields and tables that change the job in one step each."""

import pytest
from PySide6.QtCore import QItemSelectionModel, QModelIndex, Qt
from pytestqt.qtbot import QtBot

from app.panels.current_sheet import CurrentSheet
from app.panels.orders_panel import OrdersPanel
from app.panels.placed_rows import PLACED_ID, placed_rows
from app.panels.plan_panel import PlanPanel
from app.panels.sheet_panel import SheetPanel
from app.panels.table_model import TableModel
from app.wiring import Workbench
from layout_core.job import edits
from layout_core.units import mm
from tests.app.panels.conftest import Keep
from tests.window_kit import settle

pytestmark = pytest.mark.gui


@pytest.fixture
def current(bench: Workbench) -> CurrentSheet:
    return CurrentSheet(bench.document, bench.selection)


@pytest.fixture
def panel(keep: Keep, bench: Workbench, current: CurrentSheet) -> SheetPanel:
    made = SheetPanel(bench, current)
    keep(made)
    made.resize(300, 900)
    made.show()
    return made


def texts(model: TableModel) -> list[list[str]]:
    return [
        [str(model.index(row, column).data()) for column in range(model.columnCount())]
        for row in range(model.rowCount())
    ]


def test_the_list_holds_everything_on_the_sheet_in_reading_order(bench: Workbench) -> None:
    job = edits.lock_placed(bench.document.job, [bench.document.job.sheets[0].placed[1].placed_id], True)
    assert [row.text for row in placed_rows(job, job.sheets[0], "in")] == [
        "Block & tackle · 2.76, 2.36 in",
        "Block & tackle · 7.09, 2.36 in · locked",
        "Ring of a very long name that no row can hold · 3.15, 6.3 in",
    ]
    turned = edits.turn_placed(job, [job.sheets[0].placed[0].placed_id], 90)
    assert placed_rows(turned, turned.sheets[0], "mm")[0].text == "Block & tackle · 70, 60 mm · 90°"


def test_the_list_is_the_twin_of_the_canvas_selection(panel: SheetPanel, bench: Workbench) -> None:
    first, second, _ = (panel.model.index(row) for row in range(3))
    flags = QItemSelectionModel.SelectionFlag
    panel.list.selectionModel().select(first, flags.ClearAndSelect)
    panel.list.selectionModel().select(second, flags.Select)
    assert bench.selection.placed_ids == {first.data(PLACED_ID), second.data(PLACED_ID)}
    assert panel.list_head.text() == "On this sheet · 2 of 3 pieces chosen"
    bench.selection.choose_placed([bench.document.job.sheets[0].placed[2].placed_id])
    assert panel.list_head.text() == "On this sheet · 3 pieces"
    assert [index.row() for index in panel.list.selectionModel().selectedIndexes()] == [2]


def test_length_run_and_gap_are_one_step_each(panel: SheetPanel, bench: Workbench, qtbot: QtBot) -> None:
    for field, text in ((panel.length_field, "24"), (panel.gap, "1/8"), (panel.run, "30")):
        field.setFocus()
        field.selectAll()
        qtbot.keyClicks(field, text)
        qtbot.keyClick(field, Qt.Key.Key_Return)
    sheet = bench.document.job.sheets[0]
    assert (sheet.length_mm, sheet.gap_mm, sheet.run) == (pytest.approx(mm(24)), pytest.approx(mm(0.125)), 30)
    assert bench.document.undo_stack.count() == 3


def test_a_length_nobody_offers_is_refused_with_the_range(
    panel: SheetPanel, bench: Workbench, qtbot: QtBot
) -> None:
    told: list[str] = []
    panel.refused.connect(told.append)
    panel.length_field.setFocus()
    panel.length_field.selectAll()
    qtbot.keyClicks(panel.length_field, "70")
    qtbot.keyClick(panel.length_field, Qt.Key.Key_Return)
    assert told == ["Length is 70 in; choose from 12 in to 60 in"]
    assert bench.document.undo_stack.count() == 0


def test_a_run_below_the_smallest_says_so(panel: SheetPanel, bench: Workbench) -> None:
    assert panel.run_note.text() == ""
    panel.run.setValue(5)
    assert panel.run_note.text() == "below the smallest run of 6"


def test_a_cramped_pair_shows_in_the_smallest_gap(panel: SheetPanel, bench: Workbench, qtbot: QtBot) -> None:
    """By hand: blocks 3.75 in wide with middles 4 in apart leave 0.25 in; nudged 0.1 in closer, 0.15 in."""
    first, second, _ = bench.document.job.sheets[0].placed
    bench.document.apply(
        "near", lambda job: edits.set_poses(job, {second.placed_id: first.pose.shifted(mm(4), 0)})
    )
    settle(qtbot, bench)
    assert panel.text_of("Smallest gap") == "0.25 in or more"
    bench.document.apply("nearer", lambda job: edits.move_placed(job, [second.placed_id], mm(-0.1), 0))
    settle(qtbot, bench)
    assert panel.text_of("Smallest gap") == "0.15 in · below 0.25"


def test_the_current_sheet_follows_the_selection_and_a_removed_sheet(
    bench: Workbench, current: CurrentSheet
) -> None:
    first = current.sheet_id
    bench.document.apply("add", edits.add_sheet)
    second = bench.document.job.sheets[1].sheet_id
    current.choose(second)
    assert current.sheet_id == second
    bench.selection.choose_placed([bench.document.job.sheets[0].placed[0].placed_id])
    assert current.sheet_id == first
    current.choose(second)
    bench.document.undo_stack.undo()
    assert current.sheet_id == first
    current.choose(999_999)
    assert current.sheet_id == first


def test_the_plan_shows_runs_totals_and_spares(keep: Keep, bench: Workbench) -> None:
    plan = PlanPanel(bench)
    keep(plan)
    assert texts(plan.sheets) == [
        ["Sheet A", "11.25 × 19 in", "3", texts(plan.sheets)[0][3], "12", "2565.0 sq in"]
    ]
    assert texts(plan.pieces)[0] == ["Block & tackle", "2", "24", "24", "0"]
    assert texts(plan.pieces)[1][1:] == ["1", "12", "stock", "12"]
    assert (
        plan.summary.text() == "12 sheets to print, 228 in of film. Every order is covered, with 12 spares."
    )


def test_a_run_edited_in_the_table_is_one_step_and_tells_the_shortfall(keep: Keep, bench: Workbench) -> None:
    plan = PlanPanel(bench)
    keep(plan)
    assert plan.sheets.setData(plan.sheets.index(0, 4), 10)
    assert bench.document.job.sheets[0].run == 10
    assert bench.document.undo_stack.undoText() == "Run of Sheet A"
    assert "4 ordered copies short" in plan.summary.text()
    assert texts(plan.pieces)[0][4] == "4 short"
    refused: list[str] = []
    plan.refused.connect(refused.append)
    assert not plan.sheets.setData(plan.sheets.index(0, 4), "many")
    assert len(refused) == 1
    assert not plan.sheets.flags(plan.sheets.index(0, 0)) & Qt.ItemFlag.ItemIsEditable


def test_an_empty_job_has_no_plan_but_a_next_step(keep: Keep, bench: Workbench) -> None:
    plan = PlanPanel(bench)
    keep(plan)
    plan.show()
    bench.document.start_new()
    assert not plan.sheet_table.isVisible()


def test_order_lines_are_edited_as_people_write_sizes(keep: Keep, bench: Workbench) -> None:
    orders = OrdersPanel(bench)
    keep(orders)
    assert texts(orders.lines) == [["Block & tackle", "tee", "black", "not said", "M 12, L 12", "24"]]
    assert orders.lines.setData(orders.lines.index(0, 4), "S 2; M 10")
    assert bench.document.job.orders[0].lines[0].sizes == (("S", 2), ("M", 10))
    refused: list[str] = []
    orders.refused.connect(refused.append)
    assert not orders.lines.setData(orders.lines.index(0, 4), "lots")
    assert "write them like" in refused[0]
    assert orders.lines.setData(orders.lines.index(0, 2), "navy")
    assert bench.document.job.orders[0].lines[0].garment_colour == "navy"


def test_orders_and_lines_are_added_renamed_and_removed(keep: Keep, bench: Workbench, qtbot: QtBot) -> None:
    orders = OrdersPanel(bench)
    keep(orders)
    orders.show()
    before = bench.document.job
    qtbot.mouseClick(orders.add_button, Qt.MouseButton.LeftButton)
    assert orders.order == bench.document.job.orders[1]
    orders.name.selectAll()
    qtbot.keyClicks(orders.name, "Tide walk")
    qtbot.keyClick(orders.name, Qt.Key.Key_Return)
    assert bench.document.job.orders[1].name == "Tide walk"
    qtbot.mouseClick(orders.add_line_button, Qt.MouseButton.LeftButton)
    assert len(bench.document.job.orders[1].lines) == 1
    qtbot.mouseClick(orders.remove_line_button, Qt.MouseButton.LeftButton)
    assert bench.document.job.orders[1].lines == ()
    qtbot.mouseClick(orders.remove_button, Qt.MouseButton.LeftButton)
    assert len(bench.document.job.orders) == 1
    while bench.document.undo_stack.canUndo():
        bench.document.undo_stack.undo()
    assert bench.document.job == before


def test_a_table_cell_says_its_column_to_a_screen_reader(keep: Keep, bench: Workbench) -> None:
    plan = PlanPanel(bench)
    keep(plan)
    index: QModelIndex = plan.pieces.index(0, 2)
    assert index.data(Qt.ItemDataRole.AccessibleTextRole) == "Made: 24"
