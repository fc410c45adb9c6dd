"""Distance between the copies on a sheet, on true outlines: overlaps and pairs too close to cut apart.

An overlap is a stop. Closer than the least piece gap of the print limits is a stop, closer than the sheet's
gap a caution.
"""

from collections.abc import Mapping

from shapely import LineString
from shapely.geometry.base import BaseGeometry

from layout_core.checks.findings import Finding, Severity
from layout_core.checks.spots import shown
from layout_core.geometry.clearance import DUST_MM, Gap, cramped_pairs
from layout_core.job.limits import PrintLimits
from layout_core.job.model import Job, Sheet
from layout_core.units import write_area, write_length


def spacing_findings(job: Job, sheet: Sheet, outlines: Mapping[int, BaseGeometry]) -> tuple[Finding, ...]:
    """Findings of the rules overlap and spacing; `outlines` by placed id, in the sheet frame in mm."""
    names = {placed.placed_id: job.piece(placed.piece_id).name for placed in sheet.placed}
    pairs = cramped_pairs(outlines, max(sheet.gap_mm, job.limits.piece_gap_least_mm))
    return tuple(_finding(gap, sheet, job.limits, outlines, names) for gap in pairs)


def _finding(
    gap: Gap,
    sheet: Sheet,
    limits: PrintLimits,
    outlines: Mapping[int, BaseGeometry],
    names: Mapping[int, str],
) -> Finding:
    ids = tuple(key for key in (gap.first, gap.second) if key is not None)
    shapes = [outlines[key] for key in ids]
    pair = " and ".join(f"“{names[key]}”" for key in ids)
    if gap.distance_mm == 0.0:
        shared = shapes[0].intersection(shapes[1])
        if shared.area > DUST_MM:
            return _overlap(pair, shared, sheet, ids)
    (x0, y0), (x1, y1) = gap.from_mm, gap.to_mm
    is_stop = gap.distance_mm < limits.piece_gap_least_mm - DUST_MM
    needed_mm = max(sheet.gap_mm, limits.piece_gap_least_mm)
    apart = f"{shown(gap.distance_mm)} apart" if gap.distance_mm else "touching"
    return Finding(
        "spacing",
        Severity.STOP if is_stop else Severity.CAUTION,
        f"{pair} are {apart}; the sheet's gap is {write_length(needed_mm)}",
        measured=gap.distance_mm,
        limit=needed_mm,
        where_mm=((x0 + x1) / 2.0, (y0 + y1) / 2.0),
        sheet_id=sheet.sheet_id,
        placed_ids=ids,
        highlight=LineString([gap.from_mm, gap.to_mm]),
    )


def _overlap(pair: str, shared: BaseGeometry, sheet: Sheet, ids: tuple[int, ...]) -> Finding:
    point = shared.representative_point()
    return Finding(
        "overlap",
        Severity.STOP,
        f"{pair} overlap by {write_area(shared.area)}",
        measured=shared.area,
        limit=0.0,
        unit="mm2",
        where_mm=(point.x, point.y),
        sheet_id=sheet.sheet_id,
        placed_ids=ids,
        highlight=shared,
    )
