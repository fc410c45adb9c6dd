"""What the window's tests share: a job with something of everything, a workbench, a window, and patience."""

from collections.abc import Iterator
from contextlib import contextmanager

import shapely
from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from app.tokens import ThemeName
from app.window import MainWindow
from app.wiring import Workbench, build_workbench
from layout_core.checks.findings import Finding, Severity
from layout_core.geometry.pose import Pose
from layout_core.job import edits
from layout_core.job.model import Job, OrderLine
from tests.make import make_artwork
from tests.patience import WAIT_MS


def shop_job() -> Job:
    """Three pieces (block 2 x, ring, filler dot), one order for 24 blocks, run 12, all laid.

    The names carry what breaks careless windows: an ampersand, a long name, non-ASCII letters.
    """
    ring = shapely.Point(0, 0).buffer(20).difference(shapely.Point(0, 0).buffer(12))
    job = edits.new_job("Moth night & tide walk")
    ids: list[int] = []
    for artwork, placement, copies, filler in (
        (make_artwork(name="Block & tackle"), "left chest", 2, False),
        (make_artwork(ring, "Ring of a very long name that no row can hold"), "sleeve", 1, False),
        (make_artwork(shapely.Point(0, 0).buffer(9), "Pünktchen"), "nape", 0, True),
    ):
        art_id = job.next_id
        job = edits.add_art(job, artwork)
        ids.append(job.next_id)
        job = edits.add_piece(job, art_id, placement=placement, copies=copies, filler=filler)
    order_id = job.next_id
    job = edits.add_order(job, "Moth night", "Lamp Keepers")
    job = edits.set_order_lines(job, order_id, [OrderLine(0, ids[0], "tee", "black", (("M", 12), ("L", 12)))])
    sheet_id = job.sheets[0].sheet_id
    job = edits.change_sheet(job, sheet_id, run=12)
    for piece_id, x_mm, y_mm in ((ids[0], 70, 60), (ids[0], 180, 60), (ids[1], 80, 160)):
        job = edits.place_piece(job, sheet_id, piece_id, Pose(x_mm, y_mm))
    return job


def fine_line(piece_id: int, x_mm: float = 10.0) -> Finding:
    """A caution about a piece's own art."""
    return Finding(
        "line_weight", Severity.CAUTION, "Line too fine", 0.4826, 0.508, "mm", (x_mm, 10.0), piece_id,
        highlight=shapely.box(x_mm, 9, x_mm + 4, 11),
    )  # fmt: skip


@contextmanager
def workbench(
    app: QApplication, job: Job | None = None, theme: ThemeName | None = "dark"
) -> Iterator[Workbench]:
    """A workbench in inches that is closed as the program does it."""
    bench = build_workbench(app, job, theme)
    bench.settings.change(unit="in", motion=False)
    try:
        yield bench
    finally:
        bench.close()
        app.processEvents()


@contextmanager
def main_window(bench: Workbench, width: int = 1440, height: int = 900) -> Iterator[MainWindow]:
    """A window that is shown, and thrown away without asking for unsaved changes."""
    window = MainWindow(bench)
    window.resize(width, height)
    window.show()
    try:
        yield window
    finally:
        throw_away(window)


def throw_away(widget: QWidget) -> None:
    widget.hide()
    widget.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)


def settle(qtbot: QtBot, bench: Workbench) -> None:
    """Wait until nothing runs and the findings are those of the job."""
    qtbot.waitUntil(lambda: not bench.checker.is_busy and not bench.tasks.running_ids, timeout=WAIT_MS)
