"""What the transfer maker can hold: finest line and gap, smallest dot, spacing, margin, sheet sizes."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PrintLimits:
    """One set of print limits, in mm, mm² and px per inch; common practice, no source, all editable."""

    name: str
    line_caution_mm: float
    line_stop_mm: float
    gap_mm: float
    dot_mm: float
    pinhole_mm: float
    element_mm2: float
    piece_gap_mm: float
    piece_gap_least_mm: float
    margin_mm: float
    sheet_width_mm: float
    sheet_length_least_mm: float
    sheet_length_most_mm: float
    resolution_wanted_dpi: float
    resolution_stop_dpi: float
    smallest_run: int
