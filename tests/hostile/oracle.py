"""What may come of reading a file: a sound result that holds further on, or one clear refusal."""

import math
import os
import time
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pypdfium2
import shapely
from lxml import etree

import layout_core
from app.settings import read_choices
from layout_core.art.artwork import Artwork
from layout_core.art.convert import convert
from layout_core.art.intake import read_art_bytes
from layout_core.art.pipe import Header
from layout_core.art.sandbox import Options, Sandbox, WorkerDied, WorkerMissing, WorkerTooSlow
from layout_core.checks.run import check_job
from layout_core.errors import LONGEST, ArtError, DuskwrightError, LayoutError, one_line
from layout_core.geometry.pose import Pose
from layout_core.glow.inks import load_inks
from layout_core.glow.promise_text import parse_promise
from layout_core.glow.readings_text import parse_readings
from layout_core.glow.venue import load_venues
from layout_core.job.edits import add_art, add_piece, new_job, place_piece
from layout_core.job.file import job_bytes, job_from_bytes
from layout_core.job.limits import load_limits
from layout_core.job.model import Job
from layout_core.job.name_list import names_from_bytes
from layout_core.job.order_lines import read_order_rows
from layout_core.job.placements import load_placements
from layout_core.job.recipes import load_recipes
from layout_core.outputs.print_file import print_pdf
from layout_core.outputs.sheet_svg import sheet_svg
from layout_core.plan.prices import load_prices
from layout_core.progress import Progress

HANG_S = 30.0
_CROWDED = 12.0
"""How much longer by the clock a file may take than it computes."""
_CORE = Path(layout_core.__file__).parent


class Broken(Exception):
    """A rule of the oracle that did not hold."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """What came of a file; the words of a fault name it, the same for the same fault; CPU seconds.

    `kind` is good, refused, stopped (the worker died or was ended at its limit, and the program said so),
    hang (no verdict within `HANG_S`) or escape (anything else).
    """

    kind: str
    words: str
    seconds: float = 0.0

    @property
    def is_clean(self) -> bool:
        return self.kind in ("good", "refused", "stopped")


class WatchedSandbox(Sandbox):
    """Remembers how the worker fared, which `intake` words for people; stops it by the time it computed.

    By the clock it would be the other programs on the machine that decide what hangs.
    """

    last_fault: type[Exception] | None = None
    spent_s = 0.0

    def ask(
        self,
        data: bytes,
        progress: Progress,
        seconds: float,
        options: Options = {},  # noqa: B006  # never changed
    ) -> tuple[Header, list[bytes]]:
        self.last_fault = None
        before_s = self._computed_s()

        def watched(fraction: float, label: str) -> None:
            self.spent_s = self._computed_s() - before_s
            if self.spent_s > seconds:
                raise WorkerTooSlow

        try:
            return super().ask(data, watched, seconds * _CROWDED, options)
        except (WorkerDied, WorkerTooSlow, WorkerMissing) as fault:
            self.last_fault = type(fault)
            raise

    def _computed_s(self) -> float:
        """CPU seconds of the worker so far, 0 where no system tells. Source: proc(5), stat, 14 and 15."""
        try:
            text = Path(f"/proc/{self._running.process.pid}/stat").read_text() if self._running else ""
            return sum(map(int, text.rpartition(")")[2].split()[11:13])) / os.sysconf("SC_CLK_TCK")
        except (OSError, ValueError, AttributeError):
            return 0.0


class Oracle:
    """Reads files as the program does, and what came of it once more where that is asked."""

    def __init__(self, folder: Path) -> None:
        self.sandbox = WatchedSandbox()
        self._folder = folder

    def verdict(self, name: str, data: bytes, *, is_thorough: bool = True) -> Verdict:
        """What comes of the file, read as its name says; thorough: twice the same, and used further on."""
        began_s = time.process_time()
        self.sandbox.spent_s = 0.0
        kind, words = self._outcome(name, data, is_thorough)
        seconds = time.process_time() - began_s + self.sandbox.spent_s
        if is_thorough and kind in ("good", "refused"):
            again = self._outcome(name, data, False)
            if again != (kind, words) and again[0] != "stopped":
                return Verdict("escape", f"another verdict the second time: {words} / {again[1]}", seconds)
        return Verdict("hang", "no verdict", seconds) if seconds > HANG_S else Verdict(kind, words, seconds)

    def close(self) -> None:
        self.sandbox.close()

    def _outcome(self, name: str, data: bytes, is_thorough: bool) -> tuple[str, str]:
        try:
            value = self._read(name, data)
            if is_thorough:
                _require_holds(value)
        except DuskwrightError as refusal:
            return self._refused(refusal, data)
        except Exception as error:
            return "escape", _named(error)
        return "good", _digest(value)

    def _read(self, name: str, data: bytes) -> Any:
        suffix = name.rpartition(".")[2]
        if suffix == "duskjob":
            return job_from_bytes(name, data)
        if suffix in ("toml", "csv", "json"):
            return self._read_text(name, data)
        art = read_art_bytes(name, data, sandbox=self.sandbox)
        if not all(map(math.isfinite, art.outline.bounds)) or not shapely.is_valid(art.outline):
            raise Broken("art without bounds or with shapes that cross themselves")
        return art

    def _read_text(self, name: str, data: bytes) -> Any:
        path = self._folder / name
        path.write_bytes(data)
        return _READERS[name](path)

    def _refused(self, refusal: DuskwrightError, data: bytes) -> tuple[str, str]:
        fault, words = self.sandbox.last_fault, str(refusal)
        if isinstance(refusal, ArtError) and fault is not None:
            self.sandbox.last_fault = None
            return "stopped", fault.__name__
        if isinstance(refusal, ArtError) and refusal.reason.startswith("cannot be read ("):
            return "escape", _unforeseen(data, refusal.reason)
        if one_line(words) != words or not words or len(words) > LONGEST:
            return "escape", f"a refusal that is no sentence, {type(refusal).__name__}"
        return "refused", words


def _require_holds(value: Any) -> None:
    """Raise Broken unless a job, or a job with this art, is written and read again and its outputs open."""
    if isinstance(value, Artwork):
        try:
            value = _job_with(value)
        except LayoutError:
            return  # art of no width is art, and no piece
    if not isinstance(value, Job):
        return
    saved = job_bytes(value)
    if (
        job_from_bytes("again.duskjob", saved) != value
        or job_bytes(job_from_bytes("again.duskjob", saved)) != saved
    ):
        raise Broken("a job that is another one after saving")
    check_job(value)
    for sheet in value.sheets[:2]:
        etree.fromstring(sheet_svg(value, sheet))
        with pypdfium2.PdfDocument(print_pdf(value, sheet)) as document:
            if len(document) != 1:
                raise Broken("a print file without its page")


def _job_with(art: Artwork) -> Job:
    job = add_art(new_job(), art)
    job = add_piece(job, job.arts[0].art_id)
    return place_piece(job, job.sheets[0].sheet_id, job.pieces[0].piece_id, Pose(100, 100, 30))


def _digest(value: Any) -> str:
    return value.outline_digest if isinstance(value, Artwork) else repr(value)[:2000]


def _unforeseen(data: bytes, reason: str) -> str:
    """Where the reader broke: it raised a plain exception, so it may be asked again in this process."""
    try:
        convert(data)
    except Exception as error:
        return _named(error)
    except BaseException as error:  # a renderer's panic is no Exception
        return f"{type(error).__name__} in the renderer: {str(error)[:80]}"
    return reason


def _named(error: Exception) -> str:
    frames = [f for f in traceback.extract_tb(error.__traceback__) if Path(f.filename).is_relative_to(_CORE)]
    where = f"{Path(frames[-1].filename).name}:{frames[-1].name}" if frames else "outside"
    words = "" if not isinstance(error, Broken) else f": {error}"
    return f"{type(error).__name__} in {where}{words}"


def _promise(path: Path) -> Any:
    return parse_promise(path.read_bytes().decode("utf-8", "replace"), load_venues())


_READERS: dict[str, Callable[[Path], Any]] = {
    "print_limits.toml": lambda path: load_limits(path=path),
    "placements.toml": load_placements,
    "press_recipes.toml": load_recipes,
    "prices.toml": load_prices,
    "venues.toml": load_venues,
    "inks.toml": load_inks,
    "settings.json": read_choices,
    "names.csv": lambda path: names_from_bytes(path.name, path.read_bytes()),
    "orders.csv": read_order_rows,
    "readings.csv": lambda path: parse_readings(path.read_bytes().decode("utf-8", "replace")),
    "promise.csv": _promise,
}
