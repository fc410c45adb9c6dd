"""Hours of random work in the real window, killed every minute, looked at each time; prints one JSON line.

Run as `python -m tests.bench.longrun --minutes M [--life SECONDS]`. One window is killed and started again; a
second one works undisturbed and rests every 700 deeds with an empty job, to watch its memory and its handles:
both must stay flat from rest to rest. While it works they follow what random deeds have piled up
(`memory_most_mb`). `violations` must be empty.
"""

import argparse
import json
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path
from statistics import median

from layout_core.job.file import read_job, write_job
from layout_core.job.snapshots import recoverable, restore
from layout_core.user_folders import OVERRIDE
from tests.faults.walker import DIARY, JOB_NAME, RESTS, digest
from tests.window_kit import shop_job

BEHIND_S = 3.0
_WARM_RESTS = 2
"""Panels, fonts and libraries are made on first use; the rests after these are compared."""


@dataclass
class Figures:
    kills: int = 0
    deeds: int = 0
    oldest_snapshot_s: float = 0.0
    violations: list[str] = field(default_factory=list)


class Window:
    """A walker in a folder of its own."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        folder.mkdir()
        write_job(folder / JOB_NAME, shop_job())
        self.last_save = digest(read_job(folder / JOB_NAME))
        self._process: subprocess.Popen[bytes] | None = None

    def start(self, seed: int, *extra: str) -> None:
        (self.folder / DIARY).unlink(missing_ok=True)
        env = {**os.environ, "QT_QPA_PLATFORM": "offscreen", OVERRIDE: str(self.folder / "user")}
        self._process = subprocess.Popen(
            [sys.executable, "-m", "tests.faults.walker", str(self.folder), str(seed), *extra],
            env=env, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE,
        )  # fmt: skip

    def kill(self) -> tuple[float, str]:
        """When it was killed, and what it had said on its own if it died before."""
        assert self._process is not None
        gone = self._process.poll()
        if gone is None:
            self._process.send_signal(signal.SIGKILL)
        moment = time.time()
        said = self._process.communicate()[1].decode(errors="replace")
        return moment, f"ended by itself ({gone}): {said[-600:]}" if gone is not None else ""

    def diary(self) -> list[tuple[float, str, str]]:
        path = self.folder / DIARY
        lines = path.read_text(encoding="ascii").splitlines() if path.exists() else []
        parts = (line.split(" ", 2) for line in lines)
        return [(float(part[0]), part[1], part[2]) for part in parts if len(part) == 3]


def look_at(window: Window, killed_at: float, figures: Figures) -> None:
    """The rules (a), (b), (g) and (h) of 'nothing lost' on what a killed window left."""
    diary = window.diary()
    saves = [value for _, word, value in diary if word == "saved"]
    begun = [value for _, word, value in diary if word == "saving"]
    reported = saves[-1] if saves else window.last_save
    allowed = {reported, *begun[len(saves) :][:1]}
    found = digest(read_job(window.folder / JOB_NAME))
    if found not in allowed:
        figures.violations.append(f"kill {figures.kills}: the file is not the last save")
    window.last_save = found
    os.environ[OVERRIDE] = str(window.folder / "user")
    left = recoverable()
    if len(left) > 1:
        figures.violations.append(f"kill {figures.kills}: {len(left)} pieces of work are offered")
    kept = found if not left else digest(read_job(left[0].snapshots[0]))
    age = _age_s([(at, value) for at, word, value in diary if word == "job"], kept, killed_at)
    if age is None:
        figures.violations.append(f"kill {figures.kills}: what is offered was never the job")
    else:
        figures.oldest_snapshot_s = max(figures.oldest_snapshot_s, age)
        if age > BEHIND_S:
            figures.violations.append(f"kill {figures.kills}: the newest work kept is {age:.1f} s old")
    if left and (restore(left[0]) is None or not left[0].snapshots[0].exists()):
        figures.violations.append(f"kill {figures.kills}: restoring deleted the snapshot")


def _age_s(jobs: list[tuple[float, str]], kept: str, killed_at: float) -> float | None:
    """How long before its end the window last held what was kept; None if it never did."""
    if not jobs:
        return 0.0
    ends = [at for at, _ in jobs[1:]] + [killed_at]
    held = [end for (_, value), end in zip(jobs, ends, strict=True) if value == kept]
    return killed_at - held[-1] if held else None


def growth(diary: list[tuple[float, str, str]]) -> tuple[list[float], float, int]:
    """Memory (MB) at each rest, and by how much it and the handles grew since the warm-up.

    Growth is from the median of the first third of the rests to that of the last; 0 for fewer than two.
    """
    rows = [[float(word) for word in value.split()[1:]] for _, kind, value in diary if kind == "rest"]
    warm = rows[_WARM_RESTS:]
    if len(warm) < 2:
        return [row[0] for row in rows], 0.0, 0
    third = max(len(warm) // 3, 1)
    memory, handles = (
        median(row[column] for row in warm[-third:]) - median(row[column] for row in warm[:third])
        for column in (0, 1)
    )
    return [row[0] for row in rows], memory, round(handles)


def run(minutes: float, life_s: float, folder: Path) -> dict[str, object]:
    figures, mortal, steady = Figures(), Window(folder / "mortal"), Window(folder / "steady")
    until = time.monotonic() + minutes * 60.0
    steady.start(0, RESTS)
    while time.monotonic() < until:
        mortal.start(figures.kills + 1)
        time.sleep(max(min(life_s, until - time.monotonic()), 1.0))
        killed_at, died = mortal.kill()
        figures.kills += 1
        if died:
            figures.violations.append(f"kill {figures.kills}: {died}")
        look_at(mortal, killed_at, figures)
        figures.deeds += _deeds(mortal)
    _, died = steady.kill()
    if died:
        figures.violations.append(f"the steady window {died}")
    diary = steady.diary()
    at_rest_mb, memory_mb, handles = growth(diary)
    return {
        "bench": "longrun",
        "minutes": minutes,
        "deeds": figures.deeds + _deeds(steady),
        "kills": figures.kills,
        "oldest_snapshot_s": round(figures.oldest_snapshot_s, 2),
        "memory_at_rest_mb": at_rest_mb,
        "memory_growth_mb": round(memory_mb, 1),
        "memory_most_mb": max(
            (float(value.split()[1]) for _, word, value in diary if word == "deeds"), default=0.0
        ),
        "handle_growth": handles,
        "violations": figures.violations,
    }


def _deeds(window: Window) -> int:
    counts = [int(value.split()[0]) for _, word, value in window.diary() if word == "deeds"]
    return counts[-1] if counts else 0


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--minutes", type=float, default=60.0)
    parser.add_argument("--life", type=float, default=60.0, help="seconds from start to kill")
    wanted = parser.parse_args()
    folder = Path(tempfile.mkdtemp())
    try:
        print(json.dumps(run(wanted.minutes, wanted.life, folder)))
    finally:
        shutil.rmtree(folder, ignore_errors=True)


if __name__ == "__main__":
    main()
