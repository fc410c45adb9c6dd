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
    boxes = [shapely.box(*outline.bounds) for outline in outlines.values()]
    gap = smallest_gap(outlines)
    return SheetUse(
        ink_fraction=_share(list(outlines.values()), film),
        box_fraction=_share(boxes, film),
        smallest_gap_mm=None if gap is None else gap.distance_mm,
    )


def _share(shapes: list[shapely.MultiPolygon] | list[shapely.Polygon], film: shapely.Polygon) -> float:
    return float(shapely.union_all(shapes).intersection(film).area / film.area)
