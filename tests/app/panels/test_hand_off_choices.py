"""The hand-off station's choices: print options, sign-off, stops, the proof as pages, fabric of a line."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from app.panels.hand_off_panel import HandOffPanel
from app.panels.orders_panel import OrdersPanel
from app.panels.proof_maker import ProofMaker
from app.panels.proof_view import ProofView
from app.panels.station_figures import stations
from app.planning import Planning
from app.widgets.finding_card import FindingCard
from app.widgets.marks import Mark
from app.wiring import Workbench
from layout_core.checks.run import check_job
from layout_core.job import edits
from layout_core.job.approvals import approval_state, printable_digest, shown_digest
from layout_core.job.printing import PrintOptions
from layout_core.units import mm
from tests.app.panels.conftest import Keep
from tests.window_kit import WAIT_MS, settle

pytestmark = pytest.mark.gui
LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def maker(bench: Workbench) -> ProofMaker:
    return ProofMaker(bench)


@pytest.fixture
def panel(keep: Keep, bench: Workbench, maker: ProofMaker, qtbot: QtBot) -> HandOffPanel:
    made = HandOffPanel(bench, maker)
    keep(made)
    made.resize(320, 1400)
    settle(qtbot, bench)
    return made


def printing(bench: Workbench) -> PrintOptions:
    return bench.document.job.printing


def test_underbase_with_its_choke_in_thousandths_is_chosen_and_undone(
    panel: HandOffPanel, bench: Workbench, qtbot: QtBot
) -> None:
    files = panel.print_files
    assert files.summary.text() == "GLOW, 600 dpi plates, cut lines, marks, slug"
    assert not files.body.isVisible()
    qtbot.mouseClick(files.open_button, LEFT)
    assert not files.choke_row.isVisible()
    qtbot.mouseClick(files.switches["has_underbase"], LEFT)
    assert printing(bench).has_underbase
    assert files.choke_row.isVisible()
    assert "underbase choked 4/1000 in" in files.summary.text()
    assert files.choke.text() == "4 thousandths of an inch"
    files.choke.setFocus()
    files.choke.selectAll()
    qtbot.keyClicks(files.choke, "6")
    qtbot.keyClick(files.choke, Qt.Key.Key_Return)
    assert printing(bench).choke_mm == pytest.approx(mm(0.006))
    bench.document.undo_stack.undo()
    bench.document.undo_stack.undo()
    assert printing(bench) == PrintOptions()
    assert not files.switches["has_underbase"].isChecked()


@pytest.mark.parametrize("name", ["has_cut_lines", "is_mirrored", "has_marks", "has_slug"])
def test_each_switch_is_one_step(panel: HandOffPanel, bench: Workbench, qtbot: QtBot, name: str) -> None:
    qtbot.mouseClick(panel.print_files.open_button, LEFT)
    before = getattr(printing(bench), name)
    qtbot.mouseClick(panel.print_files.switches[name], LEFT)
    assert getattr(printing(bench), name) is not before
    assert bench.document.undo_stack.count() == 1


def test_resolution_of_the_plates_is_chosen(panel: HandOffPanel, bench: Workbench, qtbot: QtBot) -> None:
    qtbot.mouseClick(panel.print_files.open_button, LEFT)
    dpi = panel.print_files.dpi
    dpi.setFocus()
    qtbot.keyClick(dpi, Qt.Key.Key_Down)
    assert printing(bench).dpi == 1200.0


def test_a_spot_name_no_press_reads_is_refused_in_words(
    panel: HandOffPanel, bench: Workbench, qtbot: QtBot
) -> None:
    said: list[str] = []
    panel.refused.connect(said.append)
    qtbot.mouseClick(panel.print_files.open_button, LEFT)
    field = panel.print_files.ink_spot
    field.selectAll()
    qtbot.keyClicks(field, "GLOW#1")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert "A-Z a-z 0-9 _ -" in said[0]
    assert printing(bench).ink_spot == "GLOW"
    assert field.text() == "GLOW"
    field.selectAll()
    qtbot.keyClicks(field, "LUMI 2")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert printing(bench).ink_spot == "LUMI 2"


def test_signing_withdrawing_and_a_void_approval_are_told(
    panel: HandOffPanel, bench: Workbench, qtbot: QtBot
) -> None:
    sign, order = panel.sign_off, bench.document.job.orders[0].order_id
    panel.whose.setCurrentIndex(1)
    panel.refresh()
    assert sign.state.text() == "Not signed"
    qtbot.mouseClick(sign.open_button, LEFT)
    assert not sign.sign_button.isEnabled()
    qtbot.keyClicks(sign.who, "R. Marsh")
    sign.signed_on.selectAll()
    qtbot.keyClicks(sign.signed_on, "3 May")
    qtbot.mouseClick(sign.sign_button, LEFT)
    assert approval_state(bench.document.job, order) == "holds"
    assert sign.state.text() == "Signed by R. Marsh, 3 May"
    assert shown_digest(printable_digest(bench.document.job, order)) in sign.detail.text()
    bench.document.apply("ink", lambda job: edits.set_ink_name(job, "Other glow"))
    assert sign.state.text() == "Approval void"
    assert sign.mark.mark is Mark.CAUTION
    assert "approval_void" in {one.rule.removesuffix(f"_{order}") for one in check_job(bench.document.job)}
    bench.document.undo_stack.undo()
    assert sign.state.text() == "Signed by R. Marsh, 3 May"
    qtbot.mouseClick(sign.withdraw_button, LEFT)
    assert bench.document.job.approvals == ()
    assert sign.state.text() == "Not signed"


def test_the_rail_counts_signatures_and_tells_a_void_one(bench: Workbench) -> None:
    job = edits.add_order(bench.document.job, "Second", "Other people")
    first = job.orders[0].order_id
    one = edits.sign_off(job, first, "R. Marsh", "3 May")
    assert stations(one, ())[-1].figure == "1 of 2 signed"
    both = edits.sign_off(one, job.orders[1].order_id, "I. Tern", "4 May")
    assert (stations(both, ())[-1].figure, stations(both, ())[-1].mark) == ("proof signed", Mark.CHECK)
    void = edits.set_ink_name(both, "Other glow")
    assert (stations(void, ())[-1].figure, stations(void, ())[-1].mark) == ("approval void", Mark.CAUTION)


def test_an_open_stop_is_waived_by_name_where_it_holds_up_the_hand_off(
    panel: HandOffPanel, bench: Workbench, qtbot: QtBot
) -> None:
    assert not panel.stops.isVisible()
    assert panel.folder_button.isEnabled()
    first, second, _ = bench.document.job.sheets[0].placed
    poses = {second.placed_id: first.pose.shifted(mm(1), 0)}
    bench.document.apply("on top", lambda job: edits.set_poses(job, poses))
    settle(qtbot, bench)
    assert panel.stops.isVisible()
    assert not panel.folder_button.isEnabled()
    (card,) = panel.stops.findChildren(FindingCard)
    panel.ensureWidgetVisible(card)
    qtbot.mouseClick(card.waive_button, LEFT)
    qtbot.keyClicks(card.who, "Iris")
    qtbot.keyClicks(card.reason, "cut from one film on purpose")
    qtbot.keyClick(card.reason, Qt.Key.Key_Return)
    assert [waiver.who for waiver in bench.document.job.waivers] == ["Iris"]
    assert not panel.stops.isVisible()
    assert panel.folder_button.isEnabled()


def test_pages_of_the_proof_are_shown_and_saved_as_pdf(
    panel: HandOffPanel, keep: Keep, bench: Workbench, maker: ProofMaker, qtbot: QtBot, tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    view = ProofView(bench, maker)
    keep(view)
    with qtbot.waitSignal(maker.made, timeout=WAIT_MS):
        qtbot.mouseClick(panel.form.button("pages"), LEFT)
    assert len(maker.pngs) > 1
    shown = [page for page in view.desk.pages if page.isVisible()]
    assert len(shown) == len(maker.pngs)
    assert not any(page.image.isNull() for page in shown)
    assert f"{len(shown)} pages" in view.caption.text()
    target = tmp_path / "tide"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(target), ""))
    with qtbot.waitSignal(maker.saved, timeout=WAIT_MS):
        qtbot.mouseClick(panel.save_button, LEFT)
    assert target.with_suffix(".pdf").read_bytes().startswith(b"%PDF")
    with qtbot.waitSignal(maker.made, timeout=WAIT_MS):
        qtbot.mouseClick(panel.form.button("picture"), LEFT)
    assert [page.isVisible() for page in view.desk.pages].count(True) == 1


def test_one_pdf_an_order_is_saved(
    panel: HandOffPanel, maker: ProofMaker, qtbot: QtBot, tmp_path: Path
) -> None:
    panel.form.set_current("pages")
    with qtbot.waitSignal(maker.saved, timeout=WAIT_MS):
        panel.save_each(tmp_path)
    (path,) = tmp_path.iterdir()
    assert path.name == "moth-night-tide-walk-moth-night-proof.pdf"
    assert not QImage.fromData(maker.pngs[0]).isNull()


def test_quotes_of_a_plan_that_is_worked_out_go_along(
    bench: Workbench, maker: ProofMaker, qtbot: QtBot, tmp_path: Path
) -> None:
    planning = Planning(bench.document, bench.tasks, bench.notices)
    planning.start(1)
    qtbot.waitUntil(lambda: planning.is_current, timeout=WAIT_MS)
    maker.priced = lambda: planning.worked
    with qtbot.waitSignal(maker.handed_off, timeout=WAIT_MS):
        maker.hand_off(tmp_path / "out")
    assert (tmp_path / "out" / "quote-moth-night.pdf").read_bytes().startswith(b"%PDF")


def test_the_fabric_of_a_line_is_said_in_its_row(keep: Keep, bench: Workbench) -> None:
    panel = OrdersPanel(bench)
    keep(panel)
    cell = panel.lines.index(0, 3)
    assert panel.lines.data(cell) == "not said"
    assert panel.lines.setData(cell, "polyester")
    assert bench.document.job.orders[0].lines[0].fabric == "polyester"
    assert bench.document.undo_stack.count() == 1
