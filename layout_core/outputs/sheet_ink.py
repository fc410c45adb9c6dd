"""The ink that lies on one sheet, copy by copy and as a whole, cut off at the sheet's edge."""

import numpy as np
import shapely
from shapely import MultiPolygon

from layout_core.geometry.outline import valid_union
from layout_core.job.model import Job, Sheet
from layout_core.packing.on_sheet import placed_outlines


def printed_shapes(job: Job, sheet: Sheet) -> dict[int, MultiPolygon]:
    """The ink of every copy by placed id, in mm in the sheet frame, without what lies beyond the sheet.

    A copy that lies wholly beyond it is left out; the film has no room for either.
    """
    film = shapely.box(0.0, 0.0, sheet.width_mm, sheet.length_mm)
    shapes: dict[int, MultiPolygon] = {}
    for placed_id, outline in placed_outlines(job, sheet).items():
        inside = outline if _within(outline, sheet) else valid_union(outline.intersection(film))
        if not inside.is_empty:
            shapes[placed_id] = inside
    return shapes


def whole_ink(shapes: dict[int, MultiPolygon]) -> MultiPolygon:
    """All copies as one valid area, mm; shapes that do not touch are only gathered."""
    outlines = np.array(list(shapes.values()), dtype=object)
    if len(outlines) == 0:
        return MultiPolygon()
    tree = shapely.STRtree(outlines)
    first, second = tree.query(outlines, predicate="intersects")
    if (first == second).all():
        return MultiPolygon([part for outline in outlines for part in outline.geoms])
    return valid_union(shapely.union_all(outlines))


def mirrored(outline: MultiPolygon, width_mm: float) -> MultiPolygon:
    """The outline as seen from the back of a sheet of that width, mm."""
    flipped: MultiPolygon = shapely.transform(outline, lambda xy: xy * (-1.0, 1.0) + (width_mm, 0.0))
    return flipped


def _within(outline: MultiPolygon, sheet: Sheet) -> bool:
    left, top, right, bottom = outline.bounds
    return bool(left >= 0.0 and top >= 0.0 and right <= sheet.width_mm and bottom <= sheet.length_mm)
