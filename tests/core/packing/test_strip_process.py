"""The strip solver in its own process: whatever becomes of it, the program gets its turn back."""

import time

import pytest
from shapely import Polygon, affinity

from layout_core.packing import strip_process
from layout_core.packing.strip_process import StripItem, StripSolver

BLOCK = StripItem([(0.0, 0.0), (30.0, 0.0), (30.0, 20.0), (0.0, 20.0)], 4, (0.0, 90.0, 180.0, 270.0))


def solver(monkeypatch: pytest.MonkeyPatch, boot: str, seconds: float = 0.3) -> StripSolver:
    """A solver whose process runs this code instead."""
    monkeypatch.setattr(strip_process, "_BOOT", boot)
    return StripSolver([BLOCK], 60.0, 1.0, seconds)


def test_the_solver_lays_every_copy_apart_within_the_strip() -> None:
    running = StripSolver([BLOCK], 60.0, 1.0, 3600.0)
    layout = next(running.layouts())
    running.close()
    lying = [
        affinity.translate(affinity.rotate(Polygon(BLOCK.points), s.turn_deg, origin=(0, 0)), s.x, s.y)
        for s in layout
    ]
    assert len(lying) == 4
    assert all(y0 >= -1e-3 and y1 <= 60.001 for _, y0, _, y1 in (shape.bounds for shape in lying))
    assert all(a.distance(b) >= 0.999 for at, a in enumerate(lying) for b in lying[:at])


@pytest.mark.parametrize(
    "boot",
    [
        "import os; os.abort()",
        "raise SystemExit(3)",
        "print('no JSON')",
        'import sys; sys.stdin.read(); print(\'{"kind": "failed", "why": "panic"}\')',
    ],
)
def test_a_process_that_fails_gives_no_layouts(monkeypatch: pytest.MonkeyPatch, boot: str) -> None:
    running = solver(monkeypatch, boot, seconds=60.0)
    assert list(running.layouts()) == []
    running.close()


def test_a_panic_of_the_solver_is_no_layout() -> None:
    too_wide = StripItem([(0.0, 0.0), (90.0, 0.0), (90.0, 90.0), (0.0, 90.0)], 1, (0.0,))
    running = StripSolver([too_wide], 60.0, 1.0, 60.0)
    assert list(running.layouts()) == []
    running.close()


def test_a_process_that_wants_all_memory_is_refused_it(monkeypatch: pytest.MonkeyPatch) -> None:
    boot = (
        "import json, sys; sys.path[:] = json.loads(sys.argv[1]);"
        " from layout_core.art.memory import limit_memory; limit_memory(10**9); bytearray(10**13)"
    )
    running = solver(monkeypatch, boot, seconds=60.0)
    assert list(running.layouts()) == []
    running.close()


def test_a_process_that_hangs_is_given_up_and_ended(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(strip_process, "_GRACE_S", 0.1)
    running = solver(monkeypatch, "import time; time.sleep(3600)")
    process = running._process
    assert process is not None
    assert list(running.layouts()) == []
    running.close()
    assert process.poll() is not None


def test_closing_ends_it_in_the_middle_of_its_work() -> None:
    running = StripSolver([BLOCK], 60.0, 1.0, 3600.0)
    process = running._process
    assert process is not None
    next(running.layouts())
    running.close()
    assert process.poll() is not None
    running.close()


def test_layouts_come_shorter_and_shorter(monkeypatch: pytest.MonkeyPatch) -> None:
    lines = ";".join(
        f'print(\'{{"kind": "better", "width": {w}, "placed": [["0", 0, {w}, 0]]}}\')' for w in (9, 7, 8, 5)
    )
    running = solver(monkeypatch, f"import sys; sys.stdin.read(); {lines}", seconds=60.0)
    assert [layout[0].x for layout in running.layouts()] == [9, 7, 5]
    running.close()


def test_time_is_told_as_progress(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(strip_process, "_GRACE_S", 0.1)
    shares: list[float] = []
    running = solver(monkeypatch, "import time; time.sleep(3600)", seconds=0.2)
    start_s = time.monotonic()
    assert list(running.layouts(lambda share, _label: shares.append(share))) == []
    running.close()
    assert time.monotonic() - start_s >= 0.2
    assert shares == sorted(shares)
    assert shares[-1] == 1.0
