"""One click on a finding repairs the art, shows before and after, and can be undone; Stop leaves the job."""

import threading
from collections.abc import Callable, Sequence
from functools import partial

import pytest
import shapely
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot
from shapely.geometry.base import BaseGeometry

from app import repairing
from app.panels.current_sheet import CurrentSheet
from app.panels.finding_fixes import card_fixes
from app.panels.finding_groups import FindingGroup, grouped
from app.panels.proof_maker import ProofMaker
from app.panels.right_side import RightSide
from app.widgets.art_look import ArtLook
from app.widgets.finding_card import FindingCard
from app.wiring import Workbench
from layout_core.art.artwork import Artwork
from layout_core.art.repair import Repair, RepairPreview, repair_preview
from layout_core.errors import RepairError
from layout_core.job import edits
from layout_core.job.model import Job
from layout_core.progress import Progress
from tests.app.panels.conftest import Keep
from tests.make import make_artwork
from tests.window_kit import WAIT_MS, settle

pytestmark = pytest.mark.gui

FINE_MM = 0.3
"""Below the finest line of the glow limits, 0.020 in."""


def hair_and_block(extra: BaseGeometry | None = None) -> BaseGeometry:
    """A block with a hair line beside it, and whatever else."""
    shapes = [shapely.box(0, 0, 40, 30), shapely.box(0, 40, 40, 40 + FINE_MM)]
    return shapely.union_all(shapes if extra is None else [*shapes, extra])


def add(bench: Workbench, shape: BaseGeometry, name: str) -> int:
    """Puts art and a piece of it at its natural size into the job; the piece's id."""
    artwork = make_artwork(shape, name)

    def edit(job: Job) -> Job:
        art_id = job.next_id
        job = edits.add_art(job, artwork)
        return edits.add_piece(job, art_id, width_mm=artwork.width_mm, copies=0, filler=True)

    bench.document.apply(f"Add {name}", edit)
    return bench.document.job.pieces[-1].piece_id


@pytest.fixture
def side(keep: Keep, bench: Workbench, qtbot: QtBot) -> RightSide:
    """The right side at the findings station, with one art whose line is too fine."""
    add(bench, hair_and_block(), "Lamp")
    made = RightSide(bench, CurrentSheet(bench.document, bench.selection, bench.app), ProofMaker(bench))
    made.resize(300, 900)
    made.show_station("findings")
    keep(made)
    settle(qtbot, bench)
    return made


def button(side: RightSide, text: str, qtbot: QtBot) -> QPushButton:
    """The button with the text, once it is there: a new card is shown by the next event."""
    qtbot.waitUntil(lambda: text in texts(side), timeout=WAIT_MS)
    return next(one for one in side.findChildren(QPushButton) if one.text() == text and one.isVisibleTo(side))


def texts(side: RightSide) -> list[str]:
    return [one.text() for one in side.findChildren(QPushButton) if one.isVisibleTo(side)]


def rules(bench: Workbench) -> set[str]:
    return {finding.rule for finding in bench.checker.findings if finding.piece_id is not None}


def click(qtbot: QtBot, bench: Workbench, one: QPushButton) -> None:
    qtbot.mouseClick(one, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: bench.repairing.task_id is None, timeout=WAIT_MS)
    settle(qtbot, bench)


def test_one_click_thickens_the_line_shows_before_and_after_and_the_finding_goes(
    side: RightSide, bench: Workbench, qtbot: QtBot
) -> None:
    steps, job = bench.document.undo_stack.count(), bench.document.job
    assert "line_weight" in rules(bench)
    click(qtbot, bench, button(side, "Thicken to 0.02 in", qtbot))
    assert bench.document.undo_stack.count() == steps + 1
    assert bench.document.undo_stack.undoText() == "Thicken to 0.02 in: Lamp"
    assert "line_weight" not in rules(bench)
    looks = side.repair.findChildren(ArtLook)
    assert [look.accessibleName() for look in looks][:2] == ["Picture: Before", "Picture: After"]
    qtbot.mouseClick(side.repair.undo_button, Qt.MouseButton.LeftButton)
    assert bench.document.job == job
    assert not side.repair.isVisibleTo(side)
    settle(qtbot, bench)
    assert "line_weight" in rules(bench)


def test_the_pictures_differ_where_the_line_grew(side: RightSide, bench: Workbench, qtbot: QtBot) -> None:
    click(qtbot, bench, button(side, "Thicken to 0.02 in", qtbot))
    before, after = side.repair.findChildren(ArtLook)[-2:]
    ink = QColor(bench.theme.ink).rgb()
    counts = []
    for look in (before, after):
        image = look.grab().toImage()
        counts.append(
            sum(image.pixel(x, y) == ink for x in range(image.width()) for y in range(image.height()))
        )
    assert counts[1] > counts[0] > 0


def test_a_fix_works_by_the_keyboard_alone(side: RightSide, bench: Workbench, qtbot: QtBot) -> None:
    fix = button(side, "Thicken to 0.02 in", qtbot)
    fix.setFocus()
    qtbot.keyClick(fix, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: bench.repairing.done is not None, timeout=WAIT_MS)
    assert bench.document.job.arts[-1].repairs


def test_another_edit_takes_the_pictures_away_but_not_the_repair(
    side: RightSide, bench: Workbench, qtbot: QtBot
) -> None:
    click(qtbot, bench, button(side, "Thicken to 0.02 in", qtbot))
    bench.document.apply("rename", lambda job: edits.rename_job(job, "Another name"))
    assert bench.repairing.done is None
    assert not side.repair.isVisibleTo(side)
    assert bench.document.job.arts[-1].repairs


def test_close_takes_the_pictures_away(side: RightSide, bench: Workbench, qtbot: QtBot) -> None:
    click(qtbot, bench, button(side, "Thicken to 0.02 in", qtbot))
    qtbot.mouseClick(side.repair.close_button, Qt.MouseButton.LeftButton)
    assert not side.repair.isVisibleTo(side)
    assert bench.document.job.arts[-1].repairs


def hold(monkeypatch: pytest.MonkeyPatch) -> tuple[threading.Event, Callable[[], None]]:
    """Makes repairs report and wait: what says that one runs, and what lets it go on."""
    runs, go_on = threading.Event(), threading.Event()

    def slow(artwork: Artwork, repairs: Sequence[Repair], progress: Progress) -> RepairPreview:
        runs.set()
        while not go_on.wait(0.01):
            progress(0.5, "Repairing")
        return repair_preview(artwork, repairs, progress)

    monkeypatch.setattr(repairing, "repair_preview", slow)
    return runs, go_on.set


def test_stop_ends_a_repair_and_leaves_the_job_as_it_was(
    side: RightSide, bench: Workbench, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    runs, go_on = hold(monkeypatch)
    steps, job = bench.document.undo_stack.count(), bench.document.job
    try:
        qtbot.mouseClick(button(side, "Thicken to 0.02 in", qtbot), Qt.MouseButton.LeftButton)
        qtbot.waitUntil(runs.is_set, timeout=WAIT_MS)
        assert side.repair.isVisibleTo(side)
        qtbot.mouseClick(side.repair.stop_button, Qt.MouseButton.LeftButton)
        qtbot.waitUntil(lambda: bench.repairing.task_id is None, timeout=WAIT_MS)
    finally:
        go_on()
    settle(qtbot, bench)
    assert bench.document.job is job
    assert bench.document.undo_stack.count() == steps
    assert not side.repair.isVisibleTo(side)


def test_art_that_changed_while_it_was_repaired_is_left_alone_and_told(
    side: RightSide, bench: Workbench, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    runs, go_on = hold(monkeypatch)
    try:
        qtbot.mouseClick(button(side, "Thicken to 0.02 in", qtbot), Qt.MouseButton.LeftButton)
        qtbot.waitUntil(runs.is_set, timeout=WAIT_MS)
        other = make_artwork(shapely.box(0, 0, 9, 9), "Other")
        art_id = bench.document.job.arts[-1].art_id
        bench.document.apply("swap", lambda job: edits.replace_artwork(job, art_id, other))
    finally:
        go_on()
    qtbot.waitUntil(lambda: bool(bench.repairing.fault), timeout=WAIT_MS)
    assert bench.document.job.arts[-1].artwork is other
    assert side.repair.isVisibleTo(side)


def test_a_repair_that_would_leave_nothing_says_so(side: RightSide, bench: Workbench, qtbot: QtBot) -> None:
    def none_left(*_: object) -> RepairPreview:
        raise RepairError("Lamp: nothing would be left of it; print it larger instead")

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(repairing, "repair_preview", none_left)
        click(qtbot, bench, button(side, "Thicken to 0.02 in", qtbot))
    assert "nothing would be left" in bench.repairing.fault
    assert side.repair.isVisibleTo(side)


def test_all_arts_of_a_kind_are_repaired_in_one_undo_step(
    side: RightSide, bench: Workbench, qtbot: QtBot
) -> None:
    assert not [text for text in texts(side) if text.startswith("Thicken all")]
    add(bench, hair_and_block(shapely.box(60, 0, 80, 20)), "Shell")
    settle(qtbot, bench)
    steps, job = bench.document.undo_stack.count(), bench.document.job
    click(qtbot, bench, button(side, "Thicken all 2 arts", qtbot))
    assert bench.document.undo_stack.count() == steps + 1
    assert [bool(art.repairs) for art in bench.document.job.arts[-2:]] == [True, True]
    assert "line_weight" not in rules(bench)
    assert len(side.repair.findChildren(ArtLook)) == 4
    bench.document.undo_stack.undo()
    assert bench.document.job == job


def test_of_two_pieces_of_one_art_the_smaller_says_how_strong_the_repair_is(
    side: RightSide, bench: Workbench, qtbot: QtBot
) -> None:
    big = bench.document.job.pieces[-1]
    bench.document.apply(
        "small", lambda job: edits.add_piece(job, big.art_id, width_mm=big.width_mm / 2, copies=0)
    )
    settle(qtbot, bench)
    small = bench.document.job.pieces[-1]
    (group,) = (g for g in groups(bench, "line_weight") if g.first.piece_id == small.piece_id)
    card_fixes(bench, group)[0].act()
    qtbot.waitUntil(lambda: bench.repairing.done is not None, timeout=WAIT_MS)
    settle(qtbot, bench)
    assert "line_weight" not in rules(bench)
    (repair,) = bench.document.job.arts[-1].repairs
    assert repair.at_width_mm == pytest.approx(big.width_mm / 2)


def groups(bench: Workbench, rule: str) -> list[FindingGroup]:
    return [g for g in grouped(bench.document.job, bench.checker.findings) if g.first.rule == rule]


def test_a_waived_finding_and_one_about_a_sheet_offer_no_fix(bench: Workbench, qtbot: QtBot) -> None:
    add(bench, hair_and_block(), "Lamp")
    settle(qtbot, bench)
    (group,) = groups(bench, "line_weight")
    for finding in group.findings:
        bench.document.apply("waive", partial(edits.waive, key=finding.key, who="Iris", reason="so"))
    (group,) = groups(bench, "line_weight")
    assert card_fixes(bench, group) == ()


@pytest.mark.parametrize(
    ("rule", "shape", "text"),
    [
        ("gap", shapely.union(shapely.box(0, 0, 20, 20), shapely.box(20.3, 0, 40, 20)), "Open to 0.028 in"),
        ("speck", hair_and_block(shapely.box(50, 5, 50.4, 5.4)), "Drop 1 speck"),
        (
            "pinhole",
            shapely.box(0, 0, 30, 30).difference(shapely.box(15, 15, 15.4, 15.4)),
            "Fill 1 pinhole",
        ),
    ],
)
def test_each_rule_of_the_art_has_its_fix_and_is_gone_after_it(
    keep: Keep, bench: Workbench, qtbot: QtBot, rule: str, shape: BaseGeometry, text: str
) -> None:
    add(bench, shape, "Art")
    side = RightSide(bench, CurrentSheet(bench.document, bench.selection, bench.app), ProofMaker(bench))
    side.show_station("findings")
    keep(side)
    settle(qtbot, bench)
    assert rule in rules(bench)
    click(qtbot, bench, button(side, text, qtbot))
    assert rule not in rules(bench)


def test_a_card_keeps_its_fix_in_the_piece_panel(side: RightSide, bench: Workbench, qtbot: QtBot) -> None:
    side.show_station("art")
    bench.selection.choose_piece(bench.document.job.pieces[-1].piece_id)
    shown = [card for card in side.piece.findChildren(FindingCard) if card.fix_buttons]
    assert shown[0].fix_buttons[0].text() == "Thicken to 0.02 in"
    click(qtbot, bench, shown[0].fix_buttons[0])
    assert "line_weight" not in rules(bench)
