"""A solid that resizing has made invalid is measured all the same."""

import numpy as np
import shapely
from shapely import Polygon

from layout_core.geometry.residue import TRIM_SHARE, core_of, residue


def test_a_hole_that_has_come_to_lie_outside_stops_nothing() -> None:
    """A hole along the edge, moved over it by the last bit of a number, is outside its own ring."""
    outside = [(10.0, 2.0), (12.0, 2.0), (12.0, 4.0), (10.0, 4.0)]
    solid = Polygon([(0, 0), (10, 0), (10, 10), (0, 10)], [outside])
    assert not solid.is_valid
    solids = np.array([solid], dtype=object)
    core = core_of(np.array([shapely.make_valid(Polygon(solid.exterior))], dtype=object), 1.0, "ink")
    found = residue(solids, core, 1.0, TRIM_SHARE, "ink")
    assert shapely.is_valid(found.pieces).all()
