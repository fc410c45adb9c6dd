"""Whether the file itself says how large the art is."""

from layout_core.art.artwork import Artwork
from layout_core.checks.findings import Finding, Severity
from layout_core.units import write_length


def size_findings(artwork: Artwork, width_mm: float) -> tuple[Finding, ...]:
    """One note of the rule size_unknown when the file states no physical size."""
    if artwork.size_known:
        return ()
    message = f"The file states no size; make sure that {write_length(width_mm)} wide is what is wanted"
    return (Finding("size_unknown", Severity.NOTE, message, measured=width_mm),)
