"""Garment outlines: whole, symmetrical, of the trade's sizes, with each level a placement starts from."""

import pytest
from shapely import Polygon

from layout_core.job.placements import GARMENT_SIZES, load_placements
from layout_core.outputs.garments import Garment, garment
from layout_core.units import inches

PLACEMENTS = {placement.key: placement for placement in load_placements()}
KINDS = sorted({(placement.garment, placement.side) for placement in PLACEMENTS.values()})


def cloth_shape(view: Garment) -> Polygon:
    """The cloth with straight lines between the ends of its runs."""
    return Polygon([points[-1] for _, points in view.cloth if points])


@pytest.mark.parametrize("size", GARMENT_SIZES)
@pytest.mark.parametrize("key", PLACEMENTS)
def test_every_placement_has_the_level_it_is_measured_from(key: str, size: str) -> None:
    placement = PLACEMENTS[key]
    view = garment(placement.garment, placement.side, size)
    assert view.top_mm <= view.levels[placement.measured_from] <= view.bottom_mm


@pytest.mark.parametrize("size", GARMENT_SIZES)
@pytest.mark.parametrize(("kind", "side"), KINDS)
def test_garments_are_symmetrical_and_do_not_cross_themselves(kind: str, side: str, size: str) -> None:
    view = garment(kind, side, size)
    points = {(round(x, 3), round(y, 3)) for _, run in view.cloth for x, y in run}
    assert points == {(-x if x else x, y) for x, y in points}
    shape = cloth_shape(view)
    assert shape.is_valid
    assert shape.bounds[0] >= view.left_mm - 1e-6
    assert shape.bounds[3] <= view.bottom_mm + 1e-6


@pytest.mark.parametrize(
    ("size", "width", "length"), [("adult", 22, 30), ("youth", 17, 22), ("plus", 26, 32)]
)
def test_tees_have_the_flat_sizes_of_the_trade(size: str, width: float, length: float) -> None:
    """Adult L 22 x 30 in, youth M 17 x 22, 2XL 26 x 32: common practice, no source (from memory)."""
    view = garment("tee", "front", size)
    hem = [x for _, run in view.cloth for x, y in run if y == pytest.approx(view.bottom_mm)]
    assert inches(view.bottom_mm - view.top_mm) == pytest.approx(length)
    assert inches(max(hem) - min(hem)) == pytest.approx(width, rel=0.02)


def test_hoodie_pocket_seam_lies_twelve_inches_below_the_collar() -> None:
    """Adult hoodie: common practice, no source (from memory)."""
    levels = garment("hoodie", "front", "adult").levels
    assert inches(levels["pocket seam"] - levels["collar"]) == pytest.approx(12.0)


def test_an_unknown_garment_is_drawn_as_a_tee() -> None:
    assert garment("cloak", "front", "adult") == garment("tee", "front", "adult")
