"""How many faults the saves stand: I/O errors, kills, power cuts, undo amid them; prints one JSON document.

Run as `python -m tests.bench.faults`; under two minutes. Each count of violations must be 0.
"""

import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

from hypothesis import Phase, settings
from hypothesis.stateful import run_state_machine_as_test
from PySide6.QtGui import QGuiApplication

from tests.faults.io_loop import io_loop
from tests.faults.power import power_cuts
from tests.faults.saves import all_saves, use_folder
from tests.faults.shop_machine import ShopMachine

RUNS, STEPS = 300, 50


class CountingMachine(ShopMachine):
    """Adds up the steps of undo and redo over all its runs."""

    undo_total = 0

    def teardown(self) -> None:
        CountingMachine.undo_total += getattr(self, "undo_steps", 0)
        super().teardown()


def undo_figures() -> tuple[int, int]:
    """Steps of undo and redo, and whether any run broke a rule."""
    wanted = settings(max_examples=RUNS, stateful_step_count=STEPS, deadline=None, phases=[Phase.generate])
    try:
        run_state_machine_as_test(CountingMachine, settings=wanted)
    except AssertionError as error:
        print(error, file=sys.stderr)
        return CountingMachine.undo_total, 1
    return CountingMachine.undo_total, 0


def kill_figures(folder: Path) -> Any:
    run = subprocess.run(
        [sys.executable, "-W", "ignore::DeprecationWarning", "-m", "tests.faults.kill_loop", str(folder)],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    return json.loads(run.stdout)["saves"].values()


def main() -> None:
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    app = QGuiApplication([])  # the undo stack of a document belongs to one
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        use_folder(folder)
        kills = kill_figures(folder / "killed") if hasattr(os, "fork") else []
        loops = [io_loop(save, folder) for save in all_saves()]
        cuts = [power_cuts(save, folder) for save in all_saves()]
        undo_steps, undo_violations = undo_figures()
    lines = [line for loop in loops for line in loop.violations]
    print("\n".join([*lines, *(line for cut in cuts for line in cut.torn)]), file=sys.stderr)
    print(
        json.dumps(
            {
                "bench": "faults",
                "io_faults": sum(loop.faults for loop in loops),
                "io_violations": len(lines),
                "kills": sum(count for count, _ in kills),
                "torn": sum(len(torn) for _, torn in kills),
                "power_images": sum(cut.images for cut in cuts),
                "power_torn": sum(len(cut.torn) + cut.forgotten for cut in cuts),
                "undo_steps": undo_steps,
                "undo_violations": undo_violations,
            }
        )
    )
    app.quit()


if __name__ == "__main__":
    main()
