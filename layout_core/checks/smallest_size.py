"""How small lettering may be set before the print limits no longer hold it."""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from shapely import MultiPolygon, affinity

from layout_core.art.lettering import RANGES, Lettering, checked_lettering, lettering_outline
from layout_core.checks.dots import pinhole_findings, speck_findings
from layout_core.checks.gaps import gap_findings
from layout_core.checks.line_weight import line_findings
from layout_core.job.limits import PrintLimits
from layout_core.progress import Progress, no_progress

EXACT_SHARE = 0.005
"""How exactly the size is found, as a share of it."""
_LEAST_MM, _MOST_MM = RANGES["cap_height_mm"][0], 300.0
_LOOKS_ABOVE = (1.06, 1.15, 1.3, 1.6, 2.2, 3.5)
"""A larger size may fail where a smaller one passes, as a short thin place turns from a corner into a line
when it is long enough; so the sizes above are looked at too. Shares are invented."""


@dataclass(frozen=True, slots=True)
class SmallestSize:
    """The least cap height (mm) at which nothing is found, and the rule that finds fault just below it.

    `held_by` is None where even the smallest cap height there is passes.
    """

    cap_height_mm: float
    held_by: str | None


def smallest_cap_height(
    lettering: Lettering, limits: PrintLimits, progress: Progress = no_progress
) -> SmallestSize | None:
    """The least cap height at which these words in this face give no finding on lines, gaps, specks or holes.

    None when no cap height up to 300 mm passes, as with a contour that is itself too thin. Sizes are exact to
    half a percent and never too small. Raises LetteringError as `lettering_outline` does.
    """
    outline_at = _outline_at(checked_lettering(lettering))

    def fault(cap_mm: float) -> str | None:
        step = math.log(cap_mm / _LEAST_MM) / math.log(_MOST_MM / _LEAST_MM)
        progress(min(max(1.0 - step, 0.0), 1.0), "Looking for the smallest size")
        return first_fault(outline_at(cap_mm), limits)

    if fault(_MOST_MM) is not None:
        return None
    if fault(_LEAST_MM) is None:
        found = SmallestSize(_LEAST_MM, None)
    else:
        found = _between(_LEAST_MM, _MOST_MM, fault)
    start_mm = found.cap_height_mm
    sizes = [min(start_mm * share, _MOST_MM) for share in _LOOKS_ABOVE]
    for failing, passing in reversed(list(zip(sizes, [*sizes[1:], _MOST_MM], strict=True))):
        if fault(failing) is not None:
            return _between(failing, passing, fault)
    return found


def first_fault(outline: MultiPolygon, limits: PrintLimits) -> str | None:
    """The first rule that finds the shapes (mm, true size) too fine to print; None if none does."""
    for check in (line_findings, gap_findings, speck_findings, pinhole_findings):
        findings = check(outline, limits)
        if findings:
            return findings[0].rule
    return None


def _between(low_mm: float, high_mm: float, fault: Callable[[float], str | None]) -> SmallestSize:
    """Halves the stretch between a size that fails and one that passes."""
    rule = fault(low_mm)
    while high_mm > low_mm * (1.0 + EXACT_SHARE):
        middle_mm = math.sqrt(low_mm * high_mm)
        found = fault(middle_mm)
        if found is None:
            high_mm = middle_mm
        else:
            low_mm, rule = middle_mm, found
    return SmallestSize(high_mm, rule)


def _outline_at(lettering: Lettering) -> Callable[[float], MultiPolygon]:
    """Gives the shapes at a cap height; contour and eased notches keep their own measures, so drawn anew."""
    if lettering.contour != "none" or lettering.ease_mm > 0.0:
        return lambda cap_mm: lettering_outline(replace(lettering, cap_height_mm=cap_mm))
    outline = lettering_outline(lettering)

    def scaled(cap_mm: float) -> MultiPolygon:
        share = cap_mm / lettering.cap_height_mm
        return affinity.scale(outline, share, share, origin=(0.0, 0.0))

    return scaled
