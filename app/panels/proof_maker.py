"""Makes layout proofs and whole hand-offs in the background, and remembers which job the last proof shows."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QObject, QSize, Signal
from PySide6.QtGui import QImage, QImageReader

from app.planning import Worked
from app.quote_files import quotes_of
from app.wiring import Workbench
from layout_core.checks.findings import Finding
from layout_core.checks.run import CheckCache, check_job
from layout_core.files import write_whole
from layout_core.job.model import Job
from layout_core.outputs.drawing_png import to_png
from layout_core.outputs.proof import proof_png
from layout_core.progress import Progress, within

Form = Literal["picture", "pages"]
"""A proof is one picture (PNG) or a document of several pages (PDF)."""

WIDEST_SHOWN_PX = 1720
"""The width of a page in view on a screen of two pixels a point; finer ones are made for the file only."""


@dataclass(frozen=True, slots=True)
class _Made:
    """The bytes of the files to write, the pictures that show the first of them, and these as images."""

    files: tuple[bytes, ...]
    shown: tuple[bytes, ...]
    images: tuple[QImage, ...]


class ProofMaker(QObject):
    """`made` follows a new preview, `saved(paths)` files on disk, `failed(exception)` anything refused.

    `handed_off(folder, file names)` follows a hand-off that stands on disk.
    """

    made = Signal()
    saved = Signal(list)
    failed = Signal(object)
    handed_off = Signal(object, list)

    def __init__(self, bench: Workbench, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self._cache = CheckCache()
        self.pngs: tuple[bytes, ...] = ()
        self.images: tuple[QImage, ...] = ()
        self.form: Form = "picture"
        self.shown: tuple[Job, int | None] | None = None
        self.proofed: Job | None = None
        self.priced: Callable[[], Worked | None] = lambda: None
        """Gives the run plan of the job as it is now, whose quotes go along; None without one."""

    @property
    def is_fresh(self) -> bool:
        """True while the preview shows the job as it is now."""
        return self.shown is not None and self.shown[0] == self._bench.document.job

    def preview(self, order_id: int | None, form: Form = "picture") -> int:
        """Make the proof of the whole job, or of one order; returns the task's id."""
        job = self._bench.document.job

        def take(made: _Made) -> None:
            self._show(made, job, order_id, form)

        def make(findings: Sequence[Finding], _progress: Progress) -> _Made:
            return _made((), _pictures(job, findings, order_id, form))

        return self._start("Making the layout proof", make, take)

    def save(self, targets: dict[int | None, Path]) -> int:
        """Make and write one proof an entry, by order id (None: the whole job); the suffix says the form."""
        job = self._bench.document.job
        first_id, first_path = next(iter(targets.items()))

        def take(made: _Made) -> None:
            try:
                for data, path in zip(made.files, targets.values(), strict=True):
                    write_whole(path, data)
            except Exception as error:
                self.failed.emit(error)
                return
            self.proofed = job
            self._show(made, job, first_id, _form(first_path))
            self.saved.emit(list(targets.values()))

        def make(findings: Sequence[Finding], progress: Progress) -> _Made:
            files = []
            for at, (order_id, path) in enumerate(targets.items()):
                progress(at / len(targets), f"Drawing {path.name}")
                files.append(_file(job, findings, order_id, _form(path)))
            if _form(first_path) == "picture":
                return _made(tuple(files), (files[0],))
            return _made(tuple(files), _pictures(job, findings, first_id, "pages"))

        return self._start("Saving the layout proof", make, take)

    def hand_off(self, folder: Path) -> int:
        """Write everything the printer, the cutter, the press and the customers need into a new folder."""
        job = self._bench.document.job
        findings_of, priced = self._findings_of(job), self.priced()

        def work(progress: Progress) -> tuple[Path, list[str]]:
            # Its PDF library would cost the start of the window a tenth of a second.
            from layout_core.outputs.handoff import hand_off

            findings = findings_of(within(progress, 0.0, 0.2))
            handed = hand_off(
                job,
                folder,
                findings=findings,
                quotes=None if priced is None else quotes_of(job, priced.orders, priced.prices),
                progress=within(progress, 0.2, 1.0),
            )
            return handed.folder, list(handed.files)

        def take(handed: tuple[Path, list[str]]) -> None:
            self.proofed = job
            self.made.emit()
            self.handed_off.emit(*handed)

        return self._bench.tasks.start("Handing off", work, take, self.failed.emit)

    def forget(self) -> None:
        """Another job was opened: nothing of the old one may be shown or counted."""
        self.pngs, self.images, self.shown, self.proofed = (), (), None, None
        self.made.emit()

    def _show(self, made: _Made, job: Job, order_id: int | None, form: Form) -> None:
        self.pngs, self.images = made.shown, made.images
        self.form, self.shown = form, (job, order_id)
        self.made.emit()

    def _start(
        self, text: str, make: Callable[[Sequence[Finding], Progress], _Made], take: Callable[[_Made], None]
    ) -> int:
        findings_of = self._findings_of(self._bench.document.job)

        def work(progress: Progress) -> _Made:
            return make(findings_of(within(progress, 0.0, 0.5)), within(progress, 0.5, 1.0))

        return self._bench.tasks.start(text, work, take, self.failed.emit)

    def _findings_of(self, job: Job) -> Callable[[Progress], tuple[Finding, ...]]:
        """Gives the job's findings on any thread: those the window knows, or checked anew."""
        cache, checker = self._cache, self._bench.checker
        known = None if checker.is_busy else checker.findings
        return lambda progress: check_job(job, cache, progress) if known is None else known


def _form(path: Path) -> Form:
    return "pages" if path.suffix.lower() == ".pdf" else "picture"


def _file(job: Job, findings: Sequence[Finding], order_id: int | None, form: Form) -> bytes:
    if form == "picture":
        return proof_png(job, findings, order_id=order_id)
    # Its PDF library would cost the start of the window a tenth of a second.
    from layout_core.outputs.proof_pdf import proof_pdf

    return proof_pdf(job, findings, order_id=order_id)


def _made(files: tuple[bytes, ...], shown: tuple[bytes, ...]) -> _Made:
    """With images read on the task's thread: seven pages would hold the window up for two seconds."""
    return _Made(files, shown, tuple(map(_image, shown)))


def _image(png: bytes) -> QImage:
    """No wider than it can be shown. Of Qt's ways to read only this one lets go of the interpreter's lock."""
    held = QBuffer()
    held.setData(png)
    held.open(QIODevice.OpenModeFlag.ReadOnly)
    reader = QImageReader(held, QByteArray(b"png"))
    size = reader.size()
    if size.width() > WIDEST_SHOWN_PX:
        reader.setScaledSize(QSize(WIDEST_SHOWN_PX, round(size.height() * WIDEST_SHOWN_PX / size.width())))
    return reader.read()


def _pictures(job: Job, findings: Sequence[Finding], order_id: int | None, form: Form) -> tuple[bytes, ...]:
    """What the proof looks like, a picture a page."""
    if form == "picture":
        return (proof_png(job, findings, order_id=order_id),)
    from layout_core.outputs.proof_pdf import proof_pages

    return tuple(to_png(page) for page in proof_pages(job, findings, order_id=order_id))
