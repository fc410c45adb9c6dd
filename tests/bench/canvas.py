"""The canvas under load: one drag step and one whole repaint with 500 pieces of 500 vertices.

`python -m tests.bench.canvas [--pieces N] [--vertices N] [--steps N]` prints one JSON document; times are
medians of the window thread's own processor time in ms. A drag step is everything between a mouse move and
the pixels: snapping, live clearance, moving the item, repainting what changed.
"""

import math
import statistics
import time
from collections.abc import Callable
from dataclasses import replace

import numpy as np
from shapely import Polygon

from layout_core.geometry.pose import Pose
from layout_core.job.model import Job
from layout_core.units import mm
from tests.make import make_artwork, make_job
from tests.offscreen_bench import print_figures

SHAPES = 20
VIEW_PX = (1020, 920)
SHEET_MM = (mm(22), mm(19))
"""Wider than a real sheet, so that it fills the view and each piece is about 30 px across."""


def blob(number: int, vertices: int) -> Polygon:
    """A wavy blob about 18 mm across with this many vertices."""
    angles = np.linspace(0.0, 2.0 * math.pi, vertices, endpoint=False)
    radius = 8.0 + 0.8 * np.sin(angles * (3 + number % 6)) + 0.25 * np.sin(angles * (17 + number % 5))
    return Polygon(np.stack([radius * np.cos(angles), radius * np.sin(angles)], axis=1))


def full_job(pieces: int, vertices: int, shapes: int = SHAPES) -> Job:
    """A sheet with this many copies of so many blobs in rows."""
    artworks = [make_artwork(blob(number, vertices), f"blob {number}") for number in range(shapes)]
    columns = math.ceil(math.sqrt(pieces * SHEET_MM[0] / SHEET_MM[1]))
    rows = math.ceil(pieces / columns)
    pitch_x, pitch_y = SHEET_MM[0] / columns, SHEET_MM[1] / rows
    poses = [
        (
            index % shapes,
            Pose((index % columns + 0.5) * pitch_x, (index // columns + 0.5) * pitch_y, index * 7.0),
        )
        for index in range(pieces)
    ]
    job = make_job(artworks, poses=poses, width_mm=SHEET_MM[0], length_mm=SHEET_MM[1])
    return replace(job, sheets=(replace(job.sheets[0], gap_mm=mm(0.125)),))


def median_ms(act: Callable[[int], None], times: int) -> float:
    spent = []
    for step in range(times):
        start = time.thread_time()
        act(step)
        spent.append((time.thread_time() - start) * 1000.0)
    return statistics.median(spent)


def measure(pieces: int, vertices: int, steps: int) -> dict[str, object]:
    from PySide6.QtCore import QEvent, QPointF, Qt
    from PySide6.QtGui import QMouseEvent
    from PySide6.QtWidgets import QApplication

    from app.canvas.view import SheetView
    from app.wiring import build_workbench

    app = QApplication([])
    bench = build_workbench(app, full_job(pieces, vertices), "dark")
    bench.tasks.stop_all()
    view = SheetView(bench)
    view.resize(*VIEW_PX)
    view.show()
    app.processEvents()
    grabbed = bench.document.job.sheets[0].placed[pieces // 2 + 3]
    start = QPointF(view.mapFromScene(QPointF(grabbed.pose.x_mm, grabbed.pose.y_mm)))

    def send(kind: QEvent.Type, at: QPointF, button: Qt.MouseButton) -> None:
        event = QMouseEvent(kind, at, at, button, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier)
        app.sendEvent(view.viewport(), event)
        app.processEvents()

    def drag(step: int) -> None:
        at = start + QPointF(180 * math.sin(step * 0.37), 220 * math.sin(step * 0.23 + 1.0))
        send(QEvent.Type.MouseMove, at, Qt.MouseButton.NoButton)

    send(QEvent.Type.MouseButtonPress, start, Qt.MouseButton.LeftButton)
    drag(0)
    drag_ms = median_ms(drag, steps)
    send(QEvent.Type.MouseButtonRelease, start, Qt.MouseButton.LeftButton)
    if bench.document.undo_stack.count() != 1:
        raise RuntimeError("the drag moved nothing, so its time means nothing")
    repaint_ms = median_ms(lambda step: view.viewport().repaint(), max(steps // 4, 5))
    bench.close()
    return {
        "bench": "canvas",
        "drag_ms": round(drag_ms, 2),
        "repaint_ms": round(repaint_ms, 2),
        "pieces": pieces,
        "vertices": vertices,
    }


def main() -> None:
    print_figures(measure, "The canvas under load.", pieces=500, vertices=500, steps=120)


if __name__ == "__main__":
    main()
