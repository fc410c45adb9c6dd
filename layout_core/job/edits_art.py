"""Pure edits of the job's art and pieces."""

from dataclasses import replace
from typing import Any

from layout_core.art.artwork import Artwork
from layout_core.errors import LayoutError
from layout_core.job.bounds import (
    MOST_ARTS,
    MOST_PIECES,
    checked_art,
    checked_artwork,
    checked_piece,
    checked_total,
)
from layout_core.job.edits_job import known, without_waivers_of
from layout_core.job.model import Art, Job, Order, Piece
from layout_core.job.placements import load_placements, placement_named, preset_width_mm


def add_art(job: Job, artwork: Artwork) -> Job:
    """The job with the artwork as its last art, whose id is the old `next_id`."""
    checked_total(len(job.arts) + 1, "arts", MOST_ARTS)
    art = Art(job.next_id, checked_artwork(artwork))
    return replace(job, arts=(*job.arts, art), next_id=job.next_id + 1)


def take_art(job: Job, art: Art) -> Job:
    """The job with the art of another job as its last, with what made it; its id is the old `next_id`."""
    checked_total(len(job.arts) + 1, "arts", MOST_ARTS)
    taken = checked_art(replace(art, art_id=job.next_id))
    return replace(job, arts=(*job.arts, taken), next_id=job.next_id + 1)


def replace_artwork(job: Job, art_id: int, artwork: Artwork) -> Job:
    """The job with other shapes under the same art; its pieces keep their widths and lose their waivers."""
    known(job.art, art_id, "art")
    new = Art(art_id, checked_artwork(artwork))
    pieces = tuple(checked_piece(piece, new.artwork) for piece in job.pieces if piece.art_id == art_id)
    changed = replace(job, arts=tuple(new if art.art_id == art_id else art for art in job.arts))
    return without_waivers_of(changed, {f"piece{piece.piece_id}" for piece in pieces})


def remove_art(job: Job, art_id: int) -> Job:
    """The job without the art, its pieces, their copies on sheets and the order lines that name them."""
    known(job.art, art_id, "art")
    gone = {piece.piece_id for piece in job.pieces if piece.art_id == art_id}
    return replace(_without_pieces(job, gone), arts=tuple(art for art in job.arts if art.art_id != art_id))


def add_piece(
    job: Job,
    art_id: int,
    *,
    placement: str = "full front",
    garment_size: str = "adult",
    width_mm: float | None = None,
    name: str | None = None,
    copies: int = 1,
    filler: bool = False,
    order_id: int | None = None,
) -> Job:
    """The job with one more piece, whose id is the old `next_id`.

    Without a width it gets the placement's preset; without a name, the art's.
    """
    checked_total(len(job.pieces) + 1, "pieces", MOST_PIECES)
    artwork = known(job.art, art_id, "art").artwork
    if width_mm is None:
        width_mm = _preset_mm(placement, garment_size, artwork)
    piece = Piece(
        job.next_id, art_id, artwork.name if name is None else name, placement, garment_size, width_mm,
        copies=copies, filler=filler, order_id=order_id,
    )  # fmt: skip
    return replace(job, pieces=(*job.pieces, _checked(job, piece)), next_id=job.next_id + 1)


def change_piece(job: Job, piece_id: int, **changes: Any) -> Job:
    """The job with other values in one piece: any field of Piece but its id."""
    piece = _checked(job, replace(known(job.piece, piece_id, "piece"), **changes))
    return replace(job, pieces=tuple(piece if p.piece_id == piece_id else p for p in job.pieces))


def size_piece_for(job: Job, piece_id: int, placement: str, garment_size: str) -> Job:
    """The job with the piece at the preset width of a placement and garment size, within its at-most box."""
    artwork = job.artwork_of(known(job.piece, piece_id, "piece"))
    width_mm = _preset_mm(placement, garment_size, artwork)
    return change_piece(job, piece_id, placement=placement, garment_size=garment_size, width_mm=width_mm)


def remove_piece(job: Job, piece_id: int) -> Job:
    """The job without the piece, its copies on sheets and the order lines that name it."""
    known(job.piece, piece_id, "piece")
    return _without_pieces(job, {piece_id})


def _preset_mm(placement: str, garment_size: str, artwork: Artwork) -> float:
    return preset_width_mm(placement_named(placement, load_placements()), garment_size, artwork.aspect)


def _checked(job: Job, piece: Piece) -> Piece:
    """The tidy piece. Raises LayoutError when its art or order is not in the job."""
    artwork = known(job.art, piece.art_id, "art").artwork
    if piece.order_id is not None:
        known(job.order, piece.order_id, "order")
        for order in job.orders:
            named = any(line.piece_id == piece.piece_id for line in order.lines)
            if named and order.order_id != piece.order_id:
                raise LayoutError(f"{piece.name} stands in the order {order.name}; take it out there first")
    return checked_piece(piece, artwork)


def _without_pieces(job: Job, gone: set[int]) -> Job:
    def lines_left(order: Order) -> Order:
        return replace(order, lines=tuple(line for line in order.lines if line.piece_id not in gone))

    sheets = tuple(
        replace(sheet, placed=tuple(placed for placed in sheet.placed if placed.piece_id not in gone))
        for sheet in job.sheets
    )
    left = replace(
        job,
        pieces=tuple(piece for piece in job.pieces if piece.piece_id not in gone),
        orders=tuple(map(lines_left, job.orders)),
        sheets=sheets,
    )
    return without_waivers_of(left, {f"piece{piece_id}" for piece_id in gone})
