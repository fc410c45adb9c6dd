"""Whether the program that left a lock behind still runs: by process id, host, and start where it is told."""

import json
import os
import platform
import sys
import time
from dataclasses import asdict, dataclass
from pathlib import Path

from layout_core.files import write_whole

_FOREIGN_LOCK_HOLDS_S = 6 * 3600.0
"""How long a lock of another computer is believed after its last snapshot. Invented."""


@dataclass(frozen=True, slots=True)
class Lock:
    """Who holds a folder of snapshots; `start` tells a process from a later one with the same id."""

    pid: int
    host: str
    start: str
    restores: int = 0


def own_lock(restores: int = 0) -> Lock:
    pid = os.getpid()
    return Lock(pid, platform.node(), _start_mark(pid), restores)


def write_lock(path: Path, lock: Lock) -> None:
    """Raises SaveError."""
    write_whole(path, json.dumps(asdict(lock), sort_keys=True).encode())


def read_lock(path: Path) -> Lock | None:
    """The lock, or None where there is none that can be read."""
    try:
        record = json.loads(path.read_bytes()[:4096])
        return Lock(
            int(record["pid"]), str(record["host"]), str(record["start"]), max(0, int(record["restores"]))
        )
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return None


def is_held(path: Path, touched: float) -> bool:
    """Whether the holder of the lock file still runs; `touched` is when its folder last changed (Unix time).

    A process on another computer cannot be asked: its lock counts for some hours after the last change.
    """
    lock = read_lock(path)
    if lock is None:
        return False
    if lock.host != platform.node():
        return time.time() - touched < _FOREIGN_LOCK_HOLDS_S
    if not _is_alive(lock.pid):
        return False
    mark = _start_mark(lock.pid)
    return not (mark and lock.start and mark != lock.start)


def _start_mark(pid: int) -> str:
    """When the process started, in the system's own ticks; empty where the system does not tell in a file."""
    try:
        stat = Path(f"/proc/{pid}/stat").read_text(encoding="utf-8", errors="replace")
    except OSError:
        return ""
    return (stat.rpartition(")")[2].split() or [""] * 20)[19:20][0]


if sys.platform == "win32":

    def _is_alive(pid: int) -> bool:
        # os.kill would end the process here, so the system is asked for its exit code.
        import ctypes

        query, still_active = 0x1000, 259
        kernel = ctypes.windll.kernel32
        handle = kernel.OpenProcess(query, False, pid)
        if not handle:
            return False
        code = ctypes.c_ulong()
        try:
            return bool(kernel.GetExitCodeProcess(handle, ctypes.byref(code))) and code.value == still_active
        finally:
            kernel.CloseHandle(handle)

else:

    def _is_alive(pid: int) -> bool:
        if pid <= 0:
            return False
        try:
            os.kill(pid, 0)
        except (ProcessLookupError, OverflowError):
            return False
        except OSError:
            return True  # it is there, but not ours to signal
        return True
