"""Power cuts: notes what a save does, then builds every disk that a cut could leave, and looks at each.

What the drive holds for sure is what was synced. Of the rest, a write may be lost, whole or torn, and new
names appear in the order they were given, up to any of them (as journals of file systems keep them).
Source of the method: SQLite, 'How SQLite Is Tested', crash tests.
"""

import itertools
import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal

import pytest

from layout_core import file_system
from tests.faults.saves import Save
from tests.faults.system_calls import stand_between

Kind = Literal["make", "folder", "move", "swap", "remove"]
Fate = Literal["lost", "whole", "torn"]


@dataclass(frozen=True, slots=True)
class Naming:
    """A change of names; `data` is the number of a file just made."""

    kind: Kind
    path: str
    other: str = ""
    data: int = -1


@dataclass(frozen=True, slots=True)
class Written:
    data: int
    content: bytes


@dataclass(frozen=True, slots=True)
class Synced:
    """A file (by number) or a folder (by path) that the drive holds from now on."""

    what: int | str


Deed = Naming | Written | Synced


class Notes:
    """Writes down what is done to files, and lets it be done."""

    def __init__(self) -> None:
        self.deeds: list[Deed] = []
        self._files: dict[int, int | str] = {}
        self._numbers = itertools.count()

    def call(self, name: str, real: Callable[..., Any], args: tuple[Any, ...], kwargs: dict[str, Any]) -> Any:
        result = real(*args, **kwargs)
        if "dir_fd" in kwargs and kwargs["dir_fd"] is not None:
            return result  # only the removal of what has been replaced goes this way
        if name == "open":
            self._opened(os.fspath(args[0]), args[1] if len(args) > 1 else 0, result)
        elif name == "write" and isinstance(number := self._files.get(args[0]), int):
            self.deeds.append(Written(number, bytes(args[1][:result])))
        elif name == "fsync" and args[0] in self._files:
            self.deeds.append(Synced(self._files[args[0]]))
        elif name in ("replace", "rename"):
            self.deeds.append(Naming("move", os.fspath(args[0]), os.fspath(args[1])))
        elif name in ("unlink", "mkdir"):
            self.deeds.append(Naming("remove" if name == "unlink" else "folder", os.fspath(args[0])))
        return result

    def swapped(self, first: bytes, second: bytes) -> None:
        self.deeds.append(Naming("swap", os.fsdecode(first), os.fsdecode(second)))

    def _opened(self, path: str, flags: int, handle: int) -> None:
        if flags & (os.O_CREAT | os.O_TRUNC):
            number = next(self._numbers)
            self._files[handle] = number
            self.deeds.append(Naming("make", path, data=number))
        else:
            self._files[handle] = path


@dataclass
class Disk:
    """What the drive holds: the content of each path, and the folders."""

    files: dict[str, bytes]
    folders: set[str] = field(default_factory=set)

    def named(self, naming: Naming, contents: dict[int, bytes]) -> None:
        if naming.kind == "make":
            self.files[naming.path] = contents[naming.data]
        elif naming.kind == "folder":
            self.folders.add(naming.path)
        elif naming.kind == "remove":
            self.files.pop(naming.path, None)
        else:
            first, second = self._taken(naming.path), self._taken(naming.other)
            self._give(naming.other, first)
            if naming.kind == "swap":
                self._give(naming.path, second)

    def _taken(self, path: str) -> "Disk":
        inside = [each for each in self.files if each == path or each.startswith(path + os.sep)]
        below = {each for each in self.folders if each == path or each.startswith(path + os.sep)}
        self.folders -= below
        return Disk(
            {each[len(path) :]: self.files.pop(each) for each in inside},
            {each[len(path) :] for each in below},
        )

    def _give(self, path: str, taken: "Disk") -> None:
        self.files |= {path + rest: content for rest, content in taken.files.items()}
        self.folders |= {path + rest for rest in taken.folders}


@dataclass(frozen=True, slots=True)
class Cuts:
    """How many disks a cut could leave, and those on which something was lost."""

    images: int
    torn: tuple[str, ...]
    forgotten: int
    """Disks of a cut after the save had reported success that hold the old state."""


def power_cuts(save: Save, folder: Path) -> Cuts:
    """Every disk that a cut during or after the save could leave."""
    save.fresh(folder)
    base = _disk_of(folder)
    notes = Notes()
    with pytest.MonkeyPatch.context() as patch:
        _note_swaps(patch, notes)
        stand_between(patch, notes)
        assert save.write(folder)
    images, torn, forgotten = 0, [], 0
    for done in range(len(notes.deeds) + 1):
        for disk in _images(base, notes.deeds[:done]):
            images += 1
            _lay_down(disk, folder)
            state = save.state(folder)
            if state not in ("old", "new"):
                torn.append(f"{save.name}: after {done} deeds: {state}")
            forgotten += state == "old" and done == len(notes.deeds)
    return Cuts(images, tuple(torn), forgotten)


def _images(base: Disk, deeds: list[Deed]) -> Iterator[Disk]:
    pieces: dict[int, tuple[list[bytes], list[bytes]]] = {}
    sure: list[Naming] = []
    pending: list[Naming] = []
    for deed in deeds:
        if isinstance(deed, Naming):
            pending.append(deed)
            pieces.setdefault(deed.data, ([], []))
        elif isinstance(deed, Written):
            pieces[deed.data][1].append(deed.content)
        elif isinstance(deed.what, int):
            held, waiting = pieces[deed.what]
            held += waiting
            waiting.clear()
        else:
            last = max((at for at, each in enumerate(pending, 1) if _is_in(each, deed.what)), default=0)
            sure += pending[:last]
            del pending[:last]
    unsure = [number for number, (_, waiting) in pieces.items() if waiting]
    fates: tuple[Fate, ...] = ("lost", "whole", "torn")
    for seen in range(len(pending) + 1):
        for chosen in itertools.product(fates, repeat=len(unsure)):
            fate = dict(zip(unsure, chosen, strict=True))
            contents = {number: _content(held, fate.get(number, "whole")) for number, held in pieces.items()}
            disk = Disk(dict(base.files), set(base.folders))
            for naming in (*sure, *pending[:seen]):
                disk.named(naming, contents)
            yield disk


def _is_in(naming: Naming, folder: str) -> bool:
    return folder in {os.path.dirname(naming.path), os.path.dirname(naming.other)}


def _content(pieces: tuple[list[bytes], list[bytes]], fate: Fate) -> bytes:
    held, waiting = b"".join(pieces[0]), b"".join(pieces[1])
    return held + {"lost": b"", "whole": waiting, "torn": waiting[: len(waiting) // 2]}[fate]


def _disk_of(folder: Path) -> Disk:
    paths = list(folder.rglob("*"))
    return Disk(
        {str(path): path.read_bytes() for path in paths if path.is_file()},
        {str(path) for path in paths if path.is_dir()},
    )


def _lay_down(disk: Disk, folder: Path) -> None:
    for path in sorted(folder.rglob("*"), reverse=True):
        path.rmdir() if path.is_dir() else path.unlink()
    for name in sorted(disk.folders):
        Path(name).mkdir(parents=True, exist_ok=True)
    for name, content in disk.files.items():
        Path(name).parent.mkdir(parents=True, exist_ok=True)
        Path(name).write_bytes(content)


def _note_swaps(patch: pytest.MonkeyPatch, notes: Notes) -> None:
    real = file_system._swap_call()

    def swap(first: bytes, second: bytes) -> int:
        code = int(real(first, second))
        if code == 0:
            notes.swapped(first, second)
        return code

    patch.setattr(file_system, "_swap_call", lambda: None if real is None else swap)
