"""The command `handoff`: everything that leaves the shop, in one folder."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from app.command_input import PATH, length_mm, print_json
from app.console import progress_shown
from layout_core.progress import within


@click.command()
@click.argument("job", type=PATH)
@click.option("--out", type=PATH, required=True, help="The folder to make; it appears whole or not at all.")
@click.option("--dpi", type=float, help="Resolution of the 1-bit plates; what the job says, or 600.")
@click.option("--spot", help="Name of the ink's spot colour; what the job says, or GLOW.")
@click.option("--underbase", help="Add a white plate that stays this far inside the ink: 0.004in.")
@click.option(
    "--mirror/--no-mirror", default=None, help="Print files and plates as seen from the back of the film."
)
@click.option(
    "--cut-lines/--no-cut-lines",
    default=None,
    help="Put the cut lines into the print files, on their own spot.",
)
@click.option("--marks/--no-marks", default=None, help="Put marks and the slug outside the sheet.")
@click.option("--quotes", is_flag=True, help="Add the quote of each order, priced by a run plan of the job.")
@click.option("--json", "as_json", is_flag=True, help="Print the manifest.")
def handoff(
    job: Path,
    out: Path,
    dpi: float | None,
    spot: str | None,
    underbase: str | None,
    mirror: bool | None,
    cut_lines: bool | None,
    marks: bool | None,
    quotes: bool,
    as_json: bool,
) -> None:
    """Write print files, plates, cut guides, proofs, press ticket and order list of a job.

    What the options do not say is as the job says. Refuses while a finding is a stop that nobody has
    accepted. A folder that holds other files is left alone.
    """
    from app.quote_files import planned_quotes
    from layout_core.job.file import read_job
    from layout_core.outputs.handoff import hand_off

    opened = read_job(job)
    asked: dict[str, Any] = {
        "dpi": dpi,
        "ink_spot": spot,
        "has_underbase": None if underbase is None else True,
        "choke_mm": None if underbase is None else length_mm(underbase, "--underbase"),
        "is_mirrored": mirror,
        "has_cut_lines": cut_lines,
        "has_marks": marks,
        "has_slug": marks,
    }
    printing = replace(opened.printing, **{name: value for name, value in asked.items() if value is not None})
    with progress_shown() as progress:
        priced = planned_quotes(opened, within(progress, 0.0, 0.4)) if quotes else {}
        handed = hand_off(
            opened,
            out,
            options=printing,
            quotes=priced,
            progress=within(progress, 0.4 if quotes else 0.0, 1.0),
        )
    if as_json:
        print_json(handed.manifest)
    else:
        click.echo("\n".join(str(handed.folder / name) for name in handed.files))
