"""Pure edits of art that the program makes itself: lettering, stock shapes, lists of names.

Making art takes a moment (fonts are opened, shapes united). Whoever made it already, off the window's
thread, passes it along as `artwork`; otherwise it is made here, and LayoutError tells what is in the way.
"""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace

from layout_core.art.artwork import Artwork
from layout_core.art.lettering import Lettering, checked_lettering, lettering_artwork
from layout_core.art.stock import StockShape, checked_stock, stock_artwork, stock_shape
from layout_core.errors import LayoutError, LetteringError
from layout_core.job.bounds import MOST_ARTS, checked_art, checked_piece, checked_total
from layout_core.job.edits_art import add_piece
from layout_core.job.edits_job import known, without_waivers_of
from layout_core.job.model import Art, Job
from layout_core.job.name_list import NameList, NameRow
from layout_core.progress import Progress, no_progress

_SHOWN = 6


def add_lettering(job: Job, lettering: Lettering, artwork: Artwork | None = None) -> Job:
    """The job with the words as its last art, whose id is the old `next_id`."""
    return _with_made(job, _lettered(job.next_id, lettering, artwork))


def change_lettering(job: Job, art_id: int, lettering: Lettering, artwork: Artwork | None = None) -> Job:
    """The job with other words, or otherwise set, in the same place.

    Each piece keeps how much it enlarges the lettering, so that its letters stay as tall as they were unless
    the cap height itself is changed; copies on sheets keep their centres. Raises LayoutError for art that is
    no lettering.
    """
    if known(job.art, art_id, "art").lettering is None:
        raise LayoutError(f"{job.art(art_id).artwork.name} is no lettering")
    return with_replaced_art(job, _lettered(art_id, lettering, artwork))


def add_stock(job: Job, shape: StockShape, artwork: Artwork | None = None) -> Job:
    """The job with the stock shape as its last art, whose id is the old `next_id`."""
    return _with_made(job, _stocked(job.next_id, shape, artwork))


def change_stock(job: Job, art_id: int, shape: StockShape, artwork: Artwork | None = None) -> Job:
    """The job with another stock shape in the same place, sized as `change_lettering` does."""
    if known(job.art, art_id, "art").stock is None:
        raise LayoutError(f"{job.art(art_id).artwork.name} is no stock shape")
    return with_replaced_art(job, _stocked(art_id, shape, artwork))


def add_name_list(
    job: Job,
    names: NameList,
    lettering: Lettering,
    *,
    placement: str = "full front",
    garment_size: str = "adult",
    order_id: int | None = None,
    artworks: Mapping[str, Artwork] | None = None,
    progress: Progress = no_progress,
) -> Job:
    """The job with one piece a row of the list, all at the lettering's cap height; see `named_lettering`.

    Ids are counted up from the old `next_id`. Rows with the same words share their art. `artworks` holds
    what `name_artworks` made. Raises LayoutError that names the rows whose letters the font lacks.
    """
    if artworks is None:
        with _refusing():
            artworks = name_artworks(names, lettering, progress)
    arts: dict[str, int] = {}
    for row in names.rows:
        with _refusing():
            words = named_lettering(lettering, row)
        if words.text not in arts:
            arts[words.text] = job.next_id
            job = add_lettering(job, words, artworks[words.text])
        art = job.art(arts[words.text])
        job = add_piece(
            job, art.art_id, placement=placement, garment_size=garment_size, width_mm=art.artwork.width_mm,
            name=row.words, copies=row.copies, order_id=order_id,
        )  # fmt: skip
    return job


def named_lettering(lettering: Lettering, row: NameRow) -> Lettering:
    """The lettering with the row's words: in place of {name} and {number}, or instead of its whole text."""
    text = lettering.text
    if "{name}" in text or "{number}" in text:
        words = text.replace("{name}", row.name).replace("{number}", row.number)
    else:
        words = "\n".join(part for part in (row.name, row.number) if part)
    return checked_lettering(replace(lettering, text=words))


def name_artworks(
    names: NameList, lettering: Lettering, progress: Progress = no_progress
) -> dict[str, Artwork]:
    """The artwork of every different text of the list. Raises LetteringError that names the rows at fault."""
    made: dict[str, Artwork] = {}
    faults: list[str] = []
    for number, row in enumerate(names.rows):
        progress(number / len(names.rows), f"Setting {row.words}")
        try:
            words = named_lettering(lettering, row)
            if words.text not in made:
                made[words.text] = lettering_artwork(words)
        except LetteringError as error:
            faults.append(f"row {row.row} ({row.words}): {error}")
    if faults:
        rest = f", and {len(faults) - _SHOWN} more rows" if len(faults) > _SHOWN else ""
        raise LetteringError(f"{names.file_name}: {'; '.join(faults[:_SHOWN])}{rest}")
    return made


def _lettered(art_id: int, lettering: Lettering, artwork: Artwork | None) -> Art:
    with _refusing():
        tidy = checked_lettering(lettering)
        made = lettering_artwork(tidy) if artwork is None else artwork
    return checked_art(Art(art_id, made, lettering=tidy))


def _stocked(art_id: int, shape: StockShape, artwork: Artwork | None) -> Art:
    with _refusing():
        tidy = checked_stock(shape)
        made = stock_artwork(tidy) if artwork is None else artwork
    return checked_art(Art(art_id, made, stock=tidy))


@contextmanager
def _refusing() -> Iterator[None]:
    """What cannot become lettering is, for the job, an edit it cannot take."""
    try:
        yield
    except LetteringError as error:
        raise LayoutError(str(error)) from error


def _with_made(job: Job, art: Art) -> Job:
    checked_total(len(job.arts) + 1, "arts", MOST_ARTS)
    return replace(job, arts=(*job.arts, art), next_id=job.next_id + 1)


def with_replaced_art(job: Job, new: Art) -> Job:
    """The job with the art in place of the one with its id, and its pieces enlarged as they were."""
    old = job.art(new.art_id)
    if new == old:
        return job
    growth = new.artwork.width_mm / old.artwork.width_mm
    pieces = []
    for piece in job.pieces:
        if piece.art_id == new.art_id:
            name = new.artwork.name if piece.name == old.artwork.name else piece.name
            piece = checked_piece(replace(piece, name=name, width_mm=piece.width_mm * growth), new.artwork)
        pieces.append(piece)
    arts = tuple(new if art.art_id == new.art_id else art for art in job.arts)
    changed = {f"piece{piece.piece_id}" for piece in pieces if piece.art_id == new.art_id}
    return without_waivers_of(replace(job, arts=arts, pieces=tuple(pieces)), changed)


def add_swatch_card(job: Job) -> Job:
    """The job with the swatch card as its last art and a piece of it at true size, whose ids are the old
    `next_id` and the one after it: another size would make every figure on the card untrue.
    """
    art_id = job.next_id
    job = add_stock(job, stock_shape("swatch"))
    width_mm = job.art(art_id).artwork.width_mm
    return add_piece(job, art_id, placement="full front", width_mm=width_mm, name="Swatch card")
