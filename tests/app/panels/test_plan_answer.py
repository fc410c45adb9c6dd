"""The plan station seeks the cheapest plan, says what is proven, lays it out in one step, saves quotes."""

import csv
import threading
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.panels.plan_panel import PlanPanel
from app.panels.plan_words import rail_words
from app.planning import Worked
from app.wiring import Workbench
from layout_core.job import edits
from layout_core.plan.prices import load_prices
from layout_core.plan.run_plan import run_plan
from tests.app.panels.conftest import Keep
from tests.patience import WAIT_MS, WAIT_S
from tests.window_kit import shop_job

pytestmark = pytest.mark.gui

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def panel(keep: Keep, bench: Workbench, qtbot: QtBot) -> PlanPanel:
    made = PlanPanel(bench)
    made.resize(900, 1200)
    keep(made)
    return made


def work_out(panel: PlanPanel, qtbot: QtBot) -> Worked:
    with qtbot.waitSignal(panel.planning.changed, timeout=WAIT_MS):
        QTest.mouseClick(panel.answer.work_out, LEFT)
    qtbot.waitUntil(lambda: not panel.planning.is_running)
    assert panel.planning.worked is not None
    return panel.planning.worked


def test_the_plan_says_its_cost_and_what_nobody_can_go_below(panel: PlanPanel, qtbot: QtBot) -> None:
    assert not panel.answer.lay_out.isVisible()
    plan = work_out(panel, qtbot).plan
    answer = panel.answer
    assert f"${plan.cost}" in answer.cost.text()
    assert f"${(plan.cost / 24).quantize(Decimal('0.01'))} an ordered print" in answer.cost.text()
    assert f"Nobody can go below ${plan.floor}" in answer.floor.text()
    assert "invented example" in answer.cautions.text()
    assert len(answer.bars) == len(plan.sheets)
    assert all(0 < bar.value() <= 100 for bar in answer.bars)


def test_a_plan_follows_the_wish_for_autopack_and_says_when_it_changed(
    panel: PlanPanel, bench: Workbench, qtbot: QtBot
) -> None:
    assert work_out(panel, qtbot).plan.wish.use_holes
    assert "wish for autopack" not in panel.answer.cautions.text()
    bench.settings.change(pack_in_holes=False)
    qtbot.waitUntil(lambda: "is now no use of holes" in panel.answer.cautions.text(), timeout=WAIT_MS)
    bench.settings.change(pack_straight_cuts=True)
    qtbot.waitUntil(lambda: "is now straight cuts only" in panel.answer.cautions.text(), timeout=WAIT_MS)
    assert work_out(panel, qtbot).plan.wish.straight_cuts
    assert "wish for autopack" not in panel.answer.cautions.text()


def test_laying_the_plan_out_is_one_step_and_covers_the_order(
    panel: PlanPanel, bench: Workbench, qtbot: QtBot
) -> None:
    before = bench.document.job
    plan = work_out(panel, qtbot).plan
    QTest.mouseClick(panel.answer.lay_out, LEFT)
    assert bench.document.undo_stack.count() == 1
    assert [sheet.run for sheet in bench.document.job.sheets] == [sheet.run for sheet in plan.sheets]
    block = before.pieces[0].piece_id
    made = sum(
        sheet.run * sum(placed.piece_id == block for placed in sheet.placed)
        for sheet in bench.document.job.sheets
    )
    assert made == plan.pieces[0].made >= 24
    assert panel.planning.is_current
    bench.document.undo_stack.undo()
    assert bench.document.job == before


def test_a_plan_for_other_orders_cannot_be_laid_out(panel: PlanPanel, bench: Workbench, qtbot: QtBot) -> None:
    work_out(panel, qtbot)
    order = bench.document.job.orders[0]
    bench.document.apply("Remove", lambda job: edits.remove_order(job, order.order_id))
    assert not panel.answer.lay_out.isEnabled()
    assert not panel.answer.quotes.isEnabled()
    assert "changed since this plan" in panel.answer.cautions.text()
    assert not panel.answer.work_out.isEnabled()


def test_locked_copies_are_told_and_nothing_is_lost(panel: PlanPanel, bench: Workbench, qtbot: QtBot) -> None:
    placed = bench.document.job.sheets[0].placed[0]
    bench.document.apply("Lock", lambda job: edits.lock_placed(job, [placed.placed_id], True))
    locked = bench.document.job
    work_out(panel, qtbot)
    with qtbot.waitSignal(bench.notices.told):
        QTest.mouseClick(panel.answer.lay_out, LEFT)
    assert bench.document.job == locked
    assert bench.notices.last is not None
    assert "locked" in bench.notices.last.text


def test_stop_ends_the_search_and_leaves_the_job(
    panel: PlanPanel, bench: Workbench, monkeypatch: pytest.MonkeyPatch, qtbot: QtBot
) -> None:
    begun, finish = threading.Event(), threading.Event()

    def waiting(*args: object, **options: object) -> object:
        begun.set()
        finish.wait(WAIT_S)
        return run_plan(*args, **options)  # type: ignore[arg-type]

    monkeypatch.setattr("app.planning.run_plan", waiting)
    before = bench.document.job
    QTest.mouseClick(panel.answer.work_out, LEFT)
    assert begun.wait(WAIT_S)
    assert panel.answer.stop.isVisible()
    QTest.mouseClick(panel.answer.stop, LEFT)
    finish.set()
    qtbot.waitUntil(lambda: not panel.planning.is_running)
    assert panel.planning.worked is None
    assert bench.document.job is before
    assert panel.answer.work_out.isVisible()


def test_quotes_are_saved_for_each_order(panel: PlanPanel, tmp_path: Path, qtbot: QtBot) -> None:
    worked = work_out(panel, qtbot)
    with qtbot.waitSignal(panel.said) as told:
        panel.answer.save_quotes(tmp_path / "quotes")
    assert "2 files" in told.args[0]
    names = sorted(path.name for path in (tmp_path / "quotes").iterdir())
    assert [Path(name).suffix for name in names] == [".csv", ".pdf"]
    text = (tmp_path / "quotes" / names[0]).read_text("utf-8-sig")
    assert any(str(worked.orders[0].total) in cell for row in csv.reader(text.splitlines()) for cell in row)
    blocked = tmp_path / "file"
    blocked.write_text("in the way")
    with qtbot.waitSignal(panel.refused):
        panel.answer.save_quotes(blocked)


def test_the_rail_names_the_cost_of_a_print_at_the_shops_own_prices_only() -> None:
    """24 blocks on 12 sheets of 11.25 x 24 in: 12 x 9.40 + 20.00 + 12.00 = 144.80, 6.03 a print."""
    example = load_prices()
    job = shop_job()
    job = edits.change_sheet(job, job.sheets[0].sheet_id, width_mm=285.0, length_mm=600.0)
    assert rail_words(job, example, 24) is None
    assert rail_words(job, replace(example, is_example=False), 24) == "$6.03 a piece"
