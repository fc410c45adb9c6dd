"""Everything the program saves, each as one save that the fault loops can break at any point."""

import json
import os
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from app.settings import Settings
from layout_core.errors import DuskwrightError, SaveError
from layout_core.files import write_whole
from layout_core.job import edits
from layout_core.job.file import job_bytes, read_job, write_job
from layout_core.job.model import Job
from layout_core.job.snapshots import Recoverable, SnapshotKeeper, recoverable, restore
from layout_core.outputs.new_folder import MANIFEST, whole_folder
from layout_core.user_folders import OVERRIDE
from tests.make import make_job

OLD_JOB = edits.rename_job(make_job(), "Moth survey night")
NEW_JOB = edits.rename_job(make_job(), "Tide-pool lantern walk")
OLD_BYTES, NEW_BYTES = b"old " * 300, b"new " * 500
_FOLDER_FILES = ("proof.png", "order.csv", MANIFEST)


@dataclass(frozen=True, slots=True)
class Save:
    """One thing that is saved, in a folder of its own.

    `prepare` puts the old state there; `write` saves the new one and says whether it reported success;
    `state` says what another program would find: "old", "new", or words on what is wrong.
    """

    name: str
    prepare: Callable[[Path], None]
    write: Callable[[Path], bool]
    state: Callable[[Path], str]

    def fresh(self, folder: Path) -> None:
        """Empty the folder and put the old state there."""
        shutil.rmtree(folder, ignore_errors=True)
        folder.mkdir(parents=True)
        self.prepare(folder)


def in_place(path: Path, data: bytes) -> None:
    """The bad twin of `write_whole`: what a careless program does."""
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
    os.write(handle, data)
    os.fsync(handle)
    os.close(handle)


def unsynced(path: Path, data: bytes) -> None:
    """The bad twin for power cuts: a new file put in place before the drive holds it."""
    temp = path.with_name(f".duskwright-{'0' * 16}.tmp")
    handle = os.open(temp, os.O_WRONLY | os.O_CREAT | os.O_EXCL)
    os.write(handle, data)
    os.close(handle)
    os.replace(temp, path)


def file_save(name: str, writer: Callable[[Path, bytes], None], old: bytes, new: bytes) -> Save:
    """One file that a writer of whole files saves."""

    def write(folder: Path) -> bool:
        return succeeds(lambda: writer(folder / name, new))

    def state(folder: Path) -> str:
        return _named((folder / name).read_bytes() if (folder / name).exists() else None, old, new)

    return Save(name, lambda folder: _put(folder / name, old), write, state)


def succeeds(save: Callable[[], object]) -> bool:
    """Whether the save reported success; a failure must be one of the program's own errors."""
    try:
        save()
    except SaveError:
        return False
    return True


def job_save() -> Save:
    return Save(
        "job",
        lambda folder: _put(folder / "night.duskjob", job_bytes(OLD_JOB)),
        lambda folder: succeeds(lambda: write_job(folder / "night.duskjob", NEW_JOB)),
        lambda folder: _job_state(folder / "night.duskjob"),
    )


def snapshot_save() -> Save:
    """A second snapshot of a window; found as after a crash, and restored."""
    keepers: dict[Path, SnapshotKeeper] = {}

    def prepare(folder: Path) -> None:
        keepers[folder] = SnapshotKeeper(folder)
        keepers[folder].write(OLD_JOB, None)

    def state(folder: Path) -> str:
        let_die(folder)
        found = recoverable(folder)
        if len(found) != 1:
            return f"{len(found)} pieces of work are offered"
        before = set(found[0].folder.iterdir())
        job = _restored(found[0])
        if not before <= set(found[0].folder.iterdir()):
            return "restoring deleted something"
        return _named(job, OLD_JOB, NEW_JOB)

    def write(folder: Path) -> bool:
        return succeeds(lambda: keepers[folder].write(NEW_JOB, None))

    return Save("snapshot", prepare, write, state)


def settings_save(*, recent: bool) -> Save:
    """A changed choice, or a job put first in the recent list."""

    def prepare(folder: Path) -> None:
        Settings().change(unit="mm", theme="light", motion=False)

    def write(folder: Path) -> bool:
        failures: list[str] = []
        settings = Settings()
        settings.not_saved.connect(failures.append)
        if recent:
            settings.remember_job(folder / "night.duskjob")
        else:
            settings.change(theme="dark")
        return not failures

    def state(folder: Path) -> str:
        choices = Settings().choices
        if choices.unit != "mm":
            return "the choices are gone"
        return "new" if (choices.recent_jobs if recent else choices.theme == "dark") else "old"

    return Save("recent jobs" if recent else "settings", prepare, write, state)


def folder_save() -> Save:
    """A hand-off folder in place of an earlier one."""

    def prepare(folder: Path) -> None:
        (folder / "handoff").mkdir()
        for name in _FOLDER_FILES:
            _put(folder / "handoff" / name, _folder_file(name, "old"))

    def fill(folder: Path) -> None:
        with whole_folder(folder / "handoff") as new:
            for name in _FOLDER_FILES:
                new.write(name, _folder_file(name, "new"))

    def state(folder: Path) -> str:
        found = {path.name: path.read_bytes() for path in (folder / "handoff").glob("*")}
        for age in ("old", "new"):
            if found == {name: _folder_file(name, age) for name in _FOLDER_FILES}:
                return age
        return f"a folder of {sorted(found)}"

    return Save("hand-off folder", prepare, lambda folder: succeeds(lambda: fill(folder)), state)


def all_saves() -> tuple[Save, ...]:
    return (
        job_save(),
        snapshot_save(),
        file_save("proof.png", write_whole, OLD_BYTES, NEW_BYTES),
        settings_save(recent=False),
        settings_save(recent=True),
        folder_save(),
    )


def let_die(folder: Path) -> None:
    """Let the windows whose snapshots lie here look like those of a program that is gone."""
    for lock in folder.glob("*/lock.json"):
        lock.write_bytes(b"")


def use_folder(folder: Path) -> None:
    """Let the user's own folder be below this one, for the saves that go there."""
    os.environ[OVERRIDE] = str(folder / "user")


def _put(path: Path, data: bytes) -> None:
    path.write_bytes(data)


def _named(found: object, old: object, new: object) -> str:
    return "old" if found == old else "new" if found == new else "absent" if found is None else "torn"


def _job_state(path: Path) -> str:
    if not path.exists():
        return "absent"
    try:
        return _named(read_job(path), OLD_JOB, NEW_JOB)
    except DuskwrightError as error:
        return f"cannot be read: {error}"


def _restored(left: Recoverable) -> Job | None:
    try:
        return restore(left)
    except DuskwrightError:
        return None


def _folder_file(name: str, age: str) -> bytes:
    if name == MANIFEST:
        return json.dumps({"files": [{"file": each} for each in _FOLDER_FILES[:-1]]}).encode()
    return f"{age} {name} ".encode() * 40
