"""What systems do differently when a file is made, synced, put in place and removed.

Sources: POSIX.1-2017 fsync and rename; Linux man-pages renameat2(2); macOS fcntl(2), F_FULLFSYNC, and
renamex_np(2). Those of macOS and Windows are from memory, not run there.
"""

import contextlib
import ctypes
import errno
import os
import shutil
import sys
import time
from pathlib import Path
from typing import Any

IS_WINDOWS = os.name == "nt"
_REPLACE_TRIES = 5
_F_FULLFSYNC = 51
_HERE = -100  # AT_FDCWD: a path counts from the working folder
_EXCHANGE = 2  # RENAME_EXCHANGE of Linux and RENAME_SWAP of macOS happen to be the same number
_NOT_HERE = {errno.ENOSYS, errno.EINVAL, errno.ENOTSUP, errno.EOPNOTSUPP, errno.EPERM}


def write_new(path: Path, data: bytes, mode: int = 0o666) -> None:
    """Make a file that must not be there yet, write all of it, and sync it.

    Raises OSError; then nothing of it is left.
    """
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0) | getattr(os, "O_CLOEXEC", 0)
    handle = os.open(path, flags, mode)
    try:
        _fill(handle, data)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(path)
        raise


def _fill(handle: int, data: bytes) -> None:
    try:
        view = memoryview(data)
        while view:
            written = os.write(handle, view)
            if written <= 0:
                raise OSError("nothing more could be written")
            view = view[written:]
        sync_file(handle)
    finally:
        os.close(handle)


def sync_file(handle: int) -> None:
    """Have the drive hold what was written. macOS leaves it in the drive's cache unless asked for more."""
    if sys.platform == "darwin":
        import fcntl

        # A network share knows only the plain way.
        with contextlib.suppress(OSError):
            fcntl.fcntl(handle, _F_FULLFSYNC)
            return
    os.fsync(handle)


def sync_folder(folder: Path) -> None:
    """Make new names durable where the system can; the files are in place whether it can or not."""
    if IS_WINDOWS:
        return
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def replace_file(source: Path, target: Path) -> None:
    """Put source in the place of target, patiently: on Windows a scanner may hold the old file for a moment.

    Raises OSError; then both stand as they were.
    """
    for attempt in range(_REPLACE_TRIES):
        try:
            os.replace(source, target)
            return
        except PermissionError:
            if not IS_WINDOWS or attempt == _REPLACE_TRIES - 1:
                raise
            time.sleep(0.05 * 2**attempt)


def remove_folder(folder: Path) -> None:
    """Remove a folder with all it holds, as far as the system lets it; never raises OSError."""
    for _ in range(2):  # one that was disturbed half-way is removed at the second go
        with contextlib.suppress(OSError):
            shutil.rmtree(folder, ignore_errors=True)
        with contextlib.suppress(OSError):
            if not os.path.lexists(folder):
                return


def exchanged(first: Path, second: Path) -> bool:
    """Swap two names in one step, so that neither is ever absent; False where this system or disk cannot.

    Raises OSError for any other reason; then both stand as they were.
    """
    swap = _swap_call()
    if swap is None:
        return False
    ctypes.set_errno(0)
    if swap(os.fsencode(first), os.fsencode(second)) == 0:
        return True
    code = ctypes.get_errno()
    if code in _NOT_HERE:
        return False
    raise OSError(code, os.strerror(code))


def _swap_call() -> Any:
    """A function of two encoded paths that gives 0 on success; None where the system has none."""
    if IS_WINDOWS:
        return None
    library = ctypes.CDLL(None, use_errno=True)
    if sys.platform == "darwin":
        call = getattr(library, "renamex_np", None)
        return None if call is None else lambda first, second: call(first, second, _EXCHANGE)
    call = getattr(library, "renameat2", None)
    return None if call is None else lambda first, second: call(_HERE, first, _HERE, second, _EXCHANGE)
