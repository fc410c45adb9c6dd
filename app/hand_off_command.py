"""The command `handoff`: everything that leaves the shop, in one folder."""

from pathlib import Path

import click

from app.command_input import PATH, length_mm, print_json
from app.console import progress_shown
from layout_core.job.model import Job
from layout_core.progress import Progress, within


@click.command()
@click.argument("job", type=PATH)
@click.option("--out", type=PATH, required=True, help="The folder to make; it appears whole or not at all.")
@click.option("--dpi", default=600.0, show_default=True, help="Resolution of the 1-bit plates.")
@click.option("--spot", default="GLOW", show_default=True, help="Name of the ink's spot colour.")
@click.option("--underbase", help="Add a white plate that stays this far inside the ink: 0.004in.")
@click.option("--mirror", is_flag=True, help="Print files and plates as seen from the back of the film.")
@click.option("--no-cut-lines", is_flag=True, help="Leave the cut lines out of the print files.")
@click.option("--no-marks", is_flag=True, help="Leave marks and the slug outside the sheet out.")
@click.option("--quotes", is_flag=True, help="Add the quote of each order, priced by a run plan of the job.")
@click.option("--json", "as_json", is_flag=True, help="Print the manifest.")
def handoff(
    job: Path,
    out: Path,
    dpi: float,
    spot: str,
    underbase: str | None,
    mirror: bool,
    no_cut_lines: bool,
    no_marks: bool,
    quotes: bool,
    as_json: bool,
) -> None:
    """Write print files, plates, cut guides, proofs, press ticket and order list of a job.

    Refuses while a finding is a stop that nobody has accepted. A folder that holds other files is left alone.
    """
    from layout_core.job.file import read_job
    from layout_core.outputs.handoff import HandOffOptions, hand_off
    from layout_core.outputs.print_file import PrintOptions

    printing = PrintOptions(
        ink_spot=spot,
        has_cut_lines=not no_cut_lines,
        has_underbase=underbase is not None,
        choke_mm=0.0 if underbase is None else length_mm(underbase, "--underbase"),
        is_mirrored=mirror,
        has_marks=not no_marks,
        has_slug=not no_marks,
    )
    opened = read_job(job)
    with progress_shown() as progress:
        priced = _quotes(opened, within(progress, 0.0, 0.4)) if quotes else {}
        handed = hand_off(
            opened,
            out,
            options=HandOffOptions(printing, dpi),
            quotes=priced,
            progress=within(progress, 0.4 if quotes else 0.0, 1.0),
        )
    if as_json:
        print_json(handed.manifest)
    else:
        click.echo("\n".join(str(handed.folder / name) for name in handed.files))


def _quotes(job: Job, progress: Progress) -> dict[int, bytes]:
    """The quote of each order as PDF bytes, by its id."""
    from layout_core.outputs.quote import quote_pdf
    from layout_core.plan.prices import load_prices
    from layout_core.plan.pricing import order_prices
    from layout_core.plan.run_plan import run_plan

    prices = load_prices(None)
    found = order_prices(job, run_plan(job, prices, progress=progress), prices)
    return {price.order_id: quote_pdf(job, price, prices) for price in found}
