"""The command that autopacks a job or shortens its sheets."""

import time
from pathlib import Path
from typing import TYPE_CHECKING

import click

from app.command_input import PATH, print_json
from app.console import progress_shown
from layout_core.errors import SaveError

if TYPE_CHECKING:
    from layout_core.job.model import Job
    from layout_core.packing.autopack import PackResult
    from layout_core.packing.engines import FillWish
    from layout_core.progress import Progress

_MOST_S = 3600.0


@click.command()
@click.argument("job", type=PATH)
@click.option("--out", type=PATH, help="Write the packed job to this file; without it nothing is written.")
@click.option("--json", "as_json", is_flag=True, help="Print what lies where as JSON.")
@click.option(
    "--engine",
    type=click.Choice(["boxes", "shapes"]),
    default="boxes",
    show_default=True,
    help="Lay by bounding boxes, or by true outlines, which takes longer and fits more.",
)
@click.option(
    "--seconds",
    type=float,
    help="How long to search, of a common desktop core, for all sheets together.",
)
@click.option("--no-holes", is_flag=True, help="Lay nothing into the holes of rings.")
@click.option("--straight-cuts", is_flag=True, help="Lay so that cuts from edge to edge free every piece.")
@click.option("--any-angle", is_flag=True, help="True outlines: also turn pieces by less than a quarter.")
@click.option("--shortest", is_flag=True, help="Rearrange each sheet on the least length instead.")
def pack(
    job: Path,
    out: Path | None,
    as_json: bool,
    engine: str,
    seconds: float | None,
    no_holes: bool,
    straight_cuts: bool,
    any_angle: bool,
    shortest: bool,
) -> None:
    """Lay the copies a job still needs on its sheets and fill the leftover film.

    Pieces that no sheet can hold are named before the search. In the JSON x_mm and y_mm are the left and
    top edge of each copy as it lies, turn included, from the sheet's top left corner; width_mm and
    height_mm are the size of those bounds.
    """
    if seconds is not None and not 0.0 < seconds <= _MOST_S:
        raise click.UsageError(f"--seconds: must be more than 0 and at most {_MOST_S:g}")
    if any_angle and engine != "shapes" and not shortest:
        raise click.UsageError("--any-angle needs --engine shapes; boxes only ever turn by quarters")
    from app.reports import pack_document, pack_lines
    from layout_core.job.file import read_job, write_job
    from layout_core.packing.autopack import autopack
    from layout_core.packing.engines import FillWish

    if out is not None and not out.absolute().parent.is_dir():
        raise SaveError(f"{out.name}: could not be saved in {out.parent} (no such folder)")
    opened = read_job(job)
    wish = FillWish(use_holes=not no_holes, straight_cuts=straight_cuts, any_angle=any_angle)
    _name_too_large(opened, wish)
    with progress_shown() as progress:
        if shortest:
            result = _shortened(opened, wish, seconds, progress)
        else:
            result = autopack(opened, engine=engine, wish=wish, seconds=seconds, progress=progress)
    if out is not None:
        write_job(out, result.job)
    if as_json:
        print_json(pack_document(result))
    else:
        click.echo("\n".join(pack_lines(result)))


def _name_too_large(job: "Job", wish: "FillWish") -> None:
    """Say on stderr which pieces no search can lay."""
    from app.packing_words import large_words
    from layout_core.packing.autopack import too_large_pieces

    if large := too_large_pieces(job, wish=wish):
        click.echo(large_words(job, large, "in").text, err=True)


def _shortened(job: "Job", wish: "FillWish", seconds: float | None, progress: "Progress") -> "PackResult":
    """Every sheet with anything to move on its least length; the first also takes what is still ordered."""
    from layout_core.packing.autopack import PackResult, unplaced_copies
    from layout_core.packing.shorten import shorten
    from layout_core.packing.strip import USUAL_SECONDS
    from layout_core.progress import within

    start_s, packed, added = time.perf_counter(), job, tuple[int, ...]()
    takes_missing = bool(unplaced_copies(job))
    ids = [
        sheet.sheet_id
        for number, sheet in enumerate(job.sheets)
        if (number == 0 and takes_missing) or not all(placed.locked for placed in sheet.placed)
    ]
    each_s = USUAL_SECONDS if seconds is None else seconds / max(len(ids), 1)
    for number, sheet_id in enumerate(ids):
        tick = within(progress, number / len(ids), (number + 1) / len(ids))
        found = shorten(packed, sheet_id, wish=wish, seconds=each_s, progress=tick)
        packed, added = found.job, (*added, *found.added)
    return PackResult(packed, added, unplaced_copies(packed), True, time.perf_counter() - start_s)
