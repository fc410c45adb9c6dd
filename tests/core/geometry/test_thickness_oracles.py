"""Line weight and gaps against two independent measures: an edge-pair rule check and a raster skeleton."""

import numpy as np
import pytest
import shapely.affinity
from scipy import ndimage
from shapely import MultiPolygon
from skimage.draw import polygon2mask
from skimage.morphology import skeletonize

from layout_core.geometry.thickness import sustained_width_mm
from layout_core.units import mm
from tests.core.geometry.rule_check import sustained_by_rule_mm
from tests.core.geometry.weight_shapes import WeightShape, load_weight_shapes

SHAPES = {shape.name: shape for shape in load_weight_shapes()}
PARALLEL = [
    name
    for name in SHAPES
    if name.startswith(
        ("rect", "L_line", "comb", "slot", "two_rects", "grid", "hairline", "dumbbell_w.010_len0.2")
    )
]
STRIPS = ("rect_w0.004", "rect_w0.008", "rect17_w0.01", "rect17_w0.0135", "L_line.010", "roundcap_line.010")
DPI = 2400


@pytest.mark.parametrize("shape", [SHAPES[name] for name in PARALLEL], ids=lambda shape: shape.name)
def test_parallel_walls_agree_with_the_edge_pair_check(shape: WeightShape) -> None:
    """klayout Region.width_check, space_check and notch_check; agreement to 0.0005 in."""
    ours, theirs = shape.sustained_mm(), sustained_by_rule_mm(shape.outline, shape.limit_mm, shape.is_ink)
    assert (ours is None) == (theirs is None)
    if ours is not None:
        assert ours == pytest.approx(theirs, abs=mm(0.0005))


@pytest.mark.parametrize("name", STRIPS)
def test_strips_agree_with_a_raster_skeleton(name: str) -> None:
    """scikit-image skeleton and scipy's exact distance transform at 2400 dpi; agreement to 0.0009 in."""
    shape = SHAPES[name]
    assert shape.sustained_mm() == pytest.approx(_raster_width_mm(shape.outline), abs=mm(0.0009))


@pytest.mark.parametrize("width_in", [0.005, 0.009, 0.0125])
@pytest.mark.parametrize("turn_deg", [0.0, 11.0, 45.0])
def test_a_turned_cross_agrees_with_both(width_in: float, turn_deg: float) -> None:
    bars = shapely.union(shapely.box(0, 0, 8, mm(width_in)), shapely.box(4, -4, 4 + mm(width_in), 4))
    cross = MultiPolygon([shapely.affinity.rotate(bars, turn_deg)])
    ours = sustained_width_mm(cross, mm(0.014))
    assert ours == pytest.approx(mm(width_in), abs=mm(0.0002))
    assert ours == pytest.approx(sustained_by_rule_mm(cross, mm(0.014), True), abs=mm(0.0005))
    assert ours == pytest.approx(_raster_width_mm(cross), abs=mm(0.0009))


@pytest.mark.parametrize("width_in", [0.006, 0.011])
def test_a_small_ring_agrees_with_a_raster_skeleton(width_in: float) -> None:
    middle = shapely.Point(0, 0)
    outer, inner = middle.buffer(1.5 + mm(width_in), quad_segs=24), middle.buffer(1.5, quad_segs=24)
    ring = MultiPolygon([outer - inner])
    assert sustained_width_mm(ring, mm(0.014)) == pytest.approx(_raster_width_mm(ring), abs=mm(0.0009))


def _raster_width_mm(outline: MultiPolygon) -> float:
    """Twice the distance to the ground along the skeleton, the width that all but a tenth of it keeps."""
    pixel = mm(1.0) / DPI
    low = np.array(outline.bounds[:2]) - 4 * pixel
    size = np.ceil((np.array(outline.bounds[2:]) - low) / pixel).astype(int) + 4
    mask = np.zeros(size, dtype=bool)
    for part in outline.geoms:
        for ring in (part.exterior, *part.interiors):
            mask ^= polygon2mask(tuple(size), (shapely.get_coordinates(ring) - low) / pixel - 0.5)
    far = ndimage.distance_transform_edt(mask)
    return float(np.percentile(2.0 * far[skeletonize(mask)], 10)) * pixel
