"""Puts artworks that have arrived into a job: a piece each, at a sensible size, where there is room."""

from collections.abc import Sequence
from dataclasses import dataclass

from layout_core.art.artwork import Artwork
from layout_core.geometry.pose import Pose
from layout_core.job import edits
from layout_core.job.model import Job
from layout_core.job.placements import Placement, load_placements, preset_width_mm
from layout_core.packing.free_spot import free_spot
from layout_core.units import mm

SMALL_BELOW_MM = mm(5.0)
"""Art that states a width below this was drawn for a small placement, e.g. a left chest. Our choice."""

GARMENT_SIZE = "adult"
PREFERRED = "full front"


@dataclass(frozen=True, slots=True)
class DropPoint:
    """A point on a sheet, mm in the sheet frame."""

    sheet_id: int
    x_mm: float
    y_mm: float


def with_arrivals(job: Job, artworks: Sequence[Artwork], where: DropPoint | None = None) -> Job:
    """The job with a piece and, where there is room, a copy on a sheet for each artwork.

    The first lies at the drop point, kept on the sheet as far as it fits; the others, and all without a
    point, at the first free spot, looking at the dropped-on sheet first. Art that the job already holds is
    not stored again. Raises LayoutError when the job is full.
    """
    placements = load_placements()
    for artwork in artworks:
        job, piece_id = _with_piece(job, artwork, placements)
        job = with_copy(job, piece_id, where, at_point=artwork is artworks[0])
    return job


def choose_size(artwork: Artwork, placements: Sequence[Placement]) -> tuple[str, float]:
    """Placement key and width in mm for art nobody has sized yet.

    A stated width is kept where the placement can hold it: a small one at the placement whose adult preset
    comes nearest, any other as a full front. Art without a stated size gets the preset of a full front.
    """
    made = [p for p in placements if GARMENT_SIZE in p.garment_sizes]
    full = next((p for p in made if p.key == PREFERRED), made[0])
    width_mm = artwork.width_mm
    if not artwork.size_known:
        return full.key, preset_width_mm(full, GARMENT_SIZE, artwork.aspect)
    placement = full
    if width_mm < SMALL_BELOW_MM:
        placement = min(made, key=lambda p: abs(dict(p.widths_mm)[GARMENT_SIZE] - width_mm))
    if width_mm <= placement.most_width_mm and artwork.height_mm <= placement.most_height_mm:
        return placement.key, width_mm
    return placement.key, preset_width_mm(placement, GARMENT_SIZE, artwork.aspect)


def _with_piece(job: Job, artwork: Artwork, placements: Sequence[Placement]) -> tuple[Job, int]:
    """The job with art and piece, and the piece's id."""
    held = next((art.art_id for art in job.arts if art.artwork.digest == artwork.digest), None)
    if held is None:
        held = job.next_id
        job = edits.add_art(job, artwork)
    placement, width_mm = choose_size(artwork, placements)
    piece_id = job.next_id
    return edits.add_piece(
        job, held, placement=placement, garment_size=GARMENT_SIZE, width_mm=width_mm
    ), piece_id


def with_copy(job: Job, piece_id: int, where: DropPoint | None = None, *, at_point: bool = False) -> Job:
    """The job with a copy of the piece at the point, or where there is room; none is laid without room."""
    if where is not None and at_point:
        return edits.place_piece(job, where.sheet_id, piece_id, _kept_on_sheet(job, piece_id, where))
    ids = sorted((s.sheet_id for s in job.sheets), key=lambda i: where is None or i != where.sheet_id)
    for sheet_id in ids:
        pose = free_spot(job, sheet_id, piece_id)
        if pose is not None:
            return edits.place_piece(job, sheet_id, piece_id, pose)
    return job


def _kept_on_sheet(job: Job, piece_id: int, where: DropPoint) -> Pose:
    sheet, (width_mm, height_mm) = job.sheet(where.sheet_id), job.size_of(job.piece(piece_id))
    return Pose(
        _within(where.x_mm, width_mm / 2.0 + sheet.margin_mm, sheet.width_mm),
        _within(where.y_mm, height_mm / 2.0 + sheet.margin_mm, sheet.length_mm),
    )


def _within(centre_mm: float, half_mm: float, whole_mm: float) -> float:
    """The centre moved so that the half to each side stays inside; the middle when it cannot."""
    if 2.0 * half_mm >= whole_mm:
        return whole_mm / 2.0
    return min(max(centre_mm, half_mm), whole_mm - half_mm)
