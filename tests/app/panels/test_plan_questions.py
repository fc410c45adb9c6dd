"""What if at the plan station: more garments, an inch more of sheet, room left, and the price list."""

import re
from pathlib import Path

import pytest
from PySide6.QtCore import Qt, QUrl
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QProgressBar
from pytestqt.qtbot import QtBot

from app.panels.plan_panel import PlanPanel
from app.wiring import Workbench
from layout_core.job import edits
from layout_core.plan.prices import load_prices
from tests.app.panels.conftest import Keep
from tests.window_kit import WAIT_MS

pytestmark = pytest.mark.gui

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def panel(keep: Keep, bench: Workbench, qtbot: QtBot) -> PlanPanel:
    made = PlanPanel(bench)
    made.resize(1000, 1200)
    keep(made)
    with qtbot.waitSignal(made.planning.changed, timeout=WAIT_MS):
        QTest.mouseClick(made.answer.work_out, LEFT)
    qtbot.waitUntil(lambda: not made.planning.is_running, timeout=WAIT_MS)
    return made


def asked(panel: PlanPanel, qtbot: QtBot) -> str:
    qtbot.waitUntil(lambda: bool(panel.planning.answer) and not panel.planning.is_running, timeout=WAIT_MS)
    return panel.answer.questions.answer.text()


def test_six_more_are_asked_for_the_order_in_view_and_the_job_stays(
    panel: PlanPanel, bench: Workbench, qtbot: QtBot
) -> None:
    before = bench.document.job
    questions = panel.answer.questions
    assert questions.more.value() == 6
    assert questions.order.currentText() == "Moth night"
    QTest.mouseClick(questions.ask_more, LEFT)
    words = asked(panel, qtbot)
    assert words.startswith("6 more for Moth night: the sheets cost ")
    assert re.search(r"The order then pays \$[\d.]+, \$[\d.]+ more than now, about \$[\d.]+ a garment", words)
    assert questions.answer.isVisible()
    assert bench.document.job is before


def test_an_inch_more_of_sheet_is_priced(panel: PlanPanel, qtbot: QtBot) -> None:
    QTest.mouseClick(panel.answer.questions.ask_longer, LEFT)
    assert asked(panel, qtbot).startswith("One more inch of sheet: ")


def test_the_answer_goes_when_the_job_changes(panel: PlanPanel, bench: Workbench, qtbot: QtBot) -> None:
    questions = panel.answer.questions
    QTest.mouseClick(questions.ask_more, LEFT)
    asked(panel, qtbot)
    order = bench.document.job.orders[0]
    bench.document.apply("Remove", lambda job: edits.remove_order(job, order.order_id))
    assert not questions.answer.isVisible()
    assert not questions.ask_more.isEnabled()
    assert not questions.ask_longer.isEnabled()


def test_an_answer_leaves_no_bars_of_before_behind(panel: PlanPanel, qtbot: QtBot) -> None:
    QTest.mouseClick(panel.answer.questions.ask_longer, LEFT)
    asked(panel, qtbot)
    qtbot.waitUntil(lambda: all(bar.isVisible() for bar in panel.answer.bars))
    shown = [bar for bar in panel.answer.findChildren(QProgressBar) if bar.isVisible()]
    assert len(shown) == len(panel.answer.bars) > 0


def test_the_panel_needs_no_more_width_than_a_narrow_window_has(panel: PlanPanel) -> None:
    assert panel.body.minimumSizeHint().width() <= 446


def test_each_sheet_says_what_else_would_fit(panel: PlanPanel) -> None:
    worked = panel.planning.worked
    assert worked is not None
    assert len(worked.rooms) == len(worked.plan.sheets)
    room = worked.rooms[0]
    assert sum(count for _, count in room.with_inch) >= sum(count for _, count in room.now)


def test_the_price_list_opens_as_ones_own_copy(
    panel: PlanPanel, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, qtbot: QtBot
) -> None:
    monkeypatch.setattr("layout_core.tables.config_folder", lambda: tmp_path)
    opened: list[str] = []

    def opens(url: QUrl) -> bool:
        opened.append(url.toLocalFile())
        return True

    questions = panel.answer.questions
    questions.open_file = opens
    with qtbot.waitSignal(panel.said) as told:
        QTest.mouseClick(questions.price_list, LEFT)
    assert opened == [str(tmp_path / "prices.toml").replace("\\", "/")]
    assert "work out the plan again" in told.args[0]
    own = (tmp_path / "prices.toml").read_text(encoding="utf-8")
    (tmp_path / "prices.toml").write_text(own.replace('currency = "$"', 'currency = "EUR"'), encoding="utf-8")
    assert load_prices().currency == "EUR"
    questions.open_file = lambda url: False
    with qtbot.waitSignal(panel.refused):
        QTest.mouseClick(questions.price_list, LEFT)
