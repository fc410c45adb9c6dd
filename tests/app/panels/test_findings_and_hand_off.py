"""The findings list, waivers in place, and proofs made in the background."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from app.panels.findings_panel import FindingsPanel
from app.panels.hand_off_panel import HandOffPanel
from app.panels.proof_maker import WIDEST_SHOWN_PX, ProofMaker
from app.panels.proof_view import ProofView
from app.widgets.finding_card import FindingCard
from app.wiring import Workbench
from layout_core.checks.findings import Finding
from layout_core.errors import LayoutError
from layout_core.job import edits
from layout_core.units import mm
from tests.app.panels.conftest import Keep
from tests.window_kit import WAIT_MS, settle

pytestmark = pytest.mark.gui


@pytest.fixture
def panel(keep: Keep, bench: Workbench, qtbot: QtBot) -> FindingsPanel:
    """Findings of a job with one overlap (a stop) and one copy too few (a caution)."""
    first, second, _ = bench.document.job.sheets[0].placed
    bench.document.apply(
        "on top", lambda job: edits.set_poses(job, {second.placed_id: first.pose.shifted(mm(1), 0)})
    )
    bench.document.apply("more", lambda job: edits.change_piece(job, job.pieces[1].piece_id, copies=2))
    made = FindingsPanel(bench)
    keep(made)
    made.resize(300, 800)
    made.show()
    settle(qtbot, bench)
    return made


def cards(panel: FindingsPanel) -> list[FindingCard]:
    return [card for card in panel.findChildren(FindingCard) if not card.isHidden()]


def test_stops_stand_before_cautions_with_their_measures(panel: FindingsPanel) -> None:
    names = [card.accessibleName() for card in cards(panel)]
    assert names[0].startswith("stop: Pieces overlap")
    assert names[1].startswith("caution: Copies differ")


def test_the_filter_leaves_one_kind(panel: FindingsPanel, qtbot: QtBot) -> None:
    qtbot.mouseClick(panel.filter.button("caution"), Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: [card.accessibleName().split(":")[0] for card in cards(panel)] == ["caution"])
    qtbot.mouseClick(panel.filter.button("waived"), Qt.MouseButton.LeftButton)
    assert cards(panel) == []


def test_show_jumps_to_the_finding(panel: FindingsPanel, qtbot: QtBot) -> None:
    with qtbot.waitSignal(panel.show_asked) as asked:
        qtbot.mouseClick(cards(panel)[0].show_button, Qt.MouseButton.LeftButton)
    finding = asked.args[0]
    assert isinstance(finding, Finding)
    assert finding.rule == "overlap"


def test_a_waiver_is_one_undo_step_and_can_be_taken_back(
    panel: FindingsPanel, bench: Workbench, qtbot: QtBot
) -> None:
    steps = bench.document.undo_stack.count()
    card = cards(panel)[1]
    qtbot.mouseClick(card.waive_button, Qt.MouseButton.LeftButton)
    qtbot.keyClicks(card.who, "Iris")
    qtbot.keyClicks(card.reason, "the second ring comes later")
    qtbot.keyClick(card.reason, Qt.Key.Key_Return)
    (waiver,) = bench.document.job.waivers
    assert (waiver.who, waiver.reason) == ("Iris", "the second ring comes later")
    assert bench.document.undo_stack.count() == steps + 1
    settle(qtbot, bench)
    qtbot.waitUntil(lambda: len(cards(panel)) == 2)
    waived = cards(panel)[-1]
    qtbot.mouseClick(waived.back_button, Qt.MouseButton.LeftButton)
    assert bench.document.job.waivers == ()


def test_an_unfinished_waiver_survives_a_check_that_finds_the_same(
    panel: FindingsPanel, bench: Workbench, qtbot: QtBot
) -> None:
    card = cards(panel)[1]
    qtbot.mouseClick(card.waive_button, Qt.MouseButton.LeftButton)
    qtbot.keyClicks(card.who, "Iris")
    bench.document.apply("rename", lambda job: edits.rename_job(job, "Another name"))
    settle(qtbot, bench)
    assert card in cards(panel)
    assert card.who.text() == "Iris"


@pytest.fixture
def maker(bench: Workbench) -> ProofMaker:
    return ProofMaker(bench)


def test_a_preview_is_made_in_the_background_ages_with_the_job_and_is_forgotten(
    keep: Keep, bench: Workbench, maker: ProofMaker, qtbot: QtBot
) -> None:
    view = ProofView(bench, maker)
    keep(view)
    with qtbot.waitSignal(maker.made, timeout=WAIT_MS):
        maker.preview(None)
    assert maker.is_fresh
    assert not view.page.image.isNull()
    assert view.caption.text() == "Layout proof of the whole job · as the job is now"
    bench.document.apply("rename", lambda job: edits.rename_job(job, "Another name"))
    assert not maker.is_fresh
    assert view.caption.text().endswith("the job has changed since: make it again")
    assert maker.proofed is None
    maker.forget()
    assert (maker.pngs, maker.shown) == ((), None)
    assert not view.page.isVisible()


def test_a_page_is_scaled_once_it_is_in_sight_and_not_before(
    keep: Keep, bench: Workbench, maker: ProofMaker, qtbot: QtBot
) -> None:
    """Eight pages scaled at once, at each change of the window's width, would hold the window up."""
    view = ProofView(bench, maker)
    view.resize(600, 400)
    keep(view)
    with qtbot.waitSignal(maker.made, timeout=WAIT_MS):
        maker.preview(None, "pages")
    first, last = view.desk.pages[0], view.desk.pages[-1]
    view.grab()
    assert len(view.desk.pages) > 1
    assert (first.scaled_to_px, last.scaled_to_px) == (first.width(), 0)
    view.desk.ensureWidgetVisible(last)
    view.grab()
    assert last.scaled_to_px == last.width() < last.image.width() <= WIDEST_SHOWN_PX


def test_saved_proofs_are_pictures_and_count_as_made(
    keep: Keep, bench: Workbench, maker: ProofMaker, qtbot: QtBot, tmp_path: Path
) -> None:
    panel = HandOffPanel(bench, maker)
    keep(panel)
    said: list[str] = []
    panel.said.connect(said.append)
    with qtbot.waitSignal(maker.saved, timeout=WAIT_MS):
        panel.save_each(tmp_path)
    (path,) = tmp_path.iterdir()
    assert path.name == "moth-night-tide-walk-moth-night-proof.png"
    assert QImage(str(path)).width() > 1000
    assert maker.proofed == bench.document.job
    assert said == [f"Saved {path.name} in {tmp_path.name}."]


def test_the_hand_off_is_written_whole_into_a_folder_of_its_own(
    keep: Keep,
    bench: Workbench,
    maker: ProofMaker,
    qtbot: QtBot,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_: str(tmp_path))
    panel = HandOffPanel(bench, maker)
    keep(panel)
    panel.show()
    with qtbot.waitSignal(maker.handed_off, timeout=WAIT_MS):
        qtbot.mouseClick(panel.folder_button, Qt.MouseButton.LeftButton)
    (folder,) = tmp_path.iterdir()
    assert folder.name == "moth-night-tide-walk-hand-off"
    names = {path.name for path in folder.iterdir()}
    assert {"proof.png", "proof.pdf", "ticket.pdf", "order.csv", "manifest.json"} < names
    assert all(name in panel.written.text() for name in names)
    assert maker.proofed == bench.document.job
    bench.document.apply("move on", lambda job: edits.set_ink_name(job, "Other glow"))
    assert not panel.written.isVisible()


def test_an_open_stop_keeps_the_hand_off_back(
    bench: Workbench, maker: ProofMaker, qtbot: QtBot, tmp_path: Path
) -> None:
    first, second, _ = bench.document.job.sheets[0].placed
    poses = {second.placed_id: first.pose.shifted(mm(1), 0)}
    bench.document.apply("on top", lambda job: edits.set_poses(job, poses))
    settle(qtbot, bench)
    with qtbot.waitSignal(maker.failed, timeout=WAIT_MS) as failed:
        maker.hand_off(tmp_path / "out")
    assert "has an open stop" in str(failed.args[0])
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_cannot_be_written_is_told_and_nothing_counts_as_made(
    bench: Workbench, maker: ProofMaker, qtbot: QtBot, tmp_path: Path
) -> None:
    with qtbot.waitSignal(maker.failed, timeout=WAIT_MS):
        maker.save({None: tmp_path / "missing" / "proof.png"})
    assert maker.proofed is None


def test_garment_colour_and_ink_are_one_step_each(
    keep: Keep, bench: Workbench, maker: ProofMaker, qtbot: QtBot
) -> None:
    panel = HandOffPanel(bench, maker)
    keep(panel)
    panel.show()
    panel.colour.setCurrentText("navy")
    panel.colour.activated.emit(1)
    panel.ink.setFocus()
    panel.ink.selectAll()
    qtbot.keyClicks(panel.ink, "Green glow")
    qtbot.keyClick(panel.ink, Qt.Key.Key_Return)
    assert (bench.document.job.garment_colour, bench.document.job.ink_name) == ("navy", "Green glow")
    assert bench.document.undo_stack.count() == 2


def test_an_ink_without_a_name_is_refused(bench: Workbench) -> None:
    with pytest.raises(LayoutError):
        edits.set_ink_name(bench.document.job, " ")
