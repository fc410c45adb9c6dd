"""Whether each copy lies on its sheet: off the film is a stop, inside the margin a caution."""

from collections.abc import Mapping

import shapely
from shapely.geometry.base import BaseGeometry

from layout_core.checks.findings import Finding, Severity
from layout_core.checks.spots import shown
from layout_core.geometry.clearance import DUST_MM
from layout_core.job.model import Job, Sheet
from layout_core.units import write_length


def bounds_findings(job: Job, sheet: Sheet, outlines: Mapping[int, BaseGeometry]) -> tuple[Finding, ...]:
    """Findings of the rules sheet_bounds and margin; `outlines` by placed id, in the sheet frame in mm."""
    names = {placed.placed_id: job.piece(placed.piece_id).name for placed in sheet.placed}
    found = (_finding(key, outline, names[key], sheet) for key, outline in outlines.items())
    return tuple(finding for finding in found if finding is not None)


def _finding(key: int, outline: BaseGeometry, name: str, sheet: Sheet) -> Finding | None:
    min_x, min_y, max_x, max_y = outline.bounds
    inside = {
        "left": min_x,
        "top": min_y,
        "right": sheet.width_mm - max_x,
        "bottom": sheet.length_mm - max_y,
    }
    edge = min(inside, key=lambda side: inside[side])
    to_edge_mm = inside[edge]
    if to_edge_mm >= sheet.margin_mm - DUST_MM:
        return None
    is_off = to_edge_mm < -DUST_MM
    if is_off:
        message = f"“{name}” sticks out {shown(-to_edge_mm)} over the {edge} edge of the sheet"
    else:
        message = (
            f"“{name}” is {write_length(max(to_edge_mm, 0.0))} from the {edge} edge; "
            f"the margin is {write_length(sheet.margin_mm)}"
        )
    outside = outline.difference(_film(sheet, 0.0 if is_off else sheet.margin_mm))
    point = outside.representative_point() if not outside.is_empty else outline.representative_point()
    return Finding(
        "sheet_bounds" if is_off else "margin",
        Severity.STOP if is_off else Severity.CAUTION,
        message,
        measured=-to_edge_mm if is_off else max(to_edge_mm, 0.0),
        limit=0.0 if is_off else sheet.margin_mm,
        where_mm=(point.x, point.y),
        sheet_id=sheet.sheet_id,
        placed_ids=(key,),
        highlight=outside,
    )


def _film(sheet: Sheet, margin_mm: float) -> BaseGeometry:
    return shapely.box(margin_mm, margin_mm, sheet.width_mm - margin_mm, sheet.length_mm - margin_mm)
