"""The program's side of the worker process: one warm worker, replaced when it dies, hangs or is stopped."""

import atexit
import json
import os
import queue
import subprocess
import sys
import threading
import time
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from layout_core.art import caps
from layout_core.art.pipe import BrokenFrame, Header, read_frame, write_frame
from layout_core.progress import Progress

_BOOT = (
    "import json, sys; sys.path[:] = json.loads(sys.argv[1]); from layout_core.art.worker import main; main()"
)
_START_S = 60.0
_POLL_S = 0.05
Options = Mapping[str, object]
_NO_OPTIONS: Options = {}
_Message = tuple[Header, list[bytes]] | None


class WorkerDied(Exception):
    """The worker process ended while it read the file."""


class WorkerTooSlow(Exception):
    """The worker did not finish within the time allowed."""


class WorkerMissing(Exception):
    """No worker process could be started."""


@dataclass(slots=True)
class _Running:
    process: subprocess.Popen[bytes]
    served: int = 0


class Sandbox:
    """Runs requests in one worker process, one at a time; safe to call from any thread."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._running: _Running | None = None

    def ask(
        self, data: bytes, progress: Progress, seconds: float, options: Options = _NO_OPTIONS
    ) -> tuple[Header, list[bytes]]:
        """The worker's answer for one file; `options` are JSON values that say how to read it.

        Raises WorkerDied, WorkerTooSlow or WorkerMissing; what `progress` raises ends the worker too.
        """
        while not self._lock.acquire(timeout=_POLL_S):
            progress(0.0, "Waiting for another file")
        try:
            was_running = self._running is not None
            try:
                return self._answer(data, progress, seconds, options)
            except WorkerMissing:
                if not was_running:
                    raise
                return self._answer(
                    data, progress, seconds, options
                )  # the warm one had died while nobody looked
        finally:
            self._lock.release()

    def warm_up(self) -> None:
        """Start the worker so that the first file does not wait for it; silent when it cannot be started."""
        with self._lock:
            try:
                self._ready_worker()
            except WorkerMissing:
                return

    def close(self) -> None:
        """End the worker process, if any, and wait for its end."""
        with self._lock:
            self._end()

    def _answer(
        self, data: bytes, progress: Progress, seconds: float, options: Options
    ) -> tuple[Header, list[bytes]]:
        running = self._ready_worker()
        messages: queue.SimpleQueue[_Message] = queue.SimpleQueue()
        request = {**options, "seconds": seconds}
        talk = threading.Thread(
            target=_talk, args=(running.process, data, request, messages), name="art worker", daemon=True
        )
        talk.start()
        answer = None
        try:
            answer = _awaited(messages, progress, seconds)
        finally:
            running.served += 1
            if answer is None:
                running.process.kill()
            talk.join()
            is_last = answer is None or bool(answer[0].get("is_last"))
            if is_last or running.served >= caps.FILES_PER_WORKER:
                self._end()
        return answer

    def _ready_worker(self) -> _Running:
        if self._running is not None and self._running.process.poll() is not None:
            self._end()
        if self._running is None:
            self._running = _Running(python_process())
        return self._running

    def _end(self) -> None:
        if self._running is None:
            return
        process, self._running = self._running.process, None
        for stream in (process.stdin, process.stdout):
            if stream is not None:
                try:
                    stream.close()
                except OSError:
                    continue
        try:
            process.wait(timeout=1.0)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()


def python_process(boot: str = _BOOT) -> subprocess.Popen[bytes]:
    """A new process that runs `boot`, which must first take `sys.path` from its argument.

    It imports this very package and nothing from the folder the program was started in. Raises WorkerMissing.
    """
    paths = [os.path.abspath(path) for path in sys.path]
    environment = {**os.environ, "OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"}
    options: dict[str, Any] = {}
    if sys.platform == "win32":
        options["creationflags"] = subprocess.CREATE_NO_WINDOW
    else:
        options["start_new_session"] = True  # Ctrl+C ends the program, which then ends its worker
    try:
        return subprocess.Popen(
            [sys.executable, "-P", "-c", boot, json.dumps(paths)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env=environment,
            **options,
        )
    except OSError as error:
        raise WorkerMissing(str(error)) from error


def _talk(
    process: subprocess.Popen[bytes], data: bytes, request: Options, messages: "queue.SimpleQueue[_Message]"
) -> None:
    """Send the file and pass on every frame until the last one; None says that the worker is gone."""
    try:
        if process.stdin is None or process.stdout is None:
            raise BrokenFrame("no pipes")
        write_frame(process.stdin, request, [data])
        while True:
            header, blobs = read_frame(process.stdout)
            messages.put((header, blobs))
            if header["kind"] not in ("ready", "progress"):
                return
    except (OSError, ValueError, BrokenFrame):
        messages.put(None)


def _awaited(
    messages: "queue.SimpleQueue[_Message]", progress: Progress, seconds: float
) -> tuple[Header, list[bytes]]:
    """The final frame; progress is called at least every `_POLL_S` seconds so that Stop is heard."""
    fraction, label = 0.0, "Reading art"
    is_ready = False
    end = time.monotonic() + _START_S
    while True:
        progress(fraction, label)
        try:
            message = messages.get(timeout=_POLL_S)
        except queue.Empty:
            if time.monotonic() > end:
                raise WorkerTooSlow if is_ready else WorkerMissing from None
            continue
        if message is None:
            raise WorkerDied if is_ready else WorkerMissing
        header, blobs = message
        if not is_ready:
            is_ready = True
            end = time.monotonic() + seconds
        if header["kind"] == "progress":
            fraction, label = max(fraction, float(header["fraction"])), str(header["label"])
        elif header["kind"] != "ready":
            return header, blobs


SHARED = Sandbox()
"""The one worker of this program; the window warms it up, the first file starts it otherwise."""
atexit.register(SHARED.close)
