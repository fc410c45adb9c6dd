"""The worker process: kept warm, replaced when it dies or is stopped, gone when it is closed."""

import sys
import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from layout_core.art import caps
from layout_core.art.artwork import source_digest
from layout_core.art.intake import read_art, read_art_bytes
from layout_core.art.memory import limit_memory
from layout_core.art.sandbox import Sandbox
from layout_core.errors import ArtError, ArtLimitError, Cancelled
from tests.make import make_artwork

SQUARE = make_artwork().source


@pytest.fixture
def sandbox() -> Iterator[Sandbox]:
    box = Sandbox()
    yield box
    box.close()


def process_of(sandbox: Sandbox) -> "object":
    running = sandbox._running
    assert running is not None
    return running.process


def test_art_comes_back_whole(sandbox: Sandbox, tmp_path: Path) -> None:
    path = tmp_path / "Block one.SVG"
    path.write_bytes(SQUARE)
    art = read_art(path, sandbox=sandbox)
    assert (art.name, art.suffix, art.route, art.size_known) == ("Block one", "svg", "vector", True)
    assert art.source == SQUARE
    assert art.source_digest == source_digest(SQUARE)
    assert art.outline.bounds == pytest.approx((0, 0, 50, 40))
    assert art.outline.area == pytest.approx(2000)
    assert art.outline.is_valid
    assert art.ink_width_px is None


def test_same_file_gives_the_same_art(sandbox: Sandbox) -> None:
    first = read_art_bytes("a.svg", SQUARE, sandbox=sandbox)
    sandbox.close()
    assert read_art_bytes("a.svg", SQUARE, sandbox=sandbox) == first


def test_worker_is_kept_warm_and_ends_when_closed(sandbox: Sandbox) -> None:
    sandbox.warm_up()
    first = process_of(sandbox)
    read_art_bytes("a.svg", SQUARE, sandbox=sandbox)
    with pytest.raises(ArtError):
        read_art_bytes("b.svg", b"<svg", sandbox=sandbox)
    assert process_of(sandbox) is first
    sandbox.close()
    assert first.poll() is not None  # type: ignore[attr-defined]


def test_worker_that_died_while_idle_is_replaced(sandbox: Sandbox) -> None:
    sandbox.warm_up()
    first = process_of(sandbox)
    first.kill()  # type: ignore[attr-defined]
    assert read_art_bytes("a.svg", SQUARE, sandbox=sandbox).width_mm == pytest.approx(50)
    assert process_of(sandbox) is not first


def test_worker_that_dies_at_work_gives_a_clear_error(sandbox: Sandbox) -> None:
    def kill(fraction: float, label: str) -> None:
        if label.startswith("Reading the"):
            process_of(sandbox).kill()  # type: ignore[attr-defined]

    with pytest.raises(ArtLimitError, match="drawing engine fail"):
        read_art_bytes("a.svg", SQUARE, kill, sandbox=sandbox)
    assert read_art_bytes("a.svg", SQUARE, sandbox=sandbox).width_mm == pytest.approx(50)


def test_stop_ends_the_worker_and_passes_through(sandbox: Sandbox) -> None:
    seen: list[object] = []

    def stop(fraction: float, label: str) -> None:
        seen.append(process_of(sandbox))
        raise Cancelled

    with pytest.raises(Cancelled):
        read_art_bytes("a.svg", SQUARE, stop, sandbox=sandbox)
    assert seen[0].poll() is not None  # type: ignore[attr-defined]
    assert read_art_bytes("a.svg", SQUARE, sandbox=sandbox).width_mm == pytest.approx(50)


def test_progress_goes_forward_to_the_end(sandbox: Sandbox) -> None:
    fractions: list[float] = []
    read_art_bytes("a.svg", SQUARE, lambda fraction, label: fractions.append(fraction), sandbox=sandbox)
    assert fractions == sorted(fractions)
    assert 0.0 <= fractions[0] <= fractions[-1] <= 1.0


def test_threads_take_turns(sandbox: Sandbox) -> None:
    with ThreadPoolExecutor(4) as pool:
        arts = list(pool.map(lambda n: read_art_bytes(f"{n}.svg", SQUARE, sandbox=sandbox), range(4)))
    assert [art.name for art in arts] == ["0", "1", "2", "3"]
    assert not [thread for thread in threading.enumerate() if thread.name == "art worker"]


def test_worker_runs_where_processes_cannot_be_limited(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "resource", None)
    limit_memory(caps.MEMORY_BYTES)
