"""Gaps and bridges of the ground that are too narrow to stay open.

A gap below the limit is a caution; below a third of it a stop, since ink that spreads a few thousandths of an
inch from either side under heat then closes it for good (common practice for the spread, the third is
invented: the mean width of a notch that runs to a point, as in a letter M, lies between 0.35 and 0.47 of the
limit, and losing its tip is no stop). A bridge, a short place where two edges come close, is a caution: it
closes without loss of form.
"""

from shapely import MultiPolygon

from layout_core.checks.findings import Finding, Severity
from layout_core.checks.spots import Fault, findings_of, shown
from layout_core.geometry.thickness import Spot, firm_limit_mm, narrow_gaps
from layout_core.job.limits import PrintLimits
from layout_core.progress import Progress, no_progress

STOP_SHARE = 1.0 / 3.0


def gap_findings(
    outline: MultiPolygon, limits: PrintLimits, progress: Progress = no_progress
) -> tuple[Finding, ...]:
    """Findings of the rules gap and bridge; outline in the piece frame at its placed size."""
    needed_mm = limits.gap_mm
    narrow = narrow_gaps(outline, firm_limit_mm(needed_mm), progress)
    gaps = [_gap_fault(spot, needed_mm) for spot in narrow if spot.kind == "sliver"]
    bridges = [
        Fault(
            spot,
            Severity.CAUTION,
            f"Edges {shown(spot.width_mm)} apart; ink bridges less than {shown(needed_mm)}",
        )
        for spot in narrow
        if spot.kind == "bridge"
    ]
    return findings_of("gap", gaps, needed_mm, "gaps that fill in") + findings_of(
        "bridge", bridges, needed_mm, "places where ink bridges a gap"
    )


def _gap_fault(spot: Spot, needed_mm: float) -> Fault:
    severity = Severity.STOP if spot.width_mm < STOP_SHARE * needed_mm else Severity.CAUTION
    words = f"Gap {shown(spot.width_mm)} wide for {shown(spot.length_mm)}; fills in below {shown(needed_mm)}"
    return Fault(spot, severity, words)
