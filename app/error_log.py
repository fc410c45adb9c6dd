"""Keeps what only a programmer reads: the trace of an unforeseen error, in the user's state folder."""

import contextlib
import traceback
from pathlib import Path

from layout_core.user_folders import state_folder

MOST_BYTES = 1_000_000


def log_path() -> Path:
    """The file of unforeseen errors; it need not exist yet."""
    return state_folder() / "errors.log"


def write_trace(error: BaseException) -> None:
    """Add the error's trace to the log, which begins anew when it is full. Never raises."""
    text = "".join(traceback.format_exception(error)) + "\n"
    with contextlib.suppress(OSError):
        path = log_path()
        path.parent.mkdir(parents=True, exist_ok=True)
        mode = "w" if path.is_file() and path.stat().st_size > MOST_BYTES else "a"
        with path.open(mode, encoding="utf-8", errors="backslashreplace") as file:
            file.write(text)
