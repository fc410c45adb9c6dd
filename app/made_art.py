"""Puts art that the program made into a job: a piece at true size and, where there is room, a copy of it."""

from app.arrivals import GARMENT_SIZE, choose_size, with_copy
from layout_core.art.artwork import Artwork
from layout_core.art.lettering import Lettering
from layout_core.art.stock import StockShape
from layout_core.job import edits
from layout_core.job.model import Art, Job
from layout_core.job.placements import load_placements

Made = Lettering | StockShape


def with_made(job: Job, made: Made, artwork: Artwork) -> Job:
    """The job with the art, whose id is the old `next_id`, its piece, and a copy where there is room.

    The piece is as wide as the art, whatever its placement holds at most: a cap height must stay what was
    asked for. Raises LayoutError when the job is full.
    """
    art_id = job.next_id
    if isinstance(made, Lettering):
        job = edits.add_lettering(job, made, artwork)
    else:
        job = edits.add_stock(job, made, artwork)
    placement, _ = choose_size(artwork, load_placements())
    piece_id = job.next_id
    job = edits.add_piece(
        job, art_id, placement=placement, garment_size=GARMENT_SIZE, width_mm=artwork.width_mm
    )
    return with_copy(job, piece_id)


def with_changed(job: Job, art_id: int, made: Made, artwork: Artwork) -> Job:
    """The job with the art made anew in the same place. Raises LayoutError for other art."""
    if isinstance(made, Lettering):
        return edits.change_lettering(job, art_id, made, artwork)
    return edits.change_stock(job, art_id, made, artwork)


def made_of(art: Art) -> Made | None:
    """How art was made, as long as it can be made again; None for art that came in a file."""
    if art.stock is not None and not art.stock.parameters:
        return None
    return art.lettering or art.stock
