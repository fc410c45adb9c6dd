"""Ink area of a piece and of its elements, and elements too small to count in the dark.

The smallest element that still counts is `element_mm2` of the print limits (invented). Small details beside
larger ink are a note; art whose ink lies mostly in such elements is a caution.
"""

import numpy as np
import shapely
from shapely import MultiPolygon

from layout_core.checks.findings import Finding, Severity
from layout_core.job.limits import PrintLimits
from layout_core.units import MM_PER_IN

MOSTLY = 0.5


def element_areas_mm2(outline: MultiPolygon) -> tuple[float, ...]:
    """The ink area of each separate part in mm², in the outline's order."""
    return tuple(shapely.area(np.array(outline.geoms, dtype=object)).tolist())


def ink_area_mm2(outline: MultiPolygon) -> float:
    """The ink area of the whole piece in mm²."""
    return float(shapely.area(outline))


def element_findings(outline: MultiPolygon, limits: PrintLimits) -> tuple[Finding, ...]:
    """One finding of the rule element_area at most; it lies at the smallest element."""
    areas = element_areas_mm2(outline)
    small = [number for number, area in enumerate(areas) if area < limits.element_mm2]
    if not small:
        return ()
    smallest = min(small, key=lambda number: areas[number])
    is_mostly_small = sum(areas[number] for number in small) >= MOSTLY * sum(areas)
    point = shapely.point_on_surface(outline.geoms[smallest])
    return (
        Finding(
            "element_area",
            Severity.CAUTION if is_mostly_small else Severity.NOTE,
            _words(len(small), len(areas), areas[smallest], limits.element_mm2),
            measured=areas[smallest],
            limit=limits.element_mm2,
            unit="mm2",
            where_mm=(point.x, point.y),
            highlight=MultiPolygon([outline.geoms[number] for number in small]),
        ),
    )


def _words(small: int, elements: int, least_mm2: float, limit_mm2: float) -> str:
    subject = "The only element is" if elements == 1 else f"{small} of {elements} elements are"
    return (
        f"{subject} hardly seen in the dark: the smallest has {least_mm2 / MM_PER_IN**2:.4f} sq in of ink, "
        f"{limit_mm2 / MM_PER_IN**2:.4f} still counts"
    )
