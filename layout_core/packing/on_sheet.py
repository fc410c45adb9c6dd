"""True outlines of pieces at their size, and of copies where they lie on a sheet."""

from shapely import MultiPolygon

from layout_core.geometry.pose import at_width, size_mm, to_sheet
from layout_core.job.model import Job, Piece, Sheet


def piece_outline(job: Job, piece: Piece) -> MultiPolygon:
    """The piece's ink in its piece frame, in mm."""
    return at_width(job.artwork_of(piece).outline, piece.width_mm)


def placed_outlines(job: Job, sheet: Sheet) -> dict[int, MultiPolygon]:
    """The ink of every copy on the sheet by placed id, in mm in the sheet frame, in the sheet's order."""
    outlines = {
        piece_id: piece_outline(job, job.piece(piece_id))
        for piece_id in {placed.piece_id for placed in sheet.placed}
    }
    return {
        placed.placed_id: to_sheet(
            outlines[placed.piece_id], *size_mm(outlines[placed.piece_id]), placed.pose
        )
        for placed in sheet.placed
    }
