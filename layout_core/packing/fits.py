"""Which pieces cannot lie on a sheet at all, however it is filled: asked before any search begins."""

from collections.abc import Sequence

from layout_core.geometry.pose import Pose
from layout_core.packing.fill import FillSheet, MenuItem, laid_outline
from layout_core.packing.variants import turns_deg_of

_DUST_MM = 1e-9


def misfits(
    sheet: FillSheet, menu: Sequence[MenuItem], angles_deg: Sequence[float] = (0.0,)
) -> tuple[int, ...]:
    """Keys of the items too wide or long for the bare sheet within its margins, at every turn allowed."""
    width_mm = sheet.width_mm - 2.0 * sheet.margin_mm + _DUST_MM
    length_mm = sheet.length_mm - 2.0 * sheet.margin_mm + _DUST_MM
    return tuple(
        item.key
        for item in menu
        if not any(w <= width_mm and h <= length_mm for w, h in _sizes_mm(item, angles_deg))
    )


def _sizes_mm(item: MenuItem, angles_deg: Sequence[float]) -> list[tuple[float, float]]:
    bounds = [
        laid_outline(item, Pose(0.0, 0.0, turn_deg)).bounds for turn_deg in turns_deg_of(item, angles_deg)
    ]
    return [(x1 - x0, y1 - y0) for x0, y0, x1, y1 in bounds]
