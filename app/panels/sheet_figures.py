"""How full the sheets are, by ink and by the boxes round the pieces, as shares of the film."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from layout_core.art.artwork import Artwork
from layout_core.checks.findings import Finding
from layout_core.job.model import Job, Sheet
from layout_core.packing.autopack import unplaced_copies


@dataclass(frozen=True, slots=True)
class SheetUse:
    """Shares of the printable area, 0 to 1; boxes are the unturned bounds of the pieces."""

    ink: float
    box: float


def sheet_use(job: Job, sheets: Sequence[Sheet]) -> SheetUse:
    """The use of one or more sheets together; 0 without any."""
    film = sum(sheet.width_mm * sheet.length_mm for sheet in sheets)
    if not film:
        return SheetUse(0.0, 0.0)
    copies = Counter(placed.piece_id for sheet in sheets for placed in sheet.placed)
    artworks = {art.art_id: art.artwork for art in job.arts}
    ink = box = 0.0
    for piece in job.pieces:
        if count := copies[piece.piece_id]:
            ink_mm2, box_mm2 = _areas_mm2(artworks[piece.art_id], piece.width_mm)
            ink += count * ink_mm2
            box += count * box_mm2
    return SheetUse(ink / film, box / film)


@lru_cache(maxsize=1024)
def _areas_mm2(artwork: Artwork, width_mm: float) -> tuple[float, float]:
    """Ink and box of one copy; the outline is measured once, not at every step of a drag."""
    return artwork.outline.area * (width_mm / artwork.width_mm) ** 2, width_mm * width_mm * artwork.aspect


def left_to_lay(job: Job) -> int:
    """How many wanted copies lie on no sheet yet; fillers are wanted nowhere."""
    return sum(count for _, count in unplaced_copies(job))


def tightest_mm(findings: Iterable[Finding], sheet_id: int) -> float | None:
    """The smallest gap on a sheet that is below the one asked for; None where all keep it."""
    cramped = [
        finding.measured
        for finding in findings
        if finding.sheet_id == sheet_id
        and finding.rule in ("spacing", "overlap")
        and finding.measured is not None
    ]
    return min((max(gap_mm, 0.0) for gap_mm in cramped), default=None)
