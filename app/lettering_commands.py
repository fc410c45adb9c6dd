"""The commands that make art from words: `letter`, `names` and `fonts`."""

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar, get_args

import click

from app.command_input import PATH, length_mm, named_limits, order_id_of, print_json
from app.console import progress_shown
from layout_core.art.contours import Contouring
from layout_core.art.fonts import face_named
from layout_core.art.lettering import Alignment, Lettering

F = TypeVar("F", bound=Callable[..., Any])

_OPTIONS = (
    click.option("--font", default=Lettering("x").font, show_default=True, help="A font that “fonts” lists."),
    click.option("--cap", default="1in", show_default=True, help="Height of the capitals: 1in, 3/4, 18mm."),
    click.option("--align", default="centre", type=click.Choice(get_args(Alignment)), show_default=True),
    click.option("--spacing", default=1.5, show_default=True, help="From line to line, in cap heights."),
    click.option("--tracking", default=0.0, help="Space between letters, in thousandths of an em."),
    click.option("--bend", default=0.0, help="Degrees of arc: above 0 the middle rises, below 0 it sinks."),
    click.option(
        "--contour", default="none", type=click.Choice(get_args(Contouring)), show_default=True,
        help="A line round the words, or one knocked out along their edge.",
    ),
    click.option("--line", default="0.04in", show_default=True, help="Ink of the contour."),
    click.option("--gap", default="0.05in", show_default=True, help="Bare line of the contour."),
)  # fmt: skip


def _lettering_options(command: F) -> F:
    for option in reversed(_OPTIONS):
        command = option(command)
    return command


def _lettering(text: str, options: dict[str, Any]) -> Lettering:
    return Lettering(
        text,
        font=face_named(options["font"]).name,
        cap_height_mm=length_mm(options["cap"], "--cap"),
        alignment=options["align"],
        line_spacing=options["spacing"],
        tracking=options["tracking"],
        bend_deg=options["bend"],
        contour=options["contour"],
        line_mm=length_mm(options["line"], "--line"),
        gap_mm=length_mm(options["gap"], "--gap"),
    )


@click.command()
@click.argument("text", nargs=-1, required=True)
@_lettering_options
@click.option("-o", "--out", type=PATH, required=True, help="The SVG file to write.")
@click.option("--limits", default="glow", show_default=True, help="Name of the print limits, or a TOML file.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def letter(text: tuple[str, ...], out: Path, limits: str, as_json: bool, **options: Any) -> None:
    """Make art from words, one line for each TEXT, and check it. Exit code 1 if any finding is a stop."""
    lettering, print_limits = _lettering("\n".join(text), options), named_limits(limits)
    from app.lettering_reports import letter_document, letter_lines, lettered
    from app.reports import has_stop
    from layout_core.files import write_whole

    with progress_shown() as progress:
        made = lettered(lettering, print_limits, progress)
    write_whole(out, made.artwork.source)
    if as_json:
        print_json(letter_document(str(out), made))
    else:
        click.echo("\n".join(letter_lines(str(out), made)))
    click.get_current_context().exit(int(has_stop([made.report])))


@click.command()
@click.argument("csv", type=PATH)
@click.option("--job", "job_path", type=PATH, required=True, help="The job to add the names to.")
@click.option("--out", type=PATH, required=True, help="The job file to write.")
@click.option(
    "--text", default="{name}", show_default=True, help="What each row says, with {name} and {number}."
)
@_lettering_options
@click.option("--placement", default="left chest", show_default=True, help="Where on the garment.")
@click.option("--garment-size", default="adult", show_default=True)
@click.option("--order", help="Name of the order that the pieces belong to.")
@click.option("--json", "as_json", is_flag=True, help="Print the findings of each name as JSON.")
def names(csv: Path, job_path: Path, out: Path, text: str, as_json: bool, **options: Any) -> None:
    """Add one piece of lettering for each row of a list, all of one size, and check each.

    The first row of the CSV names its columns: name, number, copies. A list of bare names needs no such row.
    Exit code 1 if any finding is a stop; the job is written all the same.
    """
    lettering = _lettering(text.replace("\\n", "\n"), options)
    from app.lettering_reports import names_document, names_lines
    from app.reports import has_stop
    from layout_core.checks.run import CheckCache, piece_report
    from layout_core.job.edits import add_name_list
    from layout_core.job.file import read_job, write_job
    from layout_core.job.name_list import read_names
    from layout_core.job.placements import load_placements, placement_named
    from layout_core.progress import within

    placement_named(options["placement"], load_placements())
    opened = read_job(job_path)
    order = options["order"]
    order_id = None if order is None else order_id_of(opened, order, opened.name)
    with progress_shown() as progress:
        job = add_name_list(
            opened, read_names(csv), lettering, placement=options["placement"],
            garment_size=options["garment_size"], order_id=order_id, progress=within(progress, 0.0, 0.5),
        )  # fmt: skip
        pieces, cache = job.pieces[len(opened.pieces) :], CheckCache()
        reports = []
        for number, piece in enumerate(pieces):
            progress(0.5 + 0.5 * number / len(pieces), f"Checking {piece.name}")
            reports.append(piece_report(job, piece, cache))
    write_job(out, job)
    if as_json:
        print_json(names_document(job, pieces, reports))
    else:
        click.echo("\n".join([*names_lines(job, pieces, reports), str(out)]))
    click.get_current_context().exit(int(has_stop(reports)))


@click.command()
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def fonts(as_json: bool) -> None:
    """List the fonts that lettering can be set in, and say which files cannot be used."""
    from app.lettering_reports import fonts_document, fonts_lines
    from layout_core.art.font_folders import font_folders
    from layout_core.art.fonts import find_fonts

    with progress_shown() as progress:
        shelf = find_fonts(font_folders(), progress)
    if as_json:
        print_json(fonts_document(shelf))
    else:
        click.echo("\n".join(fonts_lines(shelf)))
