"""Writes whole files or nothing: temp in the same folder, checked write, sync, replace.

What no program can stop: a drive that reports a sync it has not done, a network folder whose rename is not
whole, and another program that writes the same file.
"""

import contextlib
import os
import re
import secrets
import time
from pathlib import Path

from layout_core.errors import SaveError
from layout_core.file_system import remove_folder, replace_file, sync_folder, write_new

_TEMP_NAME = re.compile(r"\.duskwright-[0-9a-f]{16}(\.tmp)?")
_ABANDONED_AFTER_S = 3600.0


def write_whole(path: Path, data: bytes) -> None:
    """Put data at path so that a crash or a full disk leaves either the old file or the new one.

    Raises SaveError naming the file and the reason; then the old file stands and no temp file is left.
    A link is followed once and stays a link; an existing file keeps its permissions. What a killed program
    left in the folder more than an hour ago goes with it.
    """
    try:
        target = Path(os.path.realpath(path))
        _replace(target, data)
        sweep_temps(target.parent)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error) or type(error).__name__
        folder = Path(path).parent
        raise SaveError(f"{Path(path).name}: could not be saved in {folder} ({reason.lower()})") from error


def temp_beside(target: Path, ending: str = "") -> Path:
    """A name that nothing has, in the same folder, for what is to be put in place of target."""
    return target.parent / f".duskwright-{secrets.token_hex(8)}{ending}"


def sweep_temps(folder: Path) -> int:
    """Remove what a killed program left half-written in the folder; how many files and folders went.

    Those younger than an hour stay: another program may be writing them.
    """
    swept = 0
    with contextlib.suppress(OSError):
        for temp in folder.iterdir():
            if _TEMP_NAME.fullmatch(temp.name):
                with contextlib.suppress(OSError):
                    swept += _swept(temp)
    return swept


def _swept(temp: Path) -> bool:
    if time.time() - temp.lstat().st_mtime <= _ABANDONED_AFTER_S:
        return False
    if temp.is_dir() and not temp.is_symlink():
        remove_folder(temp)
    else:
        temp.unlink()
    return True


def _replace(target: Path, data: bytes) -> None:
    mode = _old_mode(target)
    temp = temp_beside(target, ".tmp")
    write_new(temp, data, 0o666 if mode is None else mode)
    try:
        if mode is not None:
            # A share that keeps no permissions refuses this; the temp is then no more open than the old file.
            with contextlib.suppress(OSError):
                os.chmod(temp, mode)
        replace_file(temp, target)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(temp)
        raise
    sync_folder(target.parent)


def _old_mode(target: Path) -> int | None:
    try:
        return os.stat(target).st_mode & 0o777
    except FileNotFoundError:
        return None
