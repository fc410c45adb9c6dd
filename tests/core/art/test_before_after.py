"""Pictures of repairs: one scale for before and after, and a close look only where the whole says nothing."""

import pytest
import shapely
from shapely import MultiPolygon

from layout_core.art.before_after import CLOSE_SHARE, before_after
from layout_core.art.repair import Repair, repair_preview
from tests.make import make_artwork

BLOCK = shapely.box(0, 0, 60, 40)
SPECKED = shapely.union(BLOCK, shapely.box(30, 44, 30.4, 44.4))


def test_before_and_after_are_shown_at_one_scale() -> None:
    artwork = make_artwork(SPECKED)
    pair = before_after(artwork, repair_preview(artwork, [Repair("specks", 1.0, artwork.width_mm)]))
    assert pair.before.side_mm == pair.after.side_mm == 60.0


def test_the_close_look_holds_the_speck_before_and_not_after() -> None:
    artwork = make_artwork(SPECKED)
    pair = before_after(artwork, repair_preview(artwork, [Repair("specks", 1.0, artwork.width_mm)]))
    assert pair.close_before is not None
    assert pair.close_after is not None
    x, y = pair.close_before.corner_mm
    side = pair.close_before.side_mm
    assert side < CLOSE_SHARE * 60.0
    assert shapely.box(x, y, x + side, y + side).contains(shapely.box(30, 44, 30.4, 44.4))
    seen = [part.area for part in shapely.get_parts(pair.close_before.shape)]
    assert min(seen) == pytest.approx(0.16, rel=1e-6)
    assert all(part.area > 0.2 for part in shapely.get_parts(pair.close_after.shape))


def test_a_filled_figure_needs_no_close_look() -> None:
    artwork = make_artwork(BLOCK.difference(BLOCK.buffer(-3)))
    pair = before_after(artwork, repair_preview(artwork, [Repair("solid", 0.0, artwork.width_mm)]))
    assert pair.close_before is None
    assert pair.after.shape.area == pytest.approx(60 * 40)
    assert pair.before.shape.area < 60 * 40 / 2


def test_art_of_many_corners_is_drawn_lightly() -> None:
    dense = MultiPolygon([shapely.Point(30, 30).buffer(30, quad_segs=20_000)])
    artwork = make_artwork(dense.union(shapely.box(70, 30, 70.3, 30.3)))
    pair = before_after(artwork, repair_preview(artwork, [Repair("specks", 1.0, artwork.width_mm)]))
    assert shapely.get_num_coordinates(pair.before.shape) < 1_000
    assert pair.before.shape.area == pytest.approx(artwork.outline.area, rel=1e-2)
