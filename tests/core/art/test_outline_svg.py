"""The one-ink shapes as an SVG at true size."""

import io

import pytest
import shapely
import svgelements
from shapely import MultiPolygon

from layout_core.art.outline_svg import outline_svg

RING = MultiPolygon([shapely.box(0, 0, 30, 20) - shapely.box(5, 5, 10, 12.5), shapely.box(40, 0, 50, 10)])


def test_every_sign_of_a_small_file_is_as_stated() -> None:
    square = MultiPolygon([shapely.Polygon([(0, 0), (10, 0), (10, 2.5), (0, 2.5)])])
    assert outline_svg(square) == (
        b'<svg xmlns="http://www.w3.org/2000/svg" width="10mm" height="2.5mm" viewBox="0 0 10 2.5">'
        b'<path fill-rule="evenodd" d="M0 0L10 0L10 2.5L0 2.5Z"/></svg>\n'
    )


def test_another_reader_finds_the_true_size_and_the_hole() -> None:
    """svgelements, asked for 25.4 px to the inch, so that its pixels are millimetres."""
    read = svgelements.SVG.parse(io.BytesIO(outline_svg(RING)), ppi=25.4)
    (path,) = read.select(lambda element: isinstance(element, svgelements.Path))
    assert path.bbox() == pytest.approx((0, 0, 50, 20), rel=1e-5)
    rings = [shapely.Polygon([(step.end.x, step.end.y) for step in ring]) for ring in path.as_subpaths()]
    assert sorted(ring.area for ring in rings) == pytest.approx([37.5, 100, 600], rel=1e-5)


def test_a_tenth_of_a_micrometre_is_kept_and_noise_is_not() -> None:
    noisy = MultiPolygon([shapely.Polygon([(0, 0), (10.00004999, 0), (1 / 3, 9.87654321)])])
    text = outline_svg(noisy).decode()
    assert 'width="10mm"' in text
    assert "L0.3333 9.8765Z" in text
    assert outline_svg(noisy) == outline_svg(shapely.from_wkb(shapely.to_wkb(noisy)))
