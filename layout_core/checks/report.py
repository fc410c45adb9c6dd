"""What the checks say about art at one size, without any sheet."""

from dataclasses import dataclass

from layout_core.checks.findings import Finding


@dataclass(frozen=True, slots=True)
class ArtReport:
    """The measures of art at a size; findings lie in the piece frame.

    `elements` counts the separate parts of the ink. `line_weight_mm` and `gap_mm` are the least widths that
    go on like a line; None means that nothing is below the limit and, in art of a usual size, below five
    times the limit. `resolution_dpi` is None for vector art.
    """

    size_mm: tuple[float, float]
    ink_area_mm2: float
    elements: int
    smallest_element_mm2: float
    line_weight_mm: float | None
    gap_mm: float | None
    resolution_dpi: float | None
    findings: tuple[Finding, ...]
