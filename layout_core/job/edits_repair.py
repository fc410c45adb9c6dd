"""Pure edits that repair the job's art, and take the repairs back.

Repairs take a moment. Whoever made the artwork already, off the window's thread, passes it along; otherwise
it is made here.
"""

from collections.abc import Sequence
from dataclasses import replace

from layout_core.art.artwork import Artwork
from layout_core.art.repair import (
    KINDS,
    Repair,
    checked_repair,
    in_order,
    repaired,
    width_after_mm,
)
from layout_core.art.repair_steps import SAME_WIDTH_SHARE
from layout_core.errors import LayoutError, RepairError
from layout_core.job.bounds import checked_art, checked_piece
from layout_core.job.edits_job import known, without_waivers_of
from layout_core.job.model import Art, Job
from layout_core.progress import Progress, no_progress


def repairs_with(art: Art, repairs: Sequence[Repair]) -> tuple[Repair, ...]:
    """The art's repairs and these, in the order they are done; of a kind done before, the new one."""
    return in_order((*art.repairs, *repairs))


def stronger(art: Art, repairs: Sequence[Repair]) -> tuple[Repair, ...]:
    """The repairs, stated for the art as it came; of a kind that was done more strongly before, that one.

    They come stated for the artwork as it prints now. Pieces of several sizes share one art: what the larger
    one asks for must not take back what the smaller one needed.
    """
    strongest = {repair.kind: repair for repair in art.repairs}
    for repair in repairs:
        width_mm = width_after_mm(art.artwork, unrepaired(art), repair.at_width_mm)
        now = replace(repair, at_width_mm=width_mm)
        strongest[repair.kind] = max(strongest.get(repair.kind, now), now, key=_strength)
    kinds = {repair.kind for repair in repairs}
    return tuple(strongest[kind] for kind in KINDS if kind in kinds)


def is_done(art: Art, repair: Repair) -> bool:
    """Whether the art has had the repair as strong as this, within what a shifted edge makes of a width."""
    (now,) = stronger(art, [repair])
    return any(
        done.kind == now.kind and _strength(now) <= _strength(done) * (1.0 + SAME_WIDTH_SHARE)
        for done in art.repairs
    )


def _strength(repair: Repair) -> float:
    """Its length as a share of the art's width."""
    return repair.limit_mm / repair.at_width_mm


def unrepaired(art: Art) -> Artwork:
    """The artwork before any repair."""
    return art.artwork if art.original is None else art.original


def repair_art(
    job: Job,
    art_id: int,
    repairs: Sequence[Repair],
    artwork: Artwork | None = None,
    progress: Progress = no_progress,
) -> Job:
    """The job with these repairs done to the art besides those it has already, all from the art as it came.

    Pieces are as wide as `width_after_mm` says. The same job comes back where there is nothing to repair.
    `artwork` is what `repaired(unrepaired(art), repairs_with(art, repairs))` gives. Raises LayoutError.
    """
    art = known(job.art, art_id, "art")
    before = unrepaired(art)
    try:
        done = repairs_with(art, [checked_repair(repair) for repair in repairs])
        after = repaired(before, done, progress) if artwork is None else artwork
    except RepairError as error:
        raise LayoutError(str(error)) from error
    if after.outline_digest == art.artwork.outline_digest:
        return job
    return _with_artwork(job, checked_art(replace(art, artwork=after, repairs=done, original=before)))


def undo_repairs(job: Job, art_id: int) -> Job:
    """The job with the art as it was before any repair. Raises LayoutError for art that has none."""
    art = known(job.art, art_id, "art")
    if art.original is None or not art.repairs:
        raise LayoutError(f"{art.artwork.name} has not been repaired")
    return _with_artwork(job, replace(art, artwork=art.original, repairs=(), original=None))


def _with_artwork(job: Job, art: Art) -> Job:
    """The job with the art in place of the one with its id; its pieces lose their waivers."""
    before, after = job.art(art.art_id).artwork, art.artwork
    pieces = tuple(
        checked_piece(replace(piece, width_mm=width_after_mm(before, after, piece.width_mm)), after)
        if piece.art_id == art.art_id
        else piece
        for piece in job.pieces
    )
    arts = tuple(art if one.art_id == art.art_id else one for one in job.arts)
    changed = {f"piece{piece.piece_id}" for piece in pieces if piece.art_id == art.art_id}
    return without_waivers_of(replace(job, arts=arts, pieces=pieces), changed)
