"""Carries out one way to keep a promise: a pure edit of the job for each fix that a miss names."""

from dataclasses import replace

from shapely import MultiPolygon, Polygon, affinity

from layout_core.art.artwork import Artwork, outline_digest
from layout_core.checks.misses import Miss, PromiseFix
from layout_core.geometry.mending import opened, thickened
from layout_core.geometry.outline import valid_union
from layout_core.job.edits import change_piece, replace_artwork
from layout_core.job.model import Job, Piece
from layout_core.progress import Progress, no_progress


def with_fix(job: Job, piece_id: int, miss: Miss, fix: PromiseFix, progress: Progress = no_progress) -> Job:
    """The job in which the piece's element no longer misses the promise by that cause.

    Enlarging changes the piece alone; the other fixes redraw its art, which every piece of that art shares.
    Opening gaps goes over the whole art, the rest over the one element. Raises LayoutError for a size that
    cannot be made, KeyError for an unknown piece.
    """
    piece = job.piece(piece_id)
    if fix.kind == "enlarge":
        return change_piece(job, piece_id, width_mm=piece.width_mm * fix.amount / 100.0)
    artwork = job.artwork_of(piece)
    width = fix.amount * artwork.width_mm / piece.width_mm
    parts = list(artwork.outline.geoms)
    if fix.kind == "open":
        changed = opened(artwork.outline, width, progress=progress)
    else:
        part = MultiPolygon([parts[miss.element]])
        mended = _solid(part) if fix.kind == "solid" else thickened(part, width, progress)
        parts[miss.element : miss.element + 1] = mended.geoms
        changed = valid_union(MultiPolygon(parts))
    return _with_outline(job, piece, artwork, changed, fix)


def _solid(part: MultiPolygon) -> MultiPolygon:
    return MultiPolygon([Polygon(polygon.exterior) for polygon in part.geoms])


def _with_outline(job: Job, piece: Piece, artwork: Artwork, outline: MultiPolygon, fix: PromiseFix) -> Job:
    """The job with the redrawn art; its pieces stay as large as they print, with what was drawn added."""
    left, top, _, _ = outline.bounds
    moved = affinity.translate(outline, -left, -top)
    note = f"Redrawn to be seen in the dark: {fix.words}"
    notes = artwork.notes if note in artwork.notes else (*artwork.notes, note)
    redrawn = replace(artwork, outline=moved, outline_digest=outline_digest(moved), notes=notes)
    job = replace_artwork(job, piece.art_id, redrawn)
    grown = redrawn.width_mm / artwork.width_mm
    for other in job.pieces:
        if other.art_id == piece.art_id and grown != 1.0:
            job = change_piece(job, other.piece_id, width_mm=other.width_mm * grown)
    return job
