"""The commands. Qt is imported only when a window is asked for."""

import os
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, NoReturn

import click

from app.command_input import FIX_WORDS, PATH, fix_kinds, length_mm, named_limits, order_id_of, print_json
from app.console import FAILED, make_streams_safe, progress_shown, report_error, say_error
from app.hand_off_command import handoff
from app.lettering_commands import fonts, letter, names
from app.pack_command import pack
from app.plan_command import plan
from app.shape_command import shape
from layout_core.errors import DuskwrightError

_OPEN = "open"


class Commands(click.Group):
    """The group of commands; a first word that is none of them is a job to open, no word is an empty window.

    Every error ends in one line on stderr and exit code 2, and never in a traceback.
    """

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        first = args[0] if args else ""
        is_job = not first.startswith("-") and first not in self.commands and len(args) <= 1
        return super().parse_args(ctx, [_OPEN, *args] if is_job else args)

    def main(self, *args: Any, **kwargs: Any) -> NoReturn:
        make_streams_safe()
        kwargs["standalone_mode"] = False
        try:
            code = super().main(*args, **kwargs)
            sys.stdout.flush()
        except click.ClickException as error:
            code = _report_usage(error)
        except click.Abort:
            code = report_error(KeyboardInterrupt())
        except (BrokenPipeError, SystemExit):  # the second is how click leaves a broken pipe
            code = _leave_pipe()
        except (KeyboardInterrupt, Exception) as error:
            code = report_error(error)
        sys.exit(code if isinstance(code, int) else 0)


@click.group(
    cls=Commands,
    name="duskwright",
    context_settings={"help_option_names": ["-h", "--help"]},
    subcommand_metavar="[JOB | COMMAND [ARGS]...]",
)
@click.version_option(package_name="duskwright", message="%(prog)s %(version)s")
def cli() -> None:
    """Lays out glow-in-the-dark transfer sheets.

    Without a command it opens the window, with the job file if one is named.
    """


@cli.command(_OPEN, hidden=True)
@click.argument("job", type=PATH, required=False)
def open_window(job: Path | None) -> None:
    """Open the window."""
    from layout_core.job.file import read_job

    require_display(os.environ, sys.platform)
    if job is not None:
        read_job(job)  # a file that cannot be opened is told here, not in a window that then stands empty
    try:
        from app.wiring import run_window
    except ImportError as error:
        raise DuskwrightError(
            f"The window cannot start, as a part of the system is missing ({error}); "
            "the README lists what to install. The other commands need no window"
        ) from error
    click.get_current_context().exit(run_window(job))


@cli.command()
@click.option(
    "--out", type=PATH, default=Path("demo-output"), show_default=True, help="Folder to write into."
)
def demo(out: Path) -> None:
    """Run the whole sample job without a display and write its outputs."""
    from app.demo import write_demo

    with progress_shown() as progress:
        written = write_demo(out, progress)
    for path in written:
        click.echo(str(path))


@cli.command()
@click.argument("art", nargs=-1, required=True, type=PATH)
@click.option("--width", required=True, help="Width of the ink: 4in, 3 1/2, 89mm.")
@click.option("--limits", default="glow", show_default=True, help="Name of the print limits, or a TOML file.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON: one object, or a list for several arts.")
@click.option("-o", "--outline", type=PATH, help="Write the one-ink shapes at true size to this SVG file.")
@click.option("--fix", help="Repair first, by one or more of these, joined by commas: " + FIX_WORDS + ".")
@click.option("--inks", is_flag=True, help="List the colours of the art: which print, which are knocked out.")
@click.option("--ink", multiple=True, help="Let a colour print or not: “#rrggbb=print” or “#rrggbb=knock”.")
@click.option("--solid-from", help="How opaque paint must be to print, solid: 50% unless said otherwise.")
@click.option("--promise", help="Judge how far it is seen: “2m 20min dim-hall”. Decoration only.")
def check(
    art: tuple[Path, ...],
    width: str,
    limits: str,
    as_json: bool,
    outline: Path | None,
    fix: str | None,
    promise: str | None,
    inks: bool,
    ink: tuple[str, ...],
    solid_from: str | None,
) -> None:
    """Check art at a size. Exit code 1 if any finding is a stop.

    With --fix the repaired art is what is checked, and with -o what is written.
    """
    if outline is not None and len(art) > 1:
        raise click.UsageError("--outline takes one art at a time")
    width_mm, print_limits = length_mm(width, "--width"), named_limits(limits)
    fixes = () if fix is None else fix_kinds(fix)
    from app.check_command import Wanted, check_arts
    from app.ink_report import ink_wishes
    from app.promise_report import promised_lighting

    wishes = ink_wishes(inks, ink, solid_from)
    lighting = None if promise is None else promised_lighting(promise)
    with progress_shown() as progress:
        wanted = Wanted(width_mm, print_limits, outline, fixes, lighting, wishes)
        checked, errors = check_arts(art, wanted, progress)
    if as_json:
        documents = [one.document for one in checked]
        print_json(documents if len(art) > 1 else documents[0] if documents else None)
    else:
        for one in checked:
            click.echo("\n".join(one.lines))
    codes = [report_error(error) for error in errors]
    click.get_current_context().exit(max([*codes, *(int(one.has_stop) for one in checked)]))


@cli.command()
@click.argument("job", type=PATH)
@click.option("-o", "--out", type=PATH, required=True, help="The PNG or PDF file to write.")
@click.option("--order", help="Name of one order: the proof shows nothing of any other.")
def proof(job: Path, out: Path, order: str | None) -> None:
    """Draw the layout proof of a job: one tall picture, or a PDF of several pages."""
    if out.suffix.lower() not in (".png", ".pdf"):
        raise click.UsageError(
            f"{out.name}: a proof is a PNG or a PDF; give a name that ends in .png or .pdf"
        )
    from layout_core.checks.run import check_job
    from layout_core.files import write_whole
    from layout_core.job.file import read_job
    from layout_core.outputs.proof import proof_png
    from layout_core.outputs.proof_pdf import proof_pdf

    make = proof_pdf if out.suffix.lower() == ".pdf" else proof_png
    opened = read_job(job)
    order_id = None if order is None else order_id_of(opened, order, job.name)
    with progress_shown() as progress:
        findings = check_job(opened, progress=progress)
        made = make(opened, findings, order_id=order_id)
    write_whole(out, made)
    click.echo(str(out))


for command in (letter, shape, names, fonts, pack, plan, handoff):
    cli.add_command(command)


def main(arguments: Sequence[str] | None = None) -> NoReturn:
    """Run the command line (by default the program's own) and exit."""
    cli.main(None if arguments is None else list(arguments), prog_name="duskwright")


def require_display(environment: Mapping[str, str], platform: str) -> None:
    """Raise DuskwrightError where Qt would end the whole process for want of a display."""
    if platform.startswith(("linux", "freebsd")) and not any(
        environment.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    ):
        raise DuskwrightError("There is no display to open a window on. The other commands need none")


def _report_usage(error: click.ClickException) -> int:
    context = getattr(error, "ctx", None)
    command = "duskwright" if context is None else context.command_path
    say_error(f"{command}: {error.format_message()} Try “{command} --help”.")
    return FAILED


def _leave_pipe() -> int:
    """The reader of our output has gone: end quietly, and keep Python from flushing into the broken pipe."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return 0
