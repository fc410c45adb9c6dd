"""Markers of paths: their places, turns, frames and colours, by vectors. Source: SVG 2, section 13.7."""

import math

import pytest
import shapely
from shapely import Point
from shapely.geometry.base import BaseGeometry

from layout_core.art import ink_route, verify
from layout_core.art.curves import path_outline
from layout_core.art.svg_markers import vertices_of
from layout_core.art.svg_route import read_svg
from layout_core.art.viewport import MM_PER_PX

DOT = 'markerUnits="userSpaceOnUse" markerWidth="6" markerHeight="6" refX="3" refY="3"'
BAR = f'<marker id="m" {DOT} orient="auto"><rect y="2" width="6" height="2"/></marker>'


@pytest.fixture(autouse=True)
def _coarse_renderings(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(verify, "_LEAST_PX", 500.0)
    monkeypatch.setattr(ink_route, "_RENDER_PX", 800.0)


def ink(body: str) -> BaseGeometry:
    """The ink in user units; it must have come by vectors."""
    page = '<svg xmlns="http://www.w3.org/2000/svg" width="100" height="100" viewBox="0 0 100 100">'
    converted = read_svg(f"{page}{body}</svg>".encode())
    assert converted.route == "vector", converted.notes
    return shapely.transform(converted.outline, lambda xy: xy / MM_PER_PX)


def centres(shape: BaseGeometry) -> list[tuple[float, float]]:
    return sorted((round(part.centroid.x, 2), round(part.centroid.y, 2)) for part in shapely.get_parts(shape))


def test_start_middle_and_end_stand_at_their_vertices() -> None:
    dot = f'<marker id="m" {DOT}><rect width="6" height="6"/></marker>'
    path = 'd="M10 10H50V50L90 90" fill="none"'
    assert centres(ink(f'{dot}<path {path} marker-start="url(#m)"/>')) == [(10, 10)]
    assert centres(ink(f'{dot}<path {path} marker-mid="url(#m)"/>')) == [(50, 10), (50, 50)]
    assert centres(ink(f'{dot}<path {path} marker-end="url(#m)"/>')) == [(90, 90)]
    everywhere = ink(f'{dot}<path {path} style="marker:url(#m)"/>')
    assert centres(everywhere) == [(10, 10), (50, 10), (50, 50), (90, 90)]


def test_an_arc_has_no_vertex_inside() -> None:
    """The renderer that is compared with has; what it draws wrongly is not compared."""
    dot = f'<marker id="m" {DOT}><rect width="6" height="6"/></marker>'
    body = f'{dot}<path d="M20 60A20 20 0 0 1 60 60L80 60" fill="none" marker-mid="url(#m)"/>'
    assert centres(ink(body)) == [(60, 60)]


def test_auto_turns_along_the_path_and_halves_a_corner() -> None:
    corner = ink(f'{BAR}<path d="M10 50H50V90" fill="none" marker-mid="url(#m)"/>')
    box = shapely.oriented_envelope(corner)
    (x0, y0), (x1, y1), (x2, y2) = shapely.get_coordinates(box)[:3].tolist()
    long = max(((x0, y0), (x1, y1)), ((x1, y1), (x2, y2)), key=lambda edge: math.dist(*edge))
    slope = math.degrees(math.atan2(long[1][1] - long[0][1], long[1][0] - long[0][0])) % 180
    assert slope == pytest.approx(45, abs=0.5)


def test_start_reverse_turns_the_first_one_round() -> None:
    head = f'<marker id="m" {DOT} orient="auto-start-reverse"><path d="M3 0L6 3L3 6Z"/></marker>'
    both = ink(f'{head}<path d="M20 50H80" fill="none" marker-start="url(#m)" marker-end="url(#m)"/>')
    assert both.bounds[0] == pytest.approx(17, abs=0.01)
    assert both.bounds[2] == pytest.approx(83, abs=0.01)


@pytest.mark.parametrize(("orient", "turn_deg"), [("30", 30), ("0.25turn", 90), ("50grad", 45)])
def test_a_stated_angle_is_kept_whatever_the_path_does(orient: str, turn_deg: float) -> None:
    bar = BAR.replace("auto", orient)
    drawn = ink(f'{bar}<path d="M50 50L80 20" fill="none" marker-start="url(#m)"/>')
    level = shapely.box(47, 49, 53, 51)
    turned = shapely.affinity.rotate(level, turn_deg, origin=(50, 50))
    seen = turned.intersection(shapely.affinity.rotate(shapely.box(47, 47, 53, 53), turn_deg, (50, 50)))
    assert shapely.symmetric_difference(drawn, seen).area < 0.02


def test_a_marker_grows_with_the_stroke_and_is_cut_by_its_viewport() -> None:
    size = 'markerWidth="2" markerHeight="2" refX="1" refY="1"'
    dot = f'<marker id="m" {size}><rect width="9" height="9"/></marker>'
    line = f'{dot}<path d="M50 50V50.001" stroke-width="4" stroke="none" fill="none" marker-start="url(#m)"/>'
    assert ink(line).area == pytest.approx(64, rel=0.001)
    open_dot = line.replace("<marker", '<marker overflow="visible"')
    assert ink(open_dot).area == pytest.approx(36 * 36, rel=0.001)


def test_view_box_and_words_for_the_reference_point() -> None:
    dot = (
        '<marker id="m" markerUnits="userSpaceOnUse" markerWidth="20" markerHeight="20" '
        'viewBox="0 0 10 10" refX="center" refY="bottom"><circle cx="5" cy="5" r="5"/></marker>'
    )
    drawn = ink(f'{dot}<line x1="50" y1="50" x2="90" y2="50" marker-start="url(#m)"/>')
    assert shapely.symmetric_difference(drawn, Point(50, 40).buffer(10, quad_segs=64)).area < 0.4


def test_context_paint_is_that_of_the_path() -> None:
    """SVG 2, section 13.2 (context-fill, context-stroke)."""
    marker = f'<marker id="m" {DOT}><rect width="6" height="6" fill="context-stroke"/></marker>'
    path = 'd="M50 50H90" fill="none" marker-start="url(#m)"'
    assert ink(f'<rect width="9" height="9"/>{marker}<path {path}/>').area == pytest.approx(81, rel=0.001)
    assert ink(f'{marker}<path {path} stroke="black" stroke-width="1"/>').area == pytest.approx(
        36 + 40 - 3, rel=0.001
    )


def test_a_marker_inside_itself_is_drawn_once() -> None:
    body = (
        f'<marker id="m" {DOT}><path d="M0 0H6V6H0Z" marker-start="url(#m)"/></marker>'
        '<path d="M50 50H90" fill="none" marker-start="url(#m)"/>'
    )
    assert ink(body).area == pytest.approx(36, rel=0.001)


def test_directions_skip_segments_without_length() -> None:
    vertices = vertices_of(path_outline("M10 10L10 10L20 10L20 20"))
    assert [round(v.direction_deg) for v in vertices] == [0, 0, 45, 90]
