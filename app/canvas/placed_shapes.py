"""The true outlines of placed pieces in the frame of their sheet, made when first asked for and kept."""

from collections.abc import Set

from shapely import MultiPolygon

from layout_core.geometry.pose import at_width, to_sheet
from layout_core.job.model import Job, Piece, PlacedPiece, Sheet


class PlacedShapes:
    """Remembers each outline until its pose, its size or its art changes; millimetres."""

    def __init__(self) -> None:
        self._sized: dict[int, tuple[str, float, MultiPolygon]] = {}
        self._placed: dict[int, tuple[PlacedPiece, MultiPolygon, MultiPolygon]] = {}

    def on_sheet(self, job: Job, sheet: Sheet, without: Set[int] = frozenset()) -> dict[int, MultiPolygon]:
        """The outlines of all pieces on the sheet but those with the placed ids of `without`."""
        return {p.placed_id: self.shape(job, p) for p in sheet.placed if p.placed_id not in without}

    def shape(self, job: Job, placed: PlacedPiece) -> MultiPolygon:
        """The outline of one placed piece on its sheet."""
        piece = job.piece(placed.piece_id)
        sized = self.sized(job, piece)
        known = self._placed.get(placed.placed_id)
        if known is not None and known[0] == placed and known[1] is sized:
            return known[2]
        shape = to_sheet(sized, *job.size_of(piece), placed.pose)
        self._placed[placed.placed_id] = (placed, sized, shape)
        return shape

    def sized(self, job: Job, piece: Piece) -> MultiPolygon:
        """The outline of a piece in its own frame."""
        artwork = job.artwork_of(piece)
        known = self._sized.get(piece.piece_id)
        if known is not None and known[:2] == (artwork.digest, piece.width_mm):
            return known[2]
        shape = at_width(artwork.outline, piece.width_mm)
        self._sized[piece.piece_id] = (artwork.digest, piece.width_mm, shape)
        return shape

    def forget_all_but(self, job: Job) -> None:
        """Let go of what the job no longer holds."""
        pieces = {piece.piece_id for piece in job.pieces}
        placed = {p.placed_id for sheet in job.sheets for p in sheet.placed}
        self._sized = {key: value for key, value in self._sized.items() if key in pieces}
        self._placed = {key: value for key, value in self._placed.items() if key in placed}
