"""Cut lines over the sheets: the core's own cuts, in step with the job, away when they are switched off."""

import numpy as np
import pytest
from PySide6.QtGui import QColor, QImage
from pytestqt.qtbot import QtBot

from app.canvas.cut_layer import CutItem
from app.canvas.view import SheetView
from app.wiring import Workbench
from layout_core.geometry.pose import Pose
from layout_core.job import edits
from layout_core.outputs.cut_plan import cut_plan
from tests.app.canvas.conftest import BLOCK, DISC
from tests.window_kit import WAIT_MS

pytestmark = pytest.mark.gui


def shown(view: SheetView, qtbot: QtBot) -> list[CutItem]:
    """The cut items once the plans of the job as it is now are drawn."""
    job = view.sheet_scene
    qtbot.waitUntil(lambda: bool(view.cut_layer.plans), timeout=WAIT_MS)
    return [item for item in job.items() if isinstance(item, CutItem)]


def note_pixels(view: SheetView, colour: str) -> int:
    image = view.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
    pixels = np.frombuffer(image.constBits(), np.uint32).reshape(image.height(), -1) & 0xFFFFFF
    return int((pixels == (QColor(colour).rgb() & 0xFFFFFF)).sum())


def test_lines_are_the_cores_cuts_at_their_sheet(view: SheetView, bench: Workbench, qtbot: QtBot) -> None:
    assert view.cut_layer.plans == ()
    before = note_pixels(view, bench.theme.note)
    view.cut_layer.set_shown(True)
    (item,) = shown(view, qtbot)
    job = bench.document.job
    assert view.cut_layer.plans == (cut_plan(job, job.sheets[0]),)
    assert [cut.number for cut in item.plan.cuts] == [1, 2]
    place = view.sheet_scene.matte.place(job.sheets[0].sheet_id)
    assert (item.x(), item.y()) == (place.x_mm, place.y_mm)
    assert note_pixels(view, bench.theme.note) > before + 100


def test_lines_follow_an_edit_and_its_undo(view: SheetView, bench: Workbench, qtbot: QtBot) -> None:
    view.cut_layer.set_shown(True)
    shown(view, qtbot)
    first = view.cut_layer.plans
    poses = {DISC: Pose(80.0, 70.0)}
    bench.document.apply("move", lambda job: edits.set_poses(job, poses))
    assert view.cut_layer.plans == ()
    shown(view, qtbot)
    assert view.cut_layer.plans != first
    assert {one.placed_id for one in view.cut_layer.plans[0].contours} == {BLOCK, DISC}
    bench.document.undo_stack.undo()
    shown(view, qtbot)
    assert view.cut_layer.plans == first


def test_lines_go_when_switched_off_also_in_the_middle_of_the_work(
    view: SheetView, bench: Workbench, qtbot: QtBot
) -> None:
    view.cut_layer.set_shown(True)
    view.cut_layer.set_shown(False)
    qtbot.waitUntil(lambda: not bench.tasks.running_ids, timeout=WAIT_MS)
    assert view.cut_layer.plans == ()
    view.cut_layer.set_shown(True)
    shown(view, qtbot)
    view.cut_layer.set_shown(False)
    assert view.cut_layer.plans == ()
    assert not [item for item in view.sheet_scene.items() if isinstance(item, CutItem)]
