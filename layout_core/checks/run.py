"""Runs every check of a job."""

import os
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor, wait
from dataclasses import replace
from threading import Event

from layout_core.checks.approval import approval_findings
from layout_core.checks.art import check_artwork
from layout_core.checks.cache import CheckCache
from layout_core.checks.copies import copies_findings
from layout_core.checks.fabric import fabric_findings
from layout_core.checks.findings import Finding
from layout_core.checks.glow_ground import ground_findings
from layout_core.checks.placement_size import placement_findings
from layout_core.checks.promise import promise_findings
from layout_core.checks.report import ArtReport
from layout_core.checks.sheet_bounds import bounds_findings
from layout_core.checks.spacing import spacing_findings
from layout_core.errors import Cancelled
from layout_core.job.model import Job, Piece, Sheet
from layout_core.job.placements import load_placements
from layout_core.job.recipes import load_recipes
from layout_core.packing.on_sheet import placed_outlines
from layout_core.progress import Progress, no_progress, within

__all__ = ["ArtReport", "CheckCache", "check_artwork", "check_job", "piece_report"]

_SECONDS_TO_STOP = 0.05


def check_job(
    job: Job, cache: CheckCache | None = None, progress: Progress = no_progress
) -> tuple[Finding, ...]:
    """All findings: piece by piece in the job's order, then by sheet, then fabrics, cloth and copies.

    With a cache only what changed is checked again: moving a copy re-runs the spacing of its sheet.
    Raises TableError when a table of the shop has a mistake, GlowError when the job's lighting
    names a lamp nobody knows.
    """
    cache = CheckCache() if cache is None else cache
    placements = load_placements()
    steps = len(job.pieces) + len(job.sheets)
    found: list[Finding] = []
    for number, (piece, report) in enumerate(_reports(job, cache, progress)):
        tick = within(progress, number / steps, (number + 1) / steps)
        tick(0.6, f"Checking {piece.name}")
        found += report.findings
        found += placement_findings(job, piece, placements)
        found += promise_findings(job, piece, cache, within(tick, 0.6, 1.0))
    for number, sheet in enumerate(job.sheets, len(job.pieces)):
        progress(number / steps, f"Checking {sheet.name}")
        found += _sheet_findings(job, sheet, cache)
    progress(1.0, "Checked")
    fabrics = fabric_findings(job, load_recipes())
    return (*found, *fabrics, *approval_findings(job), *ground_findings(job), *copies_findings(job))


def piece_report(
    job: Job, piece: Piece, cache: CheckCache | None = None, progress: Progress = no_progress
) -> ArtReport:
    """The report of the piece's art at its size, its findings marked as the piece's."""
    report = check_artwork(job.artwork_of(piece), piece.width_mm, job.limits, cache, progress)
    return replace(report, findings=tuple(replace(f, piece_id=piece.piece_id) for f in report.findings))


def _reports(job: Job, cache: CheckCache, progress: Progress) -> Iterator[tuple[Piece, ArtReport]]:
    """Each piece with its report; made side by side, as measuring leaves the interpreter free meanwhile."""

    def stoppable(fraction: float, label: str) -> None:
        if given_up.is_set():
            raise Cancelled

    given_up = Event()
    firsts = {(job.artwork_of(piece).digest, piece.width_mm): piece for piece in reversed(job.pieces)}
    with ThreadPoolExecutor(max_workers=max(1, min(4, os.cpu_count() or 1))) as pool:
        made = {
            piece.piece_id: pool.submit(piece_report, job, piece, cache, stoppable)
            for piece in reversed(firsts.values())
        }
        try:
            for number, piece in enumerate(job.pieces):
                report = made.get(piece.piece_id)
                while report is not None and not report.done():
                    progress(number / (len(job.pieces) + len(job.sheets)), f"Checking {piece.name}")
                    wait([report], timeout=_SECONDS_TO_STOP)
                yield piece, report.result() if report else piece_report(job, piece, cache, progress)
        finally:
            given_up.set()
            for report in made.values():
                report.cancel()


def _sheet_findings(job: Job, sheet: Sheet, cache: CheckCache) -> tuple[Finding, ...]:
    pieces = {placed.piece_id: job.piece(placed.piece_id) for placed in sheet.placed}
    art = tuple((piece, job.artwork_of(piece).digest) for piece in pieces.values())
    key = (replace(sheet, run=1, name=""), art, job.limits)
    return cache.sheets.get(key, lambda: _laid_findings(job, sheet))


def _laid_findings(job: Job, sheet: Sheet) -> tuple[Finding, ...]:
    outlines = placed_outlines(job, sheet)
    return bounds_findings(job, sheet, outlines) + spacing_findings(job, sheet, outlines)
