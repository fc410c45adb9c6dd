"""Makes layout proofs and whole hand-offs in the background, and remembers which job the last proof shows."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from app.wiring import Workbench
from layout_core.checks.findings import Finding
from layout_core.checks.run import CheckCache, check_job
from layout_core.files import write_whole
from layout_core.job.model import Job
from layout_core.outputs.proof import proof_png
from layout_core.progress import Progress, within


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
        self.png = b""
        self.shown: tuple[Job, int | None] | None = None
        self.proofed: Job | None = None

    @property
    def is_fresh(self) -> bool:
        """True while the preview shows the job as it is now."""
        return self.shown is not None and self.shown[0] == self._bench.document.job

    def preview(self, order_id: int | None) -> int:
        """Make the proof of the whole job, or of one order; returns the task's id."""
        job = self._bench.document.job

        def take(pngs: list[bytes]) -> None:
            self.png, self.shown = pngs[0], (job, order_id)
            self.made.emit()

        return self._start("Making the layout proof", job, [order_id], take)

    def save(self, targets: dict[int | None, Path]) -> int:
        """Make and write one proof an entry, by order id (None: the whole job)."""
        job = self._bench.document.job

        def take(pngs: list[bytes]) -> None:
            try:
                for png, path in zip(pngs, targets.values(), strict=True):
                    write_whole(path, png)
            except Exception as error:
                self.failed.emit(error)
                return
            self.proofed = job
            self.png, self.shown = pngs[0], (job, next(iter(targets)))
            self.made.emit()
            self.saved.emit(list(targets.values()))

        return self._start("Saving the layout proof", job, list(targets), take)

    def hand_off(self, folder: Path) -> int:
        """Write everything the printer, the cutter, the press and the customers need into a new folder."""
        job = self._bench.document.job
        findings_of = self._findings_of(job)

        def work(progress: Progress) -> tuple[Path, list[str]]:
            # Its PDF library would cost the start of the window a tenth of a second.
            from layout_core.outputs.handoff import hand_off

            findings = findings_of(within(progress, 0.0, 0.2))
            handed = hand_off(job, folder, findings=findings, progress=within(progress, 0.2, 1.0))
            return handed.folder, list(handed.files)

        def take(handed: tuple[Path, list[str]]) -> None:
            self.proofed = job
            self.made.emit()
            self.handed_off.emit(*handed)

        return self._bench.tasks.start("Handing off", work, take, self.failed.emit)

    def forget(self) -> None:
        """Another job was opened: nothing of the old one may be shown or counted."""
        self.png, self.shown, self.proofed = b"", None, None
        self.made.emit()

    def _start(
        self, text: str, job: Job, order_ids: list[int | None], take: Callable[[list[bytes]], None]
    ) -> int:
        findings_of = self._findings_of(job)

        def work(progress: Progress) -> list[bytes]:
            findings = findings_of(within(progress, 0.0, 0.5))
            pngs = []
            for at, order_id in enumerate(order_ids):
                progress(0.5 + 0.5 * at / len(order_ids), "drawing")
                pngs.append(proof_png(job, findings, order_id=order_id))
            return pngs

        return self._bench.tasks.start(text, work, take, self.failed.emit)

    def _findings_of(self, job: Job) -> Callable[[Progress], tuple[Finding, ...]]:
        """Gives the job's findings on any thread: those the window knows, or checked anew."""
        cache, checker = self._cache, self._bench.checker
        known = None if checker.is_busy else checker.findings
        return lambda progress: check_job(job, cache, progress) if known is None else known
