"""A canvas on a small job: a block, a disc and a bar on Sheet A, nothing on Sheet B."""

from collections.abc import Iterator
from dataclasses import replace

import pytest
import shapely
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.canvas.view import SheetView
from app.wiring import Workbench, build_workbench
from layout_core.geometry.pose import Pose
from layout_core.job.model import Job, Sheet
from layout_core.units import mm
from tests.app.canvas.hands import Hands
from tests.make import make_artwork, make_job

BLOCK, DISC, BAR = 301, 302, 303
"""Placed ids; the pieces are 101 (50 x 40 mm), 102 (30 mm across) and 103 (120 x 10 mm)."""


def canvas_job() -> Job:
    shapes = (shapely.box(0, 0, 50, 40), shapely.Point(0, 0).buffer(15, 32), shapely.box(0, 0, 120, 10))
    artworks = [
        make_artwork(shape, name) for shape, name in zip(shapes, ("block", "disc", "bar"), strict=True)
    ]
    poses = [(0, Pose(60.0, 60.0)), (1, Pose(180.0, 100.0)), (2, Pose(140.0, 300.0))]
    job = make_job(artworks, poses=poses)
    return replace(job, sheets=(*job.sheets, Sheet(2, "Sheet B", mm(11.25), mm(12), 0.0, mm(0.25), run=6)))


@pytest.fixture
def bench(qapp: QApplication) -> Iterator[Workbench]:
    made = build_workbench(qapp, canvas_job(), "dark")
    made.settings.change(unit="in", snapping=False, motion=False)
    yield made
    made.close()
    qapp.processEvents()


@pytest.fixture
def view(bench: Workbench, qtbot: QtBot) -> SheetView:
    made = SheetView(bench)
    qtbot.addWidget(made)
    made.resize(900, 700)
    made.show()
    qtbot.waitExposed(made)
    made.setFocus()
    return made


@pytest.fixture
def hands(view: SheetView) -> Hands:
    return Hands(view)
