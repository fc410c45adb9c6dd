"""Which windows have a job file open, so that a second one on the same job is told."""

import contextlib
import hashlib
import os
import secrets
from pathlib import Path

from layout_core.errors import SaveError
from layout_core.job.running import is_held, own_lock, write_lock
from layout_core.user_folders import state_folder


class OpenJob:
    """One window's note that it has a job file open. Notes of windows that are gone count for nothing."""

    def __init__(self) -> None:
        self._note: Path | None = None

    def claim(self, path: Path) -> bool:
        """Note that this window has the file open, and no other any more; whether another window has it too.

        Where no note can be kept the job is opened all the same.
        """
        self.release()
        folder = state_folder() / "open" / _digest(path)
        is_shared = any(_is_live(note) for note in _notes(folder))
        self._note = folder / f"{secrets.token_hex(8)}.json"
        with contextlib.suppress(OSError, SaveError):
            folder.mkdir(parents=True, exist_ok=True)
            write_lock(self._note, own_lock())
        return is_shared

    def release(self) -> None:
        """The window has the file open no more."""
        if self._note is not None:
            with contextlib.suppress(OSError):
                self._note.unlink(missing_ok=True)
                self._note.parent.rmdir()
            self._note = None


def _notes(folder: Path) -> list[Path]:
    try:
        return sorted(folder.glob("*.json"))
    except OSError:
        return []


def _is_live(note: Path) -> bool:
    """Whether the window of the note still runs; a note of one that is gone is removed."""
    with contextlib.suppress(OSError):
        if is_held(note, note.stat().st_mtime):
            return True
        note.unlink()
    return False


def _digest(path: Path) -> str:
    real = os.path.normcase(os.path.realpath(path))
    return hashlib.sha256(real.encode("utf-8", errors="surrogatepass")).hexdigest()[:32]
