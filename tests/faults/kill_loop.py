"""Ends the process by SIGKILL before and after every call of a save, and looks at what it left.

Run as `python -m tests.faults.kill_loop FOLDER`, in a process of its own, because it forks; prints JSON.
Source of the method: SQLite, 'How SQLite Is Tested', crash tests and compound failures.
"""

import contextlib
import errno
import json
import os
import shutil
import signal
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from layout_core.errors import DuskwrightError
from layout_core.files import sweep_temps
from layout_core.job.snapshots import recoverable, restore
from tests.faults.io_loop import leftovers
from tests.faults.saves import (
    NEW_BYTES,
    OLD_BYTES,
    Save,
    all_saves,
    file_save,
    in_place,
    let_die,
    snapshot_save,
    use_folder,
)
from tests.faults.system_calls import Faults, stand_between

_MOST_CALLS = 400


class Death:
    """Ends this process before or after the n-th call."""

    def __init__(self, at: int, *, after: bool) -> None:
        self.at, self.after, self.count = at, after, 0

    def call(self, name: str, real: Callable[..., Any], args: tuple[Any, ...], kwargs: dict[str, Any]) -> Any:
        self.count += 1
        if self.count == self.at and not self.after:
            os.kill(os.getpid(), signal.SIGKILL)
        result = real(*args, **kwargs)
        if self.count == self.at:
            os.kill(os.getpid(), signal.SIGKILL)
        return result


def corpses(save: Save, folder: Path, judge: Callable[[str], None]) -> int:
    """Kill the save at each point and let `judge` look at the folder; how many kills there were."""
    kills = 0
    for after in (False, True):
        for at in range(1, _MOST_CALLS):
            save.fresh(folder)
            if not _is_killed(save, folder, Death(at, after=after)):
                break
            kills += 1
            judge(f"{save.name}: killed {'after' if after else 'before'} call {at}")
    return kills


def kill_loop(save: Save, folder: Path) -> tuple[int, list[str]]:
    """Kills, and what was torn by them or left to lie for ever."""
    torn: list[str] = []

    def judge(where: str) -> None:
        state = save.state(folder)
        if state not in ("old", "new"):
            torn.append(f"{where}: {state}")
        for temp in folder.rglob(".duskwright-*"):
            os.utime(temp, (0, 0))
        for below in (folder, *(path for path in folder.rglob("*") if path.is_dir())):
            sweep_temps(below)
        if leftovers(folder):
            torn.append(f"{where}: left {leftovers(folder)}")

    return corpses(save, folder, judge), torn


def compound_loop(folder: Path) -> tuple[int, list[str]]:
    """Each corpse of a snapshot is restored while the disk fails too; afterwards it must still be there."""
    save, corpse, faults, lost = snapshot_save(), folder / "corpse", 0, []

    def judge(where: str) -> None:
        nonlocal faults
        let_die(corpse)
        for lasting in (False, True):
            for fail_at in range(1, _MOST_CALLS):
                patient = folder / "patient"
                shutil.rmtree(patient, ignore_errors=True)
                shutil.copytree(corpse, patient)
                fault = Faults(fail_at, errno.EIO, lasting=lasting, half=False)
                _restore_under(fault, patient)
                if fault.count < fail_at:
                    break
                faults += 1
                if (state := save.state(patient)) not in ("old", "new"):
                    lost.append(f"{where}, restored with a fault at call {fail_at}: {state}")

    corpses(save, corpse, judge)
    return faults, lost


def _restore_under(fault: Faults, folder: Path) -> None:
    with pytest.MonkeyPatch.context() as patch, contextlib.suppress(DuskwrightError):
        stand_between(patch, fault)
        for left in recoverable(folder):
            restore(left)


def _is_killed(save: Save, folder: Path, death: Death) -> bool:
    child = os.fork()
    if child == 0:
        with contextlib.suppress(BaseException), pytest.MonkeyPatch.context() as patch:
            stand_between(patch, death)
            save.write(folder)
        os._exit(0)
    return os.waitpid(child, 0)[1] != 0


def main(folder: Path) -> None:
    use_folder(folder / "work")
    saves: dict[str, Any] = {save.name: kill_loop(save, folder / "work") for save in all_saves()}
    twin = kill_loop(file_save("in place", in_place, OLD_BYTES, NEW_BYTES), folder / "work")
    print(json.dumps({"saves": saves, "twin": twin, "compound": compound_loop(folder)}))


if __name__ == "__main__":
    main(Path(sys.argv[1]))
