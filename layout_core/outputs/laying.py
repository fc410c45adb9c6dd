"""Where a print is laid on a garment size: distances from seam and middle line, in inches and in fingers.

Common practice, no source, unless a line says otherwise.
"""

from dataclasses import replace

import numpy as np
import shapely
from shapely import MultiPolygon

from layout_core.job.model import Job, Piece
from layout_core.job.placements import Placement
from layout_core.units import MM_PER_IN, mm, write_length

FINGER_MM = mm(0.75)
"""Common practice, no source."""
_RULE_FINGERS, _SPREAD_FINGERS = 3, 2
_SPREADS_FROM = 0.75
"""Art whose upper fifth is at least this share of its width spreads upward. Invented."""
_BODY_WIDTH_MM = {"toddler": mm(12.5), "youth": mm(17), "adult": mm(22), "plus": mm(26)}
"""Flat width of a tee by garment size; from memory."""


def laid_placement(job: Job, piece: Piece, placement: Placement) -> Placement:
    """The placement with the distances that hold for this piece and its garment size."""
    return replace(placement, drop_mm=drop_of(job, piece, placement), across_mm=across_of(piece, placement))


def lay_text(job: Job, piece: Piece, placement: Placement) -> str:
    """Where the print is laid on that garment size, in inches, and in fingers where they serve.

    The distance from the middle is stated for adult sizes and scaled with the flat width of a tee for others.
    """
    drop_mm = drop_of(job, piece, placement)
    edge = {"top": "Top edge", "centre": "Middle of the print", "bottom": "Lower edge"}[placement.edge]
    above = "above" if placement.edge == "bottom" else "below"
    fingers = fingers_text(drop_mm) if placement.edge == "top" else ""
    where = f"{edge} {write_length(drop_mm, 'in', 2)}{fingers} {above} the {placement.measured_from}"
    across_mm = across_of(piece, placement)
    if across_mm == 0.0:
        return f"{where}; centred by folding."
    side = "wearer's left" if across_mm > 0 else "wearer's right"
    return f"{where}; its middle {write_length(abs(across_mm), 'in', 2)} from the centre fold, {side}."


def drop_of(job: Job, piece: Piece, placement: Placement) -> float:
    """The distance (mm) from the seam; two fingers, not three, when art below a collar spreads upward."""
    is_rule = abs(placement.drop_mm - _RULE_FINGERS * FINGER_MM) < 0.01 and placement.edge == "top"
    if is_rule and placement.measured_from == "collar" and spreads_upward(job.artwork_of(piece).outline):
        return _SPREAD_FINGERS * FINGER_MM
    return placement.drop_mm


def across_of(piece: Piece, placement: Placement) -> float:
    """The distance (mm) from the middle line for the piece's garment size, to a quarter of an inch."""
    share = _BODY_WIDTH_MM.get(piece.garment_size, _BODY_WIDTH_MM["adult"]) / _BODY_WIDTH_MM["adult"]
    quarter = MM_PER_IN / 4.0
    return round(placement.across_mm * share / quarter) * quarter


def spreads_upward(outline: MultiPolygon) -> bool:
    """Whether the upper fifth of the ink is nearly as wide as the whole, and the middle narrower."""
    left, top, right, bottom = outline.bounds
    shares = []
    for low, high in ((0.0, 0.2), (0.4, 0.6)):
        band = shapely.box(left, top + (bottom - top) * low, right, top + (bottom - top) * high)
        bounds = shapely.bounds(shapely.intersection(outline, band))
        shares.append(0.0 if np.isnan(bounds).any() else float(bounds[2] - bounds[0]) / (right - left))
    return shares[0] >= _SPREADS_FROM and shares[1] < shares[0]


def fingers_text(length_mm: float) -> str:
    """E.g. " (3 fingers)" for a whole number of them up to four, else nothing."""
    fingers = length_mm / FINGER_MM
    if abs(fingers - round(fingers)) > 0.05 or not 1 <= round(fingers) <= 4:
        return ""
    return f" ({round(fingers)} {'finger' if round(fingers) == 1 else 'fingers'})"
