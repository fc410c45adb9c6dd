"""Contours round a shape and inside it, and notches that fill: widths and areas worked out by hand."""

import math

import pytest
import shapely
from shapely import MultiPolygon, Polygon

from layout_core.art.contours import contoured
from layout_core.art.ease import eased
from layout_core.geometry.thickness import narrow_gaps, thin_spots

SQUARE = MultiPolygon([shapely.box(0, 0, 30, 30)])
RING = MultiPolygon([shapely.box(0, 0, 30, 30) - shapely.box(10, 10, 20, 20)])


def test_no_contour_changes_nothing() -> None:
    assert contoured(RING, "none", 1.0, 1.0) is RING


def test_a_line_outside_lies_at_its_gap_and_is_as_wide_as_asked() -> None:
    """Round a square of 30: a band 1 wide beginning 2 away, corners round: perimeter 120 and π(3² - 2²)."""
    made = contoured(SQUARE, "outside", 1.0, 2.0)
    assert made.bounds == pytest.approx((-3, -3, 33, 33), abs=0.01)
    assert made.area == pytest.approx(900 + 120 * 1.0 + math.pi * (9 - 4), rel=1e-3)
    assert len(made.geoms) == 2


def test_counters_get_no_line_outside() -> None:
    extra = contoured(RING, "outside", 1.0, 2.0).area - RING.area
    assert extra == pytest.approx(contoured(SQUARE, "outside", 1.0, 2.0).area - 900.0)


def test_a_line_inside_leaves_a_rim_and_a_core() -> None:
    """Square of 30, rim 2, line 1: what is knocked out is a ring from 26 to 24 wide."""
    made = contoured(SQUARE, "inside", 2.0, 1.0)
    assert made.area == pytest.approx(900 - 26**2 + 24**2, rel=1e-3)
    assert sorted(round(part.bounds[0], 2) for part in made.geoms) == [0.0, 3.0]


def test_a_stroke_too_thin_for_a_core_stays_whole_or_gets_only_a_rim() -> None:
    """6 wide: rim 2, gap 1 leave no core, and the knocked-out line is 2; 4.5 wide leaves no line at all."""
    hollow = contoured(MultiPolygon([shapely.box(0, 0, 60, 6)]), "inside", 2.0, 1.0)
    assert len(hollow.geoms) == 1
    assert hollow.area == pytest.approx(360 - 56 * 2, rel=1e-2)
    whole = contoured(MultiPolygon([shapely.box(0, 0, 60, 4.5)]), "inside", 2.0, 1.0)
    assert whole.area == pytest.approx(270.0)


@pytest.mark.parametrize("kind", ["inside", "outside"])
def test_contours_draw_nothing_below_their_own_measures(kind: str) -> None:
    """Two discs that nearly meet, and a wedge: the worst for lines that follow them."""
    discs = shapely.union_all([shapely.Point(0, 0).buffer(15), shapely.Point(33, 0).buffer(15)])
    wedge = Polygon([(0, 30), (40, 30), (20, 90)])
    shape = MultiPolygon([*discs.geoms, wedge])
    made = contoured(shape, kind, 2.0, 1.5)  # type: ignore[arg-type]
    assert [s for s in thin_spots(made, 1.9) if s.kind == "line"] == []
    assert [s for s in narrow_gaps(made, 1.4) if s.kind == "sliver"] == []


def _notched(wide_mm: float, deep_mm: float) -> MultiPolygon:
    """A block with a notch from above that tapers to a point."""
    notch = Polygon([(20 - wide_mm / 2, 0), (20 + wide_mm / 2, 0), (20, deep_mm)])
    return MultiPolygon([shapely.box(0, 0, 40, 40) - notch])


def test_a_tapering_notch_is_filled_where_it_is_too_narrow_and_no_further() -> None:
    """6 wide and 30 deep, it is 1 wide at 25: below that 0.5 * 1 * 5 of ground, less what a disc reaches."""
    before = _notched(6.0, 30.0)
    assert [s.kind for s in narrow_gaps(before, 0.95)] == ["sliver"]
    after = eased(before, 1.0, 10.0)
    assert narrow_gaps(after, 0.95) == ()
    assert 2.0 < after.area - before.area < 2.5 + 0.3
    assert before.difference(after).area < 1e-6


def test_notches_deeper_than_allowed_stay() -> None:
    before = _notched(6.0, 30.0)
    assert eased(before, 1.0, 4.0) is before


def test_space_between_shapes_counters_and_slits_through_stay() -> None:
    apart = MultiPolygon([shapely.box(0, 0, 10, 10), shapely.box(10.5, 0, 20, 10)])
    slot = MultiPolygon([shapely.box(0, 0, 30, 20) - shapely.box(5, 9.75, 25, 10.25)])
    frame = shapely.box(0, 0, 30, 30) - shapely.box(5, 5, 25, 25)
    doorway = MultiPolygon([frame - shapely.box(14.75, 0, 15.25, 5)])
    for shape in (apart, slot, doorway):
        assert narrow_gaps(shape, 0.95) != ()
        assert eased(shape, 1.0, 50.0) is shape


def test_nothing_is_eased_when_nothing_is_asked() -> None:
    shape = _notched(6.0, 30.0)
    assert eased(shape, 0.0, 10.0) is shape
    assert eased(MultiPolygon(), 1.0, 10.0).is_empty
