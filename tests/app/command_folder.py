"""A folder with art and a job, and command lines run in it."""

from collections.abc import Callable
from pathlib import Path

import shapely
from click.testing import CliRunner, Result

from app.cli import cli
from layout_core.job import edits
from layout_core.job.file import write_job
from layout_core.job.model import Job
from tests.make import GLOW, make_artwork, svg_of

# 40 x 30 mm of ink: a solid block, and beside it a bar of 0.3 mm (0.012 in), below the 0.018 in that stops.
BLOCK, BAR = shapely.box(0, 0, 40, 30), shapely.box(35, 0, 35.3, 30)
THIN = shapely.union_all([shapely.box(0, 0, 30, 30), BAR, shapely.box(39, 0, 40, 30)])

Run = Callable[..., Result]


def run_command(*arguments: object) -> Result:
    """What the command line prints and its exit code, run in this process."""
    return CliRunner().invoke(cli, [str(argument) for argument in arguments])


def fill_folder(folder: Path) -> None:
    """Put sound, thin and broken art and the small job into the folder."""
    for name, shape in (("block.svg", BLOCK), ("thin.svg", THIN)):
        (folder / name).write_bytes(svg_of(make_artwork(shape).outline))
    write_job(folder / "night.duskjob", small_job())
    (folder / "broken.svg").write_bytes(b"<svg")


def small_job() -> Job:
    """One sheet of 100 x 100 mm; wanted: three copies of a 40 x 30 mm block, two of one too large for it."""
    job = edits.new_job("Moth night", GLOW)
    job = edits.change_sheet(job, 1, width_mm=100.0, length_mm=100.0, gap_mm=5.0)
    job = edits.add_order(job, "moth survey night", "Moth group")  # 2
    job = edits.add_order(job, "tide-pool lantern walk", "Walkers")  # 3
    job = edits.add_art(job, make_artwork(BLOCK, "block"))  # 4
    job = edits.add_piece(job, 4, name="moth", width_mm=40.0, copies=3, order_id=2)
    return edits.add_piece(job, 4, name="giant", width_mm=130.0, copies=2, order_id=3)


def one_line_error(result: Result, *words: str) -> str:
    """The one line a refused command says; nothing else, no trace, exit 2."""
    assert result.exit_code == 2, result.output
    assert result.stdout == ""
    text = result.stderr
    assert text.endswith("\n")
    assert text.count("\n") == 1, text
    assert "Traceback" not in text
    for word in words:
        assert word in text
    return text
