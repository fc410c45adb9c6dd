"""Writes whole files or nothing: temp in the same folder, checked write, sync, replace."""

import os
import tempfile
from pathlib import Path

from layout_core.errors import SaveError


def write_whole(path: Path, data: bytes) -> None:
    """Put data at path so that a crash or a full disk leaves either the old file or the new one.

    Raises SaveError naming the file and the reason; then the old file stands and no temp file is left.
    """
    target = Path(os.path.realpath(path))
    try:
        _replace(target, data)
    except OSError as error:
        reason = error.strerror or type(error).__name__
        raise SaveError(f"{path.name}: could not be saved in {target.parent} ({reason.lower()})") from error


def _replace(target: Path, data: bytes) -> None:
    handle, temp_name = tempfile.mkstemp(prefix=f".{target.name}.", dir=target.parent)
    try:
        try:
            view = memoryview(data)
            while view:
                view = view[os.write(handle, view) :]
            os.fsync(handle)
        finally:
            os.close(handle)
        if target.exists():
            os.chmod(temp_name, target.stat().st_mode & 0o777)
        os.replace(temp_name, target)
    except BaseException:
        Path(temp_name).unlink(missing_ok=True)
        raise
    _sync_folder(target.parent)


def _sync_folder(folder: Path) -> None:
    """Make the new name durable where the system can open folders (Windows cannot)."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
