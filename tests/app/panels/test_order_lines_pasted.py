"""Order lines come from a spreadsheet or a CSV file in one step, and nothing is guessed."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.panels.orders_panel import OrdersPanel
from app.wiring import Workbench
from layout_core.job import edits
from tests.app.panels.conftest import Keep

pytestmark = pytest.mark.gui

LEFT = Qt.MouseButton.LeftButton
HEADS = "design\tplacement\tgarment\tcolour\tYM\tM\tL"


@pytest.fixture
def panel(keep: Keep, bench: Workbench) -> OrdersPanel:
    made = OrdersPanel(bench)
    made.resize(900, 400)
    keep(made)
    return made


def sizes_by_piece(bench: Workbench, order: int = 0) -> list[tuple[str, tuple[tuple[str, int], ...]]]:
    job = bench.document.job
    return [(job.piece(line.piece_id).garment_size, line.sizes) for line in job.orders[order].lines]


def test_pasted_rows_make_lines_and_a_piece_for_each_width_in_one_step(
    panel: OrdersPanel, bench: Workbench
) -> None:
    before = bench.document.job
    bench.app.clipboard().setText(f"{HEADS}\nBlock & tackle\tfull front\ttee\tnavy\t5\t12\t8\n")
    QTest.mouseClick(panel.paste_button, LEFT)
    assert bench.document.undo_stack.count() == 1
    assert sizes_by_piece(bench)[1:] == [("youth", (("YM", 5),)), ("adult", (("M", 12), ("L", 8)))]
    assert panel.lines.rowCount() == 3
    assert panel.total.text() == "49 garments"
    bench.document.undo_stack.undo()
    assert bench.document.job == before


def test_lines_of_a_file_begin_an_order_where_there_is_none(
    panel: OrdersPanel, bench: Workbench, tmp_path: Path
) -> None:
    order = bench.document.job.orders[0]
    bench.document.apply("Remove", lambda job: edits.remove_order(job, order.order_id))
    path = tmp_path / "lines.csv"
    path.write_text("Design,Placement,Garment,Color,M\nBlock & tackle,left chest,tee,black,6\n", "utf-8")
    panel.read_lines(path)
    assert [one.name for one in bench.document.job.orders] == ["Order 1"]
    assert sizes_by_piece(bench) == [("adult", (("M", 6),))]
    assert panel.table.isVisible()


@pytest.mark.parametrize(
    ("text", "named"),
    [
        (f"{HEADS}\tshoe\nBlock & tackle\tfull front\ttee\tnavy\t\t1\t\t1", "shoe"),
        (f"{HEADS}\nBlock & tackle\tfull front\ttee\tnavy\t\ttwelve\t", "twelve"),
        ("", "nothing"),
    ],
)
def test_what_cannot_be_read_is_named_and_changes_nothing(
    panel: OrdersPanel, bench: Workbench, text: str, named: str
) -> None:
    before, refused = bench.document.job, list[str]()
    panel.refused.connect(refused.append)
    bench.app.clipboard().setText(text)
    QTest.mouseClick(panel.paste_button, LEFT)
    assert len(refused) == 1
    assert named in refused[0]
    assert bench.document.job is before


def test_an_unknown_design_is_told_with_its_row(panel: OrdersPanel, bench: Workbench) -> None:
    before = bench.document.job
    bench.app.clipboard().setText(f"{HEADS}\nlantern\tfull front\ttee\tnavy\t\t3\t")
    QTest.mouseClick(panel.paste_button, LEFT)
    assert bench.document.job is before
    assert bench.notices.last is not None
    assert "Row 2" in bench.notices.last.text
    assert "lantern" in bench.notices.last.text
