"""Puts a folder of files in place whole or not at all: built beside, then renamed."""

import contextlib
import json
import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from layout_core.errors import SaveError
from layout_core.file_system import exchanged, remove_folder, sync_folder, write_new
from layout_core.files import sweep_temps, temp_beside

MANIFEST = "manifest.json"
"""Names the files of a folder; one that holds nothing else may be replaced by a newer one."""
_MOST_MANIFEST_BYTES = 1_000_000


@dataclass(frozen=True, slots=True)
class NewFolder:
    """A folder under construction; nothing of it is seen under its own name yet."""

    beside: Path

    def write(self, name: str, data: bytes) -> None:
        """Put a file in it, synced to the disk. Raises OSError."""
        write_new(self.beside / name, data)


@contextlib.contextmanager
def whole_folder(folder: Path) -> Iterator[NewFolder]:
    """A folder to fill; it appears under its name when the block ends well, and leaves nothing otherwise.

    An empty folder, or an earlier one that holds what its manifest names and nothing else, is replaced.
    Raises SaveError for any other folder, and when the disk refuses.
    """
    target = Path(os.path.realpath(folder))
    try:
        require_replaceable(target)
        target.parent.mkdir(parents=True, exist_ok=True)
        sweep_temps(target.parent)
        beside = temp_beside(target)
        beside.mkdir()
    except (OSError, ValueError) as error:
        raise _refused(folder, error) from error
    try:
        yield NewFolder(beside)
        _put_in_place(beside, target)
    except OSError as error:
        raise _refused(folder, error) from error
    finally:
        remove_folder(beside)


def require_replaceable(folder: Path) -> None:
    """Raise SaveError unless the folder is not there, empty, or an earlier one of ours and nothing more."""
    if not folder.exists():
        return
    if not folder.is_dir():
        raise SaveError(f"{folder.name}: is a file, not a folder; choose another name")
    foreign = sorted({path.name for path in folder.iterdir()} - _own_files(folder))
    if foreign:
        raise SaveError(
            f"{folder.name}: this folder already holds {foreign[0][:60]}; choose an empty one or a new name"
        )


def _own_files(folder: Path) -> set[str]:
    """The files that the folder's manifest names, and the manifest; none when it has no sound one."""
    try:
        with (folder / MANIFEST).open("rb") as file:
            document = json.loads(file.read(_MOST_MANIFEST_BYTES))
        return {MANIFEST, *(str(entry["file"]) for entry in document["files"])}
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return set()


def _put_in_place(beside: Path, target: Path) -> None:
    """The new folder under the name; where the system can swap names, the name is never without a folder."""
    sync_folder(beside)
    if not target.exists():
        os.rename(beside, target)
    else:
        require_replaceable(target)  # a file may have come in while the new ones were made
        if not exchanged(beside, target):
            _swap_by_hand(beside, target)
    sync_folder(target.parent)


def _swap_by_hand(beside: Path, target: Path) -> None:
    old = temp_beside(target)
    os.rename(target, old)
    try:
        os.rename(beside, target)
    except OSError:
        os.rename(old, target)
        raise
    remove_folder(old)


def _refused(folder: Path, error: Exception) -> SaveError:
    reason = (getattr(error, "strerror", None) or str(error) or type(error).__name__).lower()
    return SaveError(f"{folder}: the folder could not be written ({reason}); nothing was left behind")
