"""What leaves the shop, in CPU time and size: `python -m tests.bench.outputs`. Prints one JSON document.

The sheet is 11.25 x 19 in with sixty blobs, two hundred thousand vertices in all. Each output is made in a
process of its own, so that `peak_mb` is its own peak of memory, program and numpy included.
"""

import json
import multiprocessing
import resource
import sys
import time
from collections.abc import Callable

from layout_core.job.model import Job
from layout_core.outputs.sheet_ink import printed_shapes, whole_ink
from layout_core.units import mm
from tests.core.outputs.print_tools import blob_job

VERTICES_A_BLOB = 1667
DPI = 1200.0


def print_file(job: Job) -> bytes:
    from layout_core.job.printing import PrintOptions
    from layout_core.outputs.print_file import print_pdf

    return print_pdf(job, job.sheets[0], PrintOptions(has_cut_lines=False))


def print_file_with_cut_lines(job: Job) -> bytes:
    from layout_core.outputs.print_file import print_pdf

    return print_pdf(job, job.sheets[0])


def plate_png(job: Job) -> bytes:
    from layout_core.outputs.separation import separation, separation_png

    return separation_png(separation(whole_ink(printed_shapes(job, job.sheets[0])), mm(11.25), mm(19), DPI))


def plate_tiff(job: Job) -> bytes:
    from layout_core.outputs.separation import separation, separation_tiff

    return separation_tiff(separation(whole_ink(printed_shapes(job, job.sheets[0])), mm(11.25), mm(19), DPI))


def sheet_as_svg(job: Job) -> bytes:
    from layout_core.outputs.sheet_svg import sheet_svg

    return sheet_svg(job, job.sheets[0])


OUTPUTS: tuple[Callable[[Job], bytes], ...] = (
    print_file, print_file_with_cut_lines, plate_png, plate_tiff, sheet_as_svg,
)  # fmt: skip


def measured(make: Callable[[Job], bytes]) -> dict[str, float]:
    """CPU seconds, megabytes written, and the peak of memory of this process."""
    job = blob_job(VERTICES_A_BLOB)
    start = time.process_time()
    data = make(job)
    seconds = time.process_time() - start
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    unit = 1024**2 if sys.platform == "darwin" else 1024
    return {"cpu_s": round(seconds, 3), "mb": round(len(data) / 1e6, 3), "peak_mb": round(peak / unit, 1)}


def main() -> None:
    context = multiprocessing.get_context("spawn")
    report: dict[str, object] = {"bench": "outputs", "vertices": 2 * VERTICES_A_BLOB * 60, "dpi": DPI}
    for make in OUTPUTS:
        with context.Pool(1) as pool:
            report[make.__name__] = pool.apply(measured, (make,))
    print(json.dumps(report))


if __name__ == "__main__":
    main()
