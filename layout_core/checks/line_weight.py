"""Lines and necks of the ink that are too thin to print.

A line below the stop limit is a stop, below the caution limit a caution. A neck, a short waist between two
wider parts, is a caution however thin: it prints weak but little is lost (line = error, neck = warning).
"""

from collections.abc import Sequence

from shapely import MultiPolygon, STRtree

from layout_core.checks.findings import Finding, Severity
from layout_core.checks.spots import Fault, findings_of, shown
from layout_core.geometry.thickness import Spot, firm_limit_mm, thin_spots
from layout_core.job.limits import PrintLimits
from layout_core.progress import Progress, no_progress, within


def line_findings(
    outline: MultiPolygon, limits: PrintLimits, progress: Progress = no_progress
) -> tuple[Finding, ...]:
    """Findings of the rules line_weight and neck; outline in the piece frame at its placed size."""
    needed_mm = limits.line_caution_mm
    thin = thin_spots(outline, firm_limit_mm(needed_mm), within(progress, 0.0, 0.5))
    lines = [spot for spot in thin if spot.kind == "line"]
    fatal = _fatal_lines(outline, limits, within(progress, 0.5, 1.0)) if lines else []
    faults = _line_faults(lines, fatal, needed_mm)
    necks = [
        Fault(spot, Severity.CAUTION, f"Neck {shown(spot.width_mm)} wide; needs {shown(needed_mm)}")
        for spot in thin
        if spot.kind == "neck"
    ]
    return findings_of("line_weight", faults, needed_mm, "lines that are too thin") + findings_of(
        "neck", necks, needed_mm, "necks that are too thin"
    )


def _fatal_lines(outline: MultiPolygon, limits: PrintLimits, progress: Progress) -> list[Spot]:
    spots = thin_spots(outline, firm_limit_mm(limits.line_stop_mm), progress)
    return [spot for spot in spots if spot.kind == "line"]


def _line_faults(lines: Sequence[Spot], fatal: Sequence[Spot], needed_mm: float) -> list[Fault]:
    """Every fatal line as a stop, and as a caution every line that no fatal one is part of."""
    faults = [Fault(spot, Severity.STOP, _words(spot, needed_mm)) for spot in fatal]
    hit: set[int] = set()
    if fatal and lines:
        tree = STRtree([spot.shape for spot in fatal])
        found, _ = tree.query([spot.shape for spot in lines], predicate="intersects")
        hit = set(found.tolist())
    mild = [spot for number, spot in enumerate(lines) if number not in hit]
    return faults + [Fault(spot, Severity.CAUTION, _words(spot, needed_mm)) for spot in mild]


def _words(spot: Spot, needed_mm: float) -> str:
    return f"Line {shown(spot.width_mm)} wide for {shown(spot.length_mm)}; needs {shown(needed_mm)}"
