"""Whether a pixel picture has enough pixels for its printed width."""

from layout_core.art.artwork import Artwork
from layout_core.checks.findings import Finding, Severity
from layout_core.job.limits import PrintLimits
from layout_core.units import inches, write_length

ROUNDING_DPI = 0.013
"""A PNG states whole pixels to the metre, so one made at 300 dpi says 299.9994.

Source: ISO/IEC 15948:2004, section 11.3.5.3 (pHYs); half a pixel to the metre is 0.0127 to the inch.
"""


def resolution_dpi(artwork: Artwork, width_mm: float) -> float | None:
    """Source pixels to the inch at the width; None for vector art."""
    return None if artwork.ink_width_px is None else artwork.ink_width_px / inches(width_mm)


def resolution_findings(artwork: Artwork, width_mm: float, limits: PrintLimits) -> tuple[Finding, ...]:
    """One finding of the rule resolution at most: a stop below the stop limit, else a caution."""
    dpi = resolution_dpi(artwork, width_mm)
    if dpi is None or dpi >= limits.resolution_wanted_dpi - ROUNDING_DPI:
        return ()
    is_stop = dpi < limits.resolution_stop_dpi - ROUNDING_DPI
    message = (
        f"{dpi:.0f} pixels to the inch at {write_length(width_mm)} wide; "
        f"{limits.resolution_wanted_dpi:.0f} are wanted"
    )
    return (
        Finding(
            "resolution",
            Severity.STOP if is_stop else Severity.CAUTION,
            message,
            measured=dpi,
            limit=limits.resolution_stop_dpi if is_stop else limits.resolution_wanted_dpi,
            unit="dpi",
        ),
    )
