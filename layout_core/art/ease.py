"""Fills the tips of notches that ink would fill anyway, as between the strokes of an M."""

import numpy as np
import shapely
from shapely import MultiPolygon

from layout_core.geometry.outline import valid_union
from layout_core.geometry.residue import TRIM_SHARE, core_of, residue
from layout_core.geometry.thickness import SUSTAIN

_SEAL_MM = 0.002
_SHARE_OF_LINE = 0.75
"""Notches somewhat too short to be found fault with are filled as well: a little turn must not decide."""


def eased(outline: MultiPolygon, width_mm: float, most_length_mm: float) -> MultiPolygon:
    """The shapes (mm) with every notch filled where it is narrower than the width and tapers to an end.

    A notch of that kind is below any print limit at every size, however large the letter. Only dead ends are
    filled, none longer than `most_length_mm` and none that another shape stands in, so that counters and the
    space between letters stay as they are. A width of 0 fills nothing.
    """
    if width_mm <= 0.0 or outline.is_empty:
        return outline
    parts = np.array(outline.geoms, dtype=object)
    core = core_of(parts, width_mm, "ground")
    rest = residue(parts, core, width_mm, width_mm * TRIM_SHARE, "ground")
    is_notch = (rest.runs == 1) & (rest.length_mm >= _SHARE_OF_LINE * SUSTAIN * width_mm)
    chosen = is_notch & (rest.length_mm <= most_length_mm)
    tips, owner = rest.pieces[chosen], rest.owner[chosen]
    if not len(tips):
        return outline
    near, part = shapely.STRtree(parts).query(tips, predicate="dwithin", distance=width_mm)
    crowded = np.unique(near[owner[near] != part])
    free = np.setdiff1d(np.arange(len(tips)), crowded)
    filling = shapely.buffer(tips[free], _SEAL_MM, join_style="mitre")
    return valid_union(shapely.union_all([*parts, *filling]))
