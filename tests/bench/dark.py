"""The dark view under the slider: how many frames a second reach the sheets with 50 pieces.

`python -m tests.bench.dark [--pieces N] [--vertices N] [--frames N]` prints one JSON document.
No two pieces are alike, so each is drawn; the cursor goes from 0.5 to 8 m and from lights-out to an hour
after.
A frame is everything from a moved cursor to the pixels: looks and tiles on the worker, then the repaint on
the window's thread. `gui_ms` is what of it the window's thread spends (its own processor time, median),
`cpu_ms` what all threads spend.
"""

import statistics
import time

from tests.bench.canvas import VIEW_PX, full_job
from tests.offscreen_bench import print_figures


def measure(pieces: int, vertices: int, frames: int) -> dict[str, object]:
    from PySide6.QtWidgets import QApplication

    from app.canvas.view import SheetView
    from app.wiring import build_workbench

    app = QApplication([])
    bench = build_workbench(app, full_job(pieces, vertices, pieces), "dark")
    view = SheetView(bench)
    view.resize(*VIEW_PX)
    view.show()
    while bench.glow.state is None or bench.checker.is_busy:
        app.processEvents()
    shown, wrong = [0], list[Exception]()
    bench.tasks.went_wrong.connect(lambda label, error: wrong.append(error))
    view.dark_layer.shown.connect(lambda: shown.__setitem__(0, shown[0] + 1))
    bench.viewing.look_at("dark")
    bench.viewing.move_to(minutes=0.0, distance_m=3.0)
    spent: list[float] = []

    def frame() -> None:
        before = shown[0]
        while shown[0] == before:
            if wrong:
                raise wrong[0]
            start = time.thread_time()
            app.processEvents()
            waited = time.thread_time() - start
            spent[-1] += waited * 1000.0
            time.sleep(0.0005)
        start = time.thread_time()
        view.viewport().repaint()
        spent[-1] += (time.thread_time() - start) * 1000.0

    spent.append(0.0)
    frame()
    spent.clear()
    start, cpu = time.perf_counter(), time.process_time()
    for number in range(1, frames + 1):
        spent.append(0.0)
        bench.viewing.move_to(minutes=number * 60.0 / frames, distance_m=0.5 * 16.0 ** (number / frames))
        frame()
    seconds, cpu = time.perf_counter() - start, time.process_time() - cpu
    bench.close()
    return {
        "bench": "dark",
        "frames_per_s": round(frames / seconds, 1),
        "frame_ms": round(1000.0 * seconds / frames, 1),
        "cpu_ms": round(1000.0 * cpu / frames, 1),
        "gui_ms": round(statistics.median(spent), 1),
        "pieces": pieces,
        "vertices": vertices,
    }


def main() -> None:
    print_figures(measure, "The dark view under the slider.", pieces=50, vertices=500, frames=60)


if __name__ == "__main__":
    main()
