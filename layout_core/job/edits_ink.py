"""Pure edit of which colours of an art print."""

from dataclasses import replace

from layout_core.art.artwork import Artwork
from layout_core.art.ink_map import InkMap
from layout_core.art.repair import repaired
from layout_core.errors import LayoutError, RepairError
from layout_core.job.bounds import checked_art
from layout_core.job.edits_job import known
from layout_core.job.edits_made import with_replaced_art
from layout_core.job.model import Job
from layout_core.progress import Progress, no_progress


def change_ink_map(
    job: Job, art_id: int, ink_map: InkMap | None, artwork: Artwork, progress: Progress = no_progress
) -> Job:
    """The job with the art printing as the map says; None for what is proposed when an art comes in.

    `artwork` is what `read_with_ink_map` gives for the art's source and the map. Repairs that were done to
    the art are done to it again; pieces keep how much they enlarge the art. Raises LayoutError for art that
    has no colours, for a map that no art could have, and for an artwork read from another file.
    """
    art = known(job.art, art_id, "art")
    if artwork.source_digest != art.artwork.source_digest:
        raise LayoutError(f"{artwork.name} is not the file that {art.artwork.name} was read from")
    if art.lettering is not None or art.stock is not None:
        raise LayoutError(f"{art.artwork.name} was made in one ink; it has no colours to choose from")
    read = replace(artwork, name=art.artwork.name)
    try:
        printed = repaired(read, art.repairs, progress) if art.repairs else read
    except RepairError as error:
        raise LayoutError(str(error)) from error
    original = read if art.repairs else None
    new = replace(art, artwork=printed, original=original, ink_map=ink_map)
    return with_replaced_art(job, checked_art(new))
