"""The check against the reference renderer, and the traced rendering that stands in when it fails."""

import math

import numpy as np
import pytest
import shapely

from layout_core.art import ink_route
from layout_core.art.fill import filled, joined
from layout_core.art.refusal import NeedsRaster
from layout_core.art.render import Reference, coverage
from layout_core.art.svg import Walked, Walker
from layout_core.art.svg_route import read_svg
from layout_core.art.trace import traced
from layout_core.art.verify import as_reference, check_scale, core, disagreement
from layout_core.art.viewport import MM_PER_PX

PAGE = Reference('<svg width="100" height="100"><rect width="50" height="100"/></svg>', 100.0, 100.0)
BOX = (0.0, 0.0, 100.0, 100.0)


def test_same_shapes_agree() -> None:
    assert disagreement(shapely.box(0, 0, 50, 100), PAGE, coverage(PAGE, BOX, 5.0), BOX, 5.0) == 0


def test_edges_that_round_apart_agree() -> None:
    assert disagreement(shapely.box(0, 0, 50.3, 100), PAGE, coverage(PAGE, BOX, 5.0), BOX, 5.0) == 0


@pytest.mark.parametrize(
    "wrong",
    [
        shapely.box(0, 0, 51, 100),
        shapely.box(0, 0, 50, 100).union(shapely.box(80, 80, 81, 81)),
        shapely.box(0, 0, 50, 100).difference(shapely.box(20, 20, 21, 21)),
    ],
    ids=["edge 5 samples off", "speck too many", "pinhole too many"],
)
def test_a_small_mistake_in_large_art_is_found(wrong: shapely.Polygon) -> None:
    """Each wrong shape overlaps the right one by more than 98 %: a ratio of areas would let it pass."""
    assert disagreement(wrong, PAGE, coverage(PAGE, BOX, 5.0), BOX, 5.0) > 0


def test_the_heart_of_a_difference_needs_three_by_three() -> None:
    none = np.zeros((9, 9), dtype=np.uint8)
    strip = none.copy()
    strip[:, 3:5] = 255
    block = none.copy()
    block[2:5, 2:5] = 255
    assert core(none, strip) == 0
    assert core(none, block) == 1


def test_scale_gives_thin_strokes_two_samples() -> None:
    assert check_scale(100, 50, 0.0) == 15.0
    assert check_scale(100, 50, 0.1) == 20.0
    assert check_scale(100, 50, 0.001) == 30.72


def test_hairline_star_passes_the_check() -> None:
    """Drawings of hairlines overlap poorly as areas although they are right; the check must not mind."""
    points = [(50 + 45 * math.sin(k * 2.2), 50 + 45 * math.cos(k * 2.2)) for k in range(40)]
    d = "M" + "L".join(f"{x:.4f} {y:.4f}" for x, y in points) + "Z"
    body = f'<path d="{d}" fill="none" stroke="#000" stroke-width=".1"/>'
    converted = read_svg(
        f'<svg xmlns="http://www.w3.org/2000/svg" width="100" height="100">{body}</svg>'.encode()
    )
    assert converted.route == "vector"


def test_wrong_shapes_are_replaced_by_a_traced_rendering(monkeypatch: pytest.MonkeyPatch) -> None:
    """With a walker that loses everything, the art still comes in right, and says how."""
    monkeypatch.setattr(ink_route, "_RENDER_PX", 1000.0)
    monkeypatch.setattr(Walker, "walk", lambda self, root: Walked((), (), False, 0.0))
    body = '<circle cx="50" cy="50" r="30"/>'
    converted = read_svg(
        f'<svg xmlns="http://www.w3.org/2000/svg" width="100" height="100">{body}</svg>'.encode()
    )
    assert converted.route == "raster"
    assert converted.outline.area == pytest.approx(math.pi * 900 * MM_PER_PX**2, rel=1e-3)
    assert any("traced from a fine rendering" in note for note in converted.notes)


def test_traced_circle_is_right_to_half_a_thousandth_of_an_inch() -> None:
    """A circle of 1 in radius at 600 px/in: edge within 0.0006 in, area within 0.03 %.

    Bounds measured when this route was chosen: 0.00045 in and 0.018 %.
    """
    page = Reference('<svg width="2.2" height="2.2"><circle cx="1.1" cy="1.1" r="1"/></svg>', 2.2, 2.2)
    shape, _ = traced(coverage(page, (0.0, 0.0, 2.2, 2.2), 600.0))
    corners = shapely.get_coordinates(shape) / 600 - 1.1
    assert np.abs(np.hypot(corners[:, 0], corners[:, 1]) - 1).max() < 0.0006
    assert shape.area / 600**2 == pytest.approx(math.pi, rel=3e-4)


def test_shapes_render_as_themselves() -> None:
    ring = shapely.Point(50, 50).buffer(40).difference(shapely.Point(50, 50).buffer(20))
    alpha = coverage(as_reference(ring, PAGE), BOX, 4.0)
    assert alpha.sum() / 255 / 16 == pytest.approx(ring.area, rel=2e-3)


def ring(*points: tuple[float, float]) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    return np.array(points, dtype=np.float64)


def test_fill_rules_differ_where_rings_overlap() -> None:
    first = ring((0, 0), (10, 0), (10, 10), (0, 10))
    second = first + 5
    assert filled([first, second], "nonzero", 0.01).area == pytest.approx(175)
    assert filled([first, second], "evenodd", 0.01).area == pytest.approx(150)
    assert filled([first, second[::-1]], "nonzero", 0.01).area == pytest.approx(150)


def test_a_figure_of_eight_fills_both_its_halves() -> None:
    eight = ring((0, 0), (10, 10), (10, 0), (0, 10))
    for area in (filled([eight], "nonzero", 0.01), filled([eight], "evenodd", 0.01)):
        assert area.is_valid
        assert area.area == pytest.approx(50)


def test_rings_far_apart_stay_apart() -> None:
    one = ring((0, 0), (1, 0), (1, 1), (0, 1))
    both = filled([one, one + 5], "nonzero", 0.01)
    assert shapely.get_num_geometries(both) == 2
    assert joined([both, shapely.box(0.5, 0, 2, 1)]).area == pytest.approx(3)


def test_endless_crossings_are_left_to_the_rendering() -> None:
    rng = np.random.default_rng(5)
    with pytest.raises(NeedsRaster, match="cross very often"):
        filled([rng.uniform(0, 100, (4000, 2))], "nonzero", 0.001)
