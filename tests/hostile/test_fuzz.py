"""The fuzzer bites: a reader that breaks, dies, hangs or changes its mind is found."""

import random
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from layout_core.errors import ArtError, TableError
from tests.hostile import oracle as oracles
from tests.hostile.fuzz import Campaign, Examiner, inputs
from tests.hostile.oracle import Oracle
from tests.hostile.seeds import KINDS, seeds_of
from tests.hostile.shrink import smallest

BAD = b"name\nBAD\n"


@pytest.fixture
def oracle(tmp_path: Path) -> Iterator[Oracle]:
    judge = Oracle(tmp_path)
    yield judge
    judge.close()


def _raise(error: Exception) -> Any:
    raise error


@pytest.mark.parametrize(
    ("reader", "kind"),
    [
        (lambda path: path.read_bytes(), "good"),
        (lambda path: _raise(TableError("x: is wrong")), "refused"),
        (lambda path: _raise(ZeroDivisionError()), "escape"),
        (lambda path: _raise(MemoryError()), "escape"),
        (lambda path: _raise(TableError("")), "escape"),
        (lambda path, seen=[]: seen.append(1) or len(seen), "escape"),  # changes its mind
    ],
)
def test_only_results_and_refusals_are_clean(
    reader: Callable[[Path], Any], kind: str, oracle: Oracle, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(oracles._READERS, "names.csv", reader)
    assert oracle.verdict("names.csv", BAD).kind == kind


def test_a_refusal_of_two_lines_would_be_found(oracle: Oracle, monkeypatch: pytest.MonkeyPatch) -> None:
    class Rude(TableError):
        def __str__(self) -> str:
            return "two\nlines"

    monkeypatch.setitem(oracles._READERS, "names.csv", lambda path: _raise(Rude("x")))
    assert oracle.verdict("names.csv", BAD).words == "a refusal that is no sentence, Rude"


def test_an_unforeseen_error_of_the_worker_is_found(oracle: Oracle, monkeypatch: pytest.MonkeyPatch) -> None:
    """The worker words any error of its own; a person is told, yet the fuzzer must not be content."""
    error = ArtError("x.svg", "cannot be read (KeyError)")
    monkeypatch.setattr(oracles, "read_art_bytes", lambda *args, **options: _raise(error))
    monkeypatch.setattr(oracles, "convert", lambda data: {}[data])
    assert oracle.verdict("x.svg", b"<svg/>").words == "KeyError in outside"


def test_what_computes_too_long_is_a_hang(oracle: Oracle, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(oracles, "HANG_S", -1.0)
    assert oracle.verdict("names.csv", BAD).kind == "hang"


_DYING = """
import sys
from layout_core.art.pipe import read_frame, write_frame
write_frame(sys.stdout.buffer, {"kind": "ready"})
while True:
    _, (data,) = read_frame(sys.stdin.buffer)
    if b"BAD" in data:
        sys.exit(1)
    if b"SLEEP" in data:
        sys.stdin.buffer.read()
    write_frame(sys.stdout.buffer, {"kind": "good", "words": "", "seconds": 0.0})
"""


@pytest.fixture
def dying() -> Iterator[Examiner]:
    examiner = Examiner((sys.executable, "-c", _DYING))
    yield examiner
    examiner.close()


def test_a_process_that_dies_or_falls_silent_is_found_and_replaced(dying: Examiner) -> None:
    assert dying.verdict("x", BAD, is_thorough=False).words == "the process that read it died"
    assert dying.verdict("x", b"SLEEP", is_thorough=False, seconds=0.01).kind == "hang"
    assert dying.verdict("x", b"good", is_thorough=False).kind == "good"


def test_the_first_file_of_a_fault_is_made_small_and_kept(dying: Examiner, tmp_path: Path) -> None:
    campaign = Campaign(dying, tmp_path / "kept")
    for data in (b"good", b"much before BAD and after", b"BAD again"):
        campaign.examine("names.csv", data, is_thorough=False)
    (kept,) = (tmp_path / "kept").iterdir()
    assert kept.read_bytes() == b"BAD"
    assert kept.name.endswith("-names.csv")
    assert campaign.verdicts == {"good": 1, "escape": 2}


def test_a_file_is_made_small_within_its_tries() -> None:
    tried: list[bytes] = []

    def is_bad(data: bytes) -> bool:
        tried.append(data)
        return b"x" in data and b"y" in data

    assert smallest(b"a" * 99 + b"x" + b"b" * 99 + b"y" + b"c" * 99, is_bad) == b"xy"
    tried.clear()
    assert smallest(b"a" * 5_000, is_bad, tries=40) == b"a" * 5_000
    assert len(tried) == 40


@pytest.mark.parametrize("kind", KINDS)
def test_the_same_chance_gives_the_same_broken_files(kind: str) -> None:
    seeds = seeds_of(kind)
    first, second = (inputs(kind, random.Random(5), seeds) for _ in range(2))
    files = [next(first) for _ in range(40)]
    assert files == [next(second) for _ in range(40)]
    whole = {data for _, data in seeds}
    assert sum(data not in whole for _, data in files) >= 30


_SLOW = ("clip", "tiles", "blur", "grow", "picture")
"""Drawings that a fine rendering must tell; each takes seconds."""


@pytest.mark.parametrize("kind", ["bytes", "job", "toml", "csv"])
def test_every_seed_itself_is_read(kind: str, oracle: Oracle) -> None:
    """Or the fuzzer would only try the door."""
    for name, data in seeds_of(kind):
        if name.partition(".")[0] not in _SLOW:
            assert oracle.verdict(name, data, is_thorough=False).kind == "good", name


def test_a_folder_adds_its_small_files_of_the_right_sort(tmp_path: Path) -> None:
    (tmp_path / "a.svg").write_bytes(b"<svg/>")
    (tmp_path / "b.txt").write_bytes(b"words")
    (tmp_path / "c.svg").write_bytes(b"<svg/>" * 1000)
    assert seeds_of("structure", tmp_path)[-1] == ("a.svg", b"<svg/>")
    assert len(seeds_of("structure", tmp_path)) == len(seeds_of("structure")) + 1
