"""Cuts a part out of a job for the clipboard and puts such a part into a job; no Qt."""

from collections.abc import Collection
from dataclasses import replace

from app.arrivals import DropPoint
from layout_core.geometry.pose import Pose
from layout_core.job import edits
from layout_core.job.model import Job, Piece


def part_of(job: Job, placed_ids: Collection[int]) -> Job:
    """A job of the first chosen copy's sheet with only the chosen copies, their pieces and their art."""
    chosen = tuple(p for sheet in job.sheets for p in sheet.placed if p.placed_id in placed_ids)
    piece_ids = {placed.piece_id for placed in chosen}
    pieces = tuple(replace(p, order_id=None) for p in job.pieces if p.piece_id in piece_ids)
    art_ids = {piece.art_id for piece in pieces}
    sheet = job.sheet_of(chosen[0].placed_id)
    free = tuple(replace(placed, locked=False) for placed in chosen)
    return replace(
        job,
        arts=tuple(art for art in job.arts if art.art_id in art_ids),
        pieces=pieces,
        orders=(),
        waivers=(),
        sheets=(replace(sheet, placed=free),),
    )


def with_part(job: Job, part: Job, where: DropPoint | None, step_mm: float) -> Job:
    """The job with the part's copies, beside where they lay or with their middle at the point.

    Pieces that the job holds are used again; others come in with their art, of no order. Without a point
    they go to the sheet they came from, or to the first one. Raises LayoutError when the job is full.
    """
    piece_ids: dict[int, int] = {}
    for piece in part.pieces:
        job, piece_ids[piece.piece_id] = _with_piece(job, part, piece)
    placed = part.sheets[0].placed
    if where is None:
        home = part.sheets[0].sheet_id
        sheet_id = home if any(s.sheet_id == home for s in job.sheets) else job.sheets[0].sheet_id
        dx_mm = dy_mm = step_mm
    else:
        sheet_id = where.sheet_id
        dx_mm = where.x_mm - sum(p.pose.x_mm for p in placed) / len(placed)
        dy_mm = where.y_mm - sum(p.pose.y_mm for p in placed) / len(placed)
    copies: list[tuple[int, Pose]] = [(piece_ids[p.piece_id], p.pose.shifted(dx_mm, dy_mm)) for p in placed]
    return edits.lay_out(job, sheet_id, copies)


def _with_piece(job: Job, part: Job, piece: Piece) -> tuple[Job, int]:
    """The job with the piece, and its id there."""
    artwork = part.artwork_of(piece)
    for own in job.pieces:
        same_art = job.artwork_of(own).digest == artwork.digest
        if same_art and (own.piece_id, own.name, own.width_mm) == (
            piece.piece_id,
            piece.name,
            piece.width_mm,
        ):
            return job, own.piece_id
    art_id = next((art.art_id for art in job.arts if art.artwork.digest == artwork.digest), None)
    if art_id is None:
        art_id = job.next_id
        job = edits.take_art(job, part.art(piece.art_id))
    piece_id = job.next_id
    job = edits.add_piece(
        job, art_id, placement=piece.placement, garment_size=piece.garment_size, width_mm=piece.width_mm,
        name=piece.name, copies=piece.copies, filler=piece.filler,
    )  # fmt: skip
    return edits.change_piece(job, piece_id, turn_deg=piece.turn_deg), piece_id
