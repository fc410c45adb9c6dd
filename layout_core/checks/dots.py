"""Specks of ink too small to hold, and pinholes too small to stay open: cautions both."""

from collections.abc import Sequence

from shapely import MultiPolygon

from layout_core.checks.findings import Finding, Severity
from layout_core.checks.spots import Fault, findings_of, shown
from layout_core.geometry.thickness import Spot, firm_limit_mm, pinholes, specks
from layout_core.job.limits import PrintLimits


def speck_findings(
    outline: MultiPolygon, limits: PrintLimits, told: Sequence[Finding] = ()
) -> tuple[Finding, ...]:
    """Findings of the rule speck; a part that one of the findings `told` lies in is not told again."""
    spots = _untold(specks(outline, firm_limit_mm(limits.dot_mm)), told)
    faults = [
        Fault(spot, Severity.CAUTION, f"Speck {shown(spot.width_mm)} across; needs {shown(limits.dot_mm)}")
        for spot in spots
    ]
    return findings_of("speck", faults, limits.dot_mm, "specks that are too small")


def pinhole_findings(
    outline: MultiPolygon, limits: PrintLimits, told: Sequence[Finding] = ()
) -> tuple[Finding, ...]:
    """Findings of the rule pinhole; a hole that one of the findings `told` lies in is not told again."""
    needed_mm = limits.pinhole_mm
    spots = _untold(pinholes(outline, firm_limit_mm(needed_mm)), told)
    faults = [
        Fault(
            spot, Severity.CAUTION, f"Hole {shown(spot.width_mm)} across; fills in below {shown(needed_mm)}"
        )
        for spot in spots
    ]
    return findings_of("pinhole", faults, needed_mm, "holes that fill in")


def _untold(spots: Sequence[Spot], told: Sequence[Finding]) -> list[Spot]:
    shapes = [finding.highlight for finding in told if finding.highlight is not None]
    return [spot for spot in spots if not any(spot.shape.intersects(shape) for shape in shapes)]
