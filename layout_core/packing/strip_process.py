"""The program's side of the strip solver: starts its process, hears of layouts, ends it in time."""

import json
import os
import queue
import subprocess
import threading
import time
from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple, TypeAlias

from layout_core.art.sandbox import WorkerMissing, python_process
from layout_core.progress import Progress, no_progress

_BOOT = (
    "import json, sys; sys.path[:] = json.loads(sys.argv[1]);"
    " from layout_core.packing.strip_worker import main; main()"
)
_POLL_S = 0.05
_GRACE_S = 1.5
_LABEL = "Shortening the sheet"


Lines: TypeAlias = "queue.SimpleQueue[dict[str, Any] | None]"


class StripItem(NamedTuple):
    """A ring of points about the origin, how many are laid, and the turns it may have."""

    points: Sequence[tuple[float, float]]
    demand: int
    turns_deg: Sequence[float]


class StripSpot(NamedTuple):
    """One copy: position of its item, turned about the origin, then moved."""

    item: int
    turn_deg: float
    x: float
    y: float


class StripSolver:
    """One run of the solver in its own process, which works from the start on; to be closed at the end.

    There may be no solver, or it may fail or not answer: then there are no layouts, and no word about it,
    since whoever asks has one of his own. Not repeatable, whatever the seed.
    """

    def __init__(self, items: Sequence[StripItem], height: float, separation: float, seconds: float) -> None:
        self._seconds = seconds
        self._lines: Lines = queue.SimpleQueue()
        self._start_s = time.monotonic()
        request = {
            "height": height,
            "separation": separation,
            "seconds": max(round(seconds), 1),
            "workers": os.cpu_count() or 1,
            "seed": 1,
            "items": [each._asdict() for each in items],
        }
        self._process: subprocess.Popen[bytes] | None = None
        try:
            self._process = python_process(_BOOT)
        except WorkerMissing:
            return
        self._talk = threading.Thread(
            target=_talk, args=(self._process, request, self._lines), name="strip solver", daemon=True
        )
        self._talk.start()

    def layouts(self, progress: Progress = no_progress) -> Iterator[tuple[StripSpot, ...]]:
        """Layouts, each shorter than the one before, until the time since the start is up."""
        shortest = float("inf")
        while self._process is not None:
            passed = time.monotonic() - self._start_s
            progress(min(passed / self._seconds, 1.0), _LABEL)
            try:
                line = self._lines.get(timeout=_POLL_S)
            except queue.Empty:
                if passed > self._seconds + _GRACE_S:
                    return
                continue
            if line is None or line["kind"] == "failed":
                return
            if line["kind"] == "better" and line["width"] < shortest:
                shortest = line["width"]
                yield tuple(StripSpot(int(at), turn, x, y) for at, turn, x, y in line["placed"])

    def close(self) -> None:
        """End the process, whatever it is doing."""
        if self._process is None:
            return
        self._process.kill()
        self._talk.join()
        self._process.wait()
        for stream in (self._process.stdin, self._process.stdout):
            if stream is not None:
                try:
                    stream.close()
                except OSError:
                    continue
        self._process = None


def _talk(process: "subprocess.Popen[bytes]", request: dict[str, Any], lines: Lines) -> None:
    """Send the request and pass on every line; None says that no more will come."""
    try:
        if process.stdin is not None and process.stdout is not None:
            process.stdin.write(json.dumps(request).encode())
            process.stdin.close()
            for line in process.stdout:
                lines.put(json.loads(line))
    except (OSError, ValueError):
        pass  # the process was ended in the middle of a line
    lines.put(None)
