"""Works in the real window by chance and keeps a diary, until somebody ends it.

Run as `python -m tests.faults.walker FOLDER SEED [rests]`; FOLDER holds the job and the diary. Each line
of the diary is a moment (Unix time), a word and its value, and is written before the next thing happens.
"""

import hashlib
import random
import sys
import time
from pathlib import Path

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication

from app.autosave import Autosave
from app.document import Document
from app.housekeeping import Housekeeping
from app.window import MainWindow
from app.wiring import Workbench, build_workbench
from layout_core.job.file import job_bytes
from layout_core.job.model import Job
from layout_core.job.snapshots import recoverable
from tests.faults.held import open_handles, resident_mb
from tests.random_deeds import act

JOB_NAME, DIARY = "night.duskjob", "diary.txt"
PACE_MS = 15
RESTS = "rests"
REST_S = 4.0
"""With an empty job: what the draft before held is let go of, and cycles are collected."""


def digest(job: Job) -> str:
    return hashlib.sha256(job_bytes(job)).hexdigest()


class Walker:
    """One life of the program."""

    def __init__(
        self, bench: Workbench, window: MainWindow, folder: Path, seed: int, *, may_rest: bool = False
    ) -> None:
        self._bench, self._window, self._folder = bench, window, folder
        self._may_rest = may_rest
        self._chance = random.Random(seed)
        self._diary = (folder / DIARY).open("a", encoding="ascii")
        self._deeds = 0
        self._rests_until: float | None = None
        bench.document.job_changed.connect(lambda old, new: self._note("job", digest(new)))
        self._timer = QTimer(window, interval=PACE_MS)
        self._timer.timeout.connect(self.step)

    def begin(self) -> None:
        """Bring back what a crash left, or open the job's file."""
        left = recoverable()
        self._note("offered", str(len(left)))
        if left:
            Autosave.bring_back(self._bench.autosave, left[0])
        else:
            self._bench.document.open(self._folder / JOB_NAME)
        self._note("job", digest(self._bench.document.job))
        self._timer.start()

    def step(self) -> None:
        if self._rests_until is not None and not self._has_rested(self._rests_until):
            return
        self._deeds += 1
        act(self._window, self._chance)
        job = self._bench.document.job
        if self._deeds % 90 == 0:
            self._save()
        if self._deeds % 130 == 0 and sum(len(sheet.placed) for sheet in job.sheets) < 40:
            self._bench.packing.start()
        if self._deeds % 170 == 0:
            self._bench.packing.stop()
        if self._deeds % 400 == 0:
            self._window.maker.save({None: self._folder / "proof.png"})
        if self._deeds % 700 == 0:
            self._give_up()
        if self._deeds % 50 == 0:
            self._note("deeds", f"{self._deeds} {resident_mb():.1f} {open_handles()}")

    def _give_up(self) -> None:
        """Open the job again, as a person does who gives up on a draft; before that, rest if it is asked."""
        if self._may_rest:
            self._bench.packing.stop()
            self._bench.document.start_new()
            self._window.go_to("sheets")
            self._rests_until = time.monotonic() + REST_S
        else:
            self._bench.document.open(self._folder / JOB_NAME)

    def _has_rested(self, until: float) -> bool:
        """Note what the window holds with an empty job in it: the same each time, unless something leaks."""
        if time.monotonic() < until or self._bench.tasks.running_ids:
            return False
        self._rests_until = None
        self._note("rest", f"{self._deeds} {resident_mb():.1f} {open_handles()}")
        self._bench.document.open(self._folder / JOB_NAME)
        return True

    def _save(self) -> None:
        document: Document = self._bench.document
        self._note("saving", digest(document.job))
        if self._window.files.save():
            self._note("saved", digest(document.job))

    def _note(self, word: str, value: str) -> None:
        self._diary.write(f"{time.time():.3f} {word} {value}\n")
        self._diary.flush()


def main(folder: Path, seed: int, *, may_rest: bool) -> None:
    app = QApplication(sys.argv[:1])
    housekeeping, bench = Housekeeping(), build_workbench(app)
    window = MainWindow(bench)
    window.resize(1440, 900)
    window.show()
    walker = Walker(bench, window, folder, seed, may_rest=may_rest)
    QTimer.singleShot(0, walker.begin)
    app.exec()
    housekeeping.end()


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]), may_rest=RESTS in sys.argv[3:])
