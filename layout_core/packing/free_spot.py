"""Where a newly added piece can lie without touching anything: the first free spot from the top."""

from layout_core.geometry.pose import Pose, to_sheet
from layout_core.job.model import Job
from layout_core.packing.autopack import fill_sheet_of
from layout_core.packing.covers import GRID_MM, steps_up
from layout_core.packing.free_space import free_field
from layout_core.packing.on_sheet import piece_outline


def free_spot(job: Job, sheet_id: int, piece_id: int) -> Pose | None:
    """The topmost, then leftmost pose that keeps gap and margin, in the piece's own turn; None without room.

    Raises KeyError for a sheet or piece that the job does not hold.
    """
    sheet, piece = job.sheet(sheet_id), job.piece(piece_id)
    lying = to_sheet(piece_outline(job, piece), *job.size_of(piece), Pose(0.0, 0.0, piece.turn_deg))
    min_x_mm, min_y_mm, max_x_mm, max_y_mm = lying.bounds
    width, height = steps_up(max_x_mm - min_x_mm), steps_up(max_y_mm - min_y_mm)
    field = free_field(fill_sheet_of(job, sheet), [(width, height)])
    roomy = [box for box in field.free if box.x1 - box.x0 >= width and box.y1 - box.y0 >= height]
    if not roomy:
        return None
    corner = min(roomy, key=lambda box: (box.y0, box.x0))
    return Pose(
        sheet.margin_mm + corner.x0 * GRID_MM - min_x_mm,
        sheet.margin_mm + corner.y0 * GRID_MM - min_y_mm,
        piece.turn_deg,
    )
