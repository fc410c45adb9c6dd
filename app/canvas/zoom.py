"""How many screen pixels a millimetre takes: limits, steps, fitting."""

from layout_core.units import MM_PER_IN

TRUE_SIZE_PX_PER_MM = 96.0 / MM_PER_IN
"""CSS pixels: 96 to the inch. Source: W3C CSS Values and Units Level 3, section 6.2."""

LEAST_PX_PER_MM = 0.04
MOST_PX_PER_MM = 80.0
STEP = 1.25


def clamped(px_per_mm: float) -> float:
    return min(max(px_per_mm, LEAST_PX_PER_MM), MOST_PX_PER_MM)


def after_wheel(px_per_mm: float, eighths_of_degree: float) -> float:
    """The scale after turning the wheel; one notch of 120 is one step."""
    return clamped(px_per_mm * STEP ** (eighths_of_degree / 120.0))


def fitting(
    size_mm: tuple[float, float], view_px: tuple[float, float], room_px: tuple[float, float]
) -> float:
    """The scale at which a size fits a view that keeps `room_px` (both sides together) free."""
    width_px, height_px = (max(view - room, 24.0) for view, room in zip(view_px, room_px, strict=True))
    return clamped(min(width_px / max(size_mm[0], 1e-6), height_px / max(size_mm[1], 1e-6)))


def ratio_to_true_size(px_per_mm: float) -> float:
    return px_per_mm / TRUE_SIZE_PX_PER_MM
