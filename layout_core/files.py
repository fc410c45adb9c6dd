"""Writes whole files or nothing: temp in the same folder, checked write, sync, replace.

What no program can stop: a drive that reports a sync it has not done, a network folder whose rename is not
whole, and another program that writes the same file.
"""

import contextlib
import os
import secrets
import time
from pathlib import Path

from layout_core.errors import SaveError

TEMP_PREFIX = ".duskwright-"
_REPLACE_TRIES = 5
_ABANDONED_AFTER_S = 3600.0


def write_whole(path: Path, data: bytes) -> None:
    """Put data at path so that a crash or a full disk leaves either the old file or the new one.

    Raises SaveError naming the file and the reason; then the old file stands and no temp file is left.
    A link is followed once and stays a link; an existing file keeps its permissions.
    """
    try:
        target = Path(os.path.realpath(path))
        _replace(target, data)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error) or type(error).__name__
        folder = Path(path).parent
        raise SaveError(f"{Path(path).name}: could not be saved in {folder} ({reason.lower()})") from error


def sweep_temps(folder: Path) -> int:
    """Remove what a killed program left half-written in the folder; how many files went.

    Temps younger than an hour stay: another program may be writing them.
    """
    swept = 0
    with contextlib.suppress(OSError):
        for temp in folder.glob(f"{TEMP_PREFIX}*.tmp"):
            with contextlib.suppress(OSError):
                if time.time() - temp.stat().st_mtime > _ABANDONED_AFTER_S:
                    temp.unlink()
                    swept += 1
    return swept


def _replace(target: Path, data: bytes) -> None:
    mode = _old_mode(target)
    temp = target.parent / f"{TEMP_PREFIX}{secrets.token_hex(8)}.tmp"
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0) | getattr(os, "O_CLOEXEC", 0)
    handle = os.open(temp, flags, 0o666 if mode is None else mode)
    try:
        _fill(handle, data)
        if mode is not None:
            # A share that keeps no permissions refuses this; the temp is then no more open than the old file.
            with contextlib.suppress(OSError):
                os.chmod(temp, mode)
        _put_in_place(temp, target)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(temp)
        raise
    _sync_folder(target.parent)


def _old_mode(target: Path) -> int | None:
    try:
        return os.stat(target).st_mode & 0o777
    except FileNotFoundError:
        return None


def _fill(handle: int, data: bytes) -> None:
    try:
        view = memoryview(data)
        while view:
            written = os.write(handle, view)
            if written <= 0:
                raise OSError("nothing more could be written")
            view = view[written:]
        os.fsync(handle)
    finally:
        os.close(handle)


def _put_in_place(temp: Path, target: Path) -> None:
    """Replace, patiently: on Windows a scanner or a sync program may hold the old file for a moment."""
    for attempt in range(_REPLACE_TRIES):
        try:
            os.replace(temp, target)
            return
        except PermissionError:
            if os.name != "nt" or attempt == _REPLACE_TRIES - 1:
                raise
            time.sleep(0.05 * 2**attempt)


def _sync_folder(folder: Path) -> None:
    """Make the new name durable where the system can; the new file is in place whether it can or not."""
    if os.name != "posix":
        return
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
