"""Snapshots of unsaved work in the user's state folder, and which of them a crash left behind.

Each open window keeps one folder: a lock that says who holds it, the job's own path, its newest snapshots.
A save or a clean close removes the folder. Restoring takes the folder over and deletes nothing: the
snapshots outlive the restore until the window that restored them saves, which then calls `discard`. That
window's own snapshots name the folder they follow, so that a second crash offers one piece of work, not two.
"""

import contextlib
import json
import re
import secrets
import time
from dataclasses import dataclass
from pathlib import Path

from layout_core.errors import JobFileError, SaveError
from layout_core.file_system import remove_folder
from layout_core.files import sweep_temps, write_whole
from layout_core.job.file import SUFFIX, job_bytes, read_job
from layout_core.job.model import Job
from layout_core.job.running import is_held, own_lock, read_lock, write_lock
from layout_core.user_folders import state_folder

KEPT = 3
_SWEPT_AFTER_S = 3600.0
_LOCK, _ABOUT = "lock.json", "about.json"
_FOLDER_NAME = re.compile(r"[0-9a-f]{16}")


def snapshots_folder() -> Path:
    """Where every window's folder of snapshots lies; it need not exist yet."""
    return state_folder() / "snapshots"


class SnapshotKeeper:
    """Keeps the newest snapshots of one window's job. Nothing is written before the first `write`."""

    def __init__(self, root: Path | None = None) -> None:
        self._folder = (snapshots_folder() if root is None else root) / secrets.token_hex(8)
        self._number = 0
        self._last: bytes | None = None
        self._follows: str | None = None
        self._restores = 0

    def follow(self, left: "Recoverable") -> None:
        """The job was restored from there: a crash from here on counts as a failed restore until `settle`."""
        self._follows, self._restores = left.folder.name, left.restores + 1

    def settle(self) -> None:
        """A person worked on what was restored: a later crash is no failed restore."""
        self._restores = 0

    def write(self, job: Job, job_path: Path | None) -> Path:
        """Write a snapshot of the job, whose own file is `job_path` if it has one; the path of the snapshot.

        A job equal to the last snapshot is not written again. Raises SaveError; older snapshots stand.
        """
        data = job_bytes(job)
        if data == self._last:
            return self._path(self._number)
        self._hold(job, job_path)
        path = self._path(self._number + 1)
        write_whole(path, data)
        self._number, self._last = self._number + 1, data
        with contextlib.suppress(OSError):
            for old in _snapshots(self._folder)[KEPT:]:
                old.unlink()
        return path

    def close(self) -> None:
        """The job was saved or closed in peace: its snapshots are not needed. A later `write` starts anew."""
        remove_folder(self._folder)
        self._number, self._last = 0, None

    def _path(self, number: int) -> Path:
        return self._folder / f"{number:06d}{SUFFIX}"

    def _hold(self, job: Job, job_path: Path | None) -> None:
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            reason = (error.strerror or "unknown").lower()
            raise SaveError(f"{self._folder.parent}: no snapshot can be kept there ({reason})") from error
        lock = own_lock(self._restores)
        if read_lock(self._folder / _LOCK) != lock:
            write_lock(self._folder / _LOCK, lock)
        about = {
            "job_name": job.name,
            "job_path": None if job_path is None else str(job_path),
            "follows": self._follows,
        }
        write_whole(self._folder / _ABOUT, json.dumps(about, sort_keys=True).encode())


@dataclass(frozen=True, slots=True)
class Recoverable:
    """Unsaved work that a crash left behind; snapshots newest first, `saved_at` the newest's Unix time.

    `restores` counts how often in a row it was restored and ended in a crash before anybody worked on it:
    after two, the crash may lie in the job itself, and a person should be asked whether to open without it.
    `earlier` are the folders it was restored from; their snapshots stand last.
    """

    folder: Path
    snapshots: tuple[Path, ...]
    job_name: str
    job_path: Path | None
    saved_at: float
    restores: int
    earlier: tuple[Path, ...] = ()


def recoverable(root: Path | None = None) -> tuple[Recoverable, ...]:
    """What crashed windows left behind, newest first; nothing of a window that still runs.

    A folder whose newest snapshot is what its job file holds has nothing to recover and is left out.
    """
    folders = _folders(snapshots_folder() if root is None else root)
    followed = {name for folder in folders if (name := _about(folder).follows) is not None}
    found = []
    for folder in folders:
        with contextlib.suppress(OSError):
            left = _left_behind(folder)
            if left is not None and folder.name not in followed:
                found.append(left)
    return tuple(sorted(found, key=lambda left: (-left.saved_at, left.folder.name)))


def restore(left: Recoverable) -> Job:
    """The job of the newest snapshot that can be read; this program holds the folder from now on.

    Nothing is deleted. Raises JobFileError when no snapshot can be read.
    """
    with contextlib.suppress(SaveError):
        write_lock(left.folder / _LOCK, own_lock(left.restores + 1))
    for snapshot in left.snapshots:
        with contextlib.suppress(JobFileError):
            return read_job(snapshot)
    raise JobFileError(f"{left.job_name}: none of its {len(left.snapshots)} snapshots can be read")


def discard(left: Recoverable) -> None:
    """Delete what was left behind: a person declined it, or the restored job has been saved."""
    # The oldest first: what is left of a deletion that breaks off must not be offered as newer work.
    for folder in (*reversed(left.earlier), left.folder):
        remove_folder(folder)


def sweep_snapshots(root: Path | None = None) -> None:
    """Remove, at the start of the program, half-written temps and old folders with nothing to recover."""
    for folder in _folders(snapshots_folder() if root is None else root):
        sweep_temps(folder)
        with contextlib.suppress(OSError):
            # A folder that cannot be read is left alone: it may hold somebody's work.
            is_old = time.time() - _touched(folder) > _SWEPT_AFTER_S
            if is_old and not _is_held(folder) and _left_behind(folder) is None:
                for old in (*reversed(_earlier(folder)), folder):
                    remove_folder(old)


def _folders(root: Path) -> list[Path]:
    try:
        return sorted(folder for folder in root.iterdir() if folder.is_dir())
    except OSError:
        return []


def _snapshots(folder: Path) -> list[Path]:
    """Newest first."""
    return sorted(folder.glob(f"*{SUFFIX}"), key=lambda path: path.name, reverse=True)


def _is_held(folder: Path) -> bool:
    return is_held(folder / _LOCK, _touched(folder))


def _touched(folder: Path) -> float:
    return max((path.stat().st_mtime for path in folder.iterdir()), default=folder.stat().st_mtime)


def _left_behind(folder: Path) -> Recoverable | None:
    """What the folder holds for recovery; None when its window runs or nothing differs from the job file."""
    snapshots = _snapshots(folder)
    if not snapshots or _is_held(folder):
        return None
    saved_at = snapshots[0].stat().st_mtime
    about = _about(folder)
    if about.job_path is not None and _is_in(about.job_path, snapshots[0]):
        return None
    lock = read_lock(folder / _LOCK)
    restores = 0 if lock is None else lock.restores
    earlier = _earlier(folder)
    older = [snapshot for each in earlier for snapshot in _snapshots(each)]
    every = (*snapshots, *older)
    return Recoverable(folder, every, about.job_name, about.job_path, saved_at, restores, earlier)


def _earlier(folder: Path) -> tuple[Path, ...]:
    """The folders that its work was restored from, the latest first."""
    chain: list[Path] = []
    name = _about(folder).follows
    while name is not None and (before := folder.parent / name) not in chain and before.is_dir():
        chain.append(before)
        name = _about(before).follows
    return tuple(chain)


@dataclass(frozen=True, slots=True)
class _About:
    job_name: str = "Unnamed job"
    job_path: Path | None = None
    follows: str | None = None


def _about(folder: Path) -> _About:
    try:
        record = json.loads((folder / _ABOUT).read_bytes()[:65536])
        path, follows = record["job_path"], record.get("follows")
        is_name = isinstance(follows, str) and _FOLDER_NAME.fullmatch(follows) is not None
        return _About(
            str(record["job_name"]), None if path is None else Path(str(path)), follows if is_name else None
        )
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return _About()


def _is_in(job_path: Path, snapshot: Path) -> bool:
    """Whether the job file holds the snapshot already; a job file out of reach holds nothing."""
    try:
        same_size = job_path.stat().st_size == snapshot.stat().st_size
        return same_size and job_path.read_bytes() == snapshot.read_bytes()
    except (OSError, ValueError):
        return False
