"""A process beside the program that answers one request, frame by frame, while the program goes on."""

import contextlib
import queue
import subprocess
import threading
from collections.abc import Mapping, Sequence
from types import TracebackType

from layout_core.art.pipe import BrokenFrame, Header, read_frame, write_frame
from layout_core.art.sandbox import python_process
from layout_core.progress import Progress

_POLL_S = 0.05
Answer = tuple[Header, list[bytes]]


class Beside:
    """Runs `boot`, asks it once, and hands out its answers in turn; leaving the context ends the process.

    Raises WorkerMissing where no second process can be had.
    """

    def __init__(self, boot: str, request: Mapping[str, object], blobs: Sequence[bytes]) -> None:
        self._process: subprocess.Popen[bytes] = python_process(boot)
        self._answers: queue.SimpleQueue[Answer | Exception] = queue.SimpleQueue()
        self._talker = threading.Thread(
            target=self._talk, args=(dict(request), list(blobs)), name="beside", daemon=True
        )
        self._talker.start()

    def __enter__(self) -> "Beside":
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._process.kill()
        self._talker.join()
        for stream in (self._process.stdin, self._process.stdout):
            if stream is not None:
                with contextlib.suppress(OSError):
                    stream.close()
        self._process.wait()

    def answer(self, progress: Progress, fraction: float, label: str) -> Answer:
        """The next answer; what `progress` raises passes. Raises BrokenFrame or OSError when none comes."""
        while True:
            try:
                found = self._answers.get(timeout=_POLL_S)
            except queue.Empty:
                progress(fraction, label)
                continue
            if isinstance(found, Exception):
                self._answers.put(found)  # it will be so for whoever asks again
                raise found
            return found

    def _talk(self, request: dict[str, object], blobs: list[bytes]) -> None:
        try:
            if self._process.stdin is None or self._process.stdout is None:
                raise BrokenFrame("no pipes")
            write_frame(self._process.stdin, request, blobs)
            while True:
                self._answers.put(read_frame(self._process.stdout))
        except (BrokenFrame, OSError, ValueError) as error:
            self._answers.put(error)
