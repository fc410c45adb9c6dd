"""Outlines with known faults for the checks, in mm."""

import shapely
from shapely import Point
from shapely.geometry.base import BaseGeometry

from layout_core.checks.findings import Finding
from layout_core.units import mm


def with_whisker(width_in: float, length_in: float = 0.4) -> BaseGeometry:
    """A block with a straight whisker of that width growing out of its right side."""
    block = shapely.box(0, 0, mm(2), mm(1))
    return block.union(shapely.box(mm(2) - 1, mm(0.5), mm(2 + length_in), mm(0.5 + width_in)))


def with_slot(width_in: float, length_in: float = 0.5) -> BaseGeometry:
    """A block with a straight slot of that width cut into it from the right."""
    return shapely.box(0, 0, mm(2), mm(1)).difference(
        shapely.box(mm(2 - length_in), mm(0.5), mm(3), mm(0.5 + width_in))
    )


def dumbbell(width_in: float, length_in: float) -> BaseGeometry:
    """Two blocks joined by a neck."""
    left, right = shapely.box(0, 0, mm(1), mm(1)), shapely.box(mm(1 + length_in), 0, mm(2 + length_in), mm(1))
    return shapely.union_all(
        [left, right, shapely.box(mm(0.9), mm(0.5), mm(1.1 + length_in), mm(0.5 + width_in))]
    )


def with_notches(width_in: float) -> BaseGeometry:
    """A block with a right-angled notch from above and one from below that leave a neck of that width."""
    x, y, half = mm(1), mm(0.5), mm(width_in / 2)
    upper = shapely.Polygon([(x, y - half), (x - 50, y - half - 50), (x + 50, y - half - 50)])
    lower = shapely.Polygon([(x, y + half), (x - 50, y + half + 50), (x + 50, y + half + 50)])
    return shapely.box(0, 0, mm(2), mm(1)).difference(upper).difference(lower)


def with_dots(diameter_in: float, count: int = 1) -> BaseGeometry:
    """A block with round dots beside it."""
    dots = [Point(mm(2.5 + 0.2 * n), mm(0.5)).buffer(mm(diameter_in / 2), 32) for n in range(count)]
    return shapely.union_all([shapely.box(0, 0, mm(2), mm(1)), *dots])


def with_holes(diameter_in: float, count: int = 1) -> BaseGeometry:
    """A block with round holes in it."""
    holes = [Point(mm(0.3 + 0.2 * n), mm(0.5)).buffer(mm(diameter_in / 2), 32) for n in range(count)]
    return shapely.box(0, 0, mm(4), mm(1)).difference(shapely.union_all(holes))


def rules(findings: tuple[Finding, ...]) -> list[tuple[str, str]]:
    return [(finding.rule, finding.severity.value) for finding in findings]
