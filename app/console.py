"""What the commands say on a terminal: progress while they work, one line when they cannot."""

import contextlib
import io
import os
import sys
import traceback
from collections.abc import Iterator
from typing import TextIO

from app.messages import message_for
from layout_core.errors import Cancelled, DuskwrightError
from layout_core.progress import Progress, no_progress

DEBUG = "DUSKWRIGHT_DEBUG"
"""Environment variable that adds the full trace of an error to its one line."""

FAILED, INTERRUPTED = 2, 130


def make_streams_safe() -> None:
    """A name that the terminal cannot show, or no terminal at all, must not end the command."""
    sys.stdout = sys.stdout or io.StringIO()
    sys.stderr = sys.stderr or io.StringIO()
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace" if stream is sys.stdout else "backslashreplace")


def say_error(text: str) -> None:
    """One line on stderr."""
    print(" ".join(text.split()), file=sys.stderr)


def error_line(error: BaseException) -> str:
    """The error as one line that names the file and what to do."""
    if isinstance(error, DuskwrightError | OSError | MemoryError):
        message = message_for(error, "the output")
        next_step = message.next_step
        if isinstance(error.__cause__, FileNotFoundError):
            next_step = "Check the name and the folder"
        elif type(error) is DuskwrightError:
            next_step = ""  # its own text says what to do
        # A sentence that begins with a file's name keeps it as it is spelt.
        return " ".join(f"{part.rstrip('.')}." for part in (message.what, next_step) if part)
    return (
        f"Something went wrong inside Duskwright ({type(error).__name__}). Nothing was written. "
        f"Set {DEBUG}=1 and run it again to see where."
    )


def report_error(error: BaseException) -> int:
    """Say the error; the exit code it ends the command with."""
    if isinstance(error, KeyboardInterrupt | Cancelled):
        say_error("Stopped.")
        return INTERRUPTED
    if os.environ.get(DEBUG, "") not in ("", "0"):
        traceback.print_exception(error)
    say_error(error_line(error))
    return FAILED


@contextlib.contextmanager
def progress_shown(stream: TextIO | None = None) -> Iterator[Progress]:
    """A Progress drawn as a bar on stderr when that is a terminal; silent in a pipe."""
    stream = sys.stderr if stream is None else stream
    if not stream.isatty():
        yield no_progress
        return
    from rich.console import Console
    from rich.progress import BarColumn, TaskProgressColumn, TextColumn
    from rich.progress import Progress as Bar

    columns = (BarColumn(bar_width=28), TaskProgressColumn(), TextColumn("{task.description}", markup=False))
    with Bar(*columns, console=Console(file=stream), transient=True) as bar:
        task = bar.add_task("", total=1.0)

        def tick(fraction: float, label: str) -> None:
            bar.update(task, completed=fraction, description=label)

        yield tick
