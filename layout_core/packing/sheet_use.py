"""How well a sheet is used: shares of the film under ink and under bounding boxes, and the tightest gap."""

from dataclasses import dataclass

import shapely

from layout_core.geometry.clearance import smallest_gap
from layout_core.job.model import Job, Sheet
from layout_core.packing.on_sheet import placed_outlines


@dataclass(frozen=True, slots=True)
class SheetUse:
    """Shares of the sheet's printable area (0 to 1), and the smallest distance between two copies in mm.

    `box_fraction` counts each copy's upright bounding box; overlaps count once, what lies off the sheet
    not at all. `smallest_gap_mm` is None with fewer than two copies, 0.0 where two touch.
    """

    ink_fraction: float
    box_fraction: float
    smallest_gap_mm: float | None


def sheet_use(job: Job, sheet: Sheet) -> SheetUse:
    """The use of one sheet of the job."""
    outlines = placed_outlines(job, sheet)
    film = shapely.box(0.0, 0.0, sheet.width_mm, sheet.length_mm)
    gap = smallest_gap(outlines)
    ink = [outline if film.contains(outline) else outline.intersection(film) for outline in outlines.values()]
    boxes = [shapely.box(*outline.bounds) for outline in outlines.values()]
    may_overlap = gap is not None and gap.distance_mm == 0.0
    ink_mm2 = shapely.union_all(ink).area if may_overlap else sum(shape.area for shape in ink)
    return SheetUse(
        ink_fraction=float(ink_mm2 / film.area),
        box_fraction=float(shapely.union_all(boxes).intersection(film).area / film.area),
        smallest_gap_mm=None if gap is None else gap.distance_mm,
    )
