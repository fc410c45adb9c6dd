"""Painter paths: right, light and shared."""

import pytest
import shapely
from PySide6.QtCore import QPointF
from PySide6.QtGui import QPainterPath
from shapely import MultiPolygon

from app.canvas.paths import LIGHT_SHARE, MIDDLE_SHARE, PathStore, art_paths, path_of
from layout_core.geometry.outline import light_outline
from tests.make import make_artwork

RING = shapely.Point(50, 50).buffer(30, 125).difference(shapely.Point(50, 50).buffer(10, 125))


def rings_of(path: QPainterPath) -> list[shapely.Polygon]:
    return [
        shapely.Polygon([ring.at(i).toTuple() for i in range(ring.size())])
        for ring in path.toSubpathPolygons()
    ]


def area_of(path: QPainterPath) -> float:
    """The largest ring less the others: holes count once, as in the odd-even rule for this art."""
    areas = [ring.area for ring in rings_of(path)]
    return max(areas) * 2 - sum(areas)


def outline_of(path: QPainterPath) -> shapely.MultiLineString:
    return shapely.MultiLineString([ring.exterior for ring in rings_of(path)])


def test_a_path_has_every_vertex_and_the_area_of_its_outline() -> None:
    path = path_of(RING)
    assert path.elementCount() == len(shapely.get_coordinates(RING))
    assert area_of(path) == pytest.approx(RING.area)


def test_holes_stay_open() -> None:
    path = path_of(RING)
    assert path.contains(QPointF(50, 70))
    assert not path.contains(QPointF(50, 50))
    assert not path.contains(QPointF(90, 50))


def test_shapes_of_every_kind_become_paths() -> None:
    line = shapely.LineString([(0, 0), (3, 4)])
    mixed = shapely.GeometryCollection([RING, line, shapely.Point(1, 1), shapely.MultiPolygon([RING])])
    assert path_of(line).elementCount() == 2
    assert path_of(shapely.Point(1, 1)).isEmpty()
    assert path_of(shapely.MultiPolygon()).isEmpty()
    assert path_of(mixed).elementCount() == 2 + 2 * path_of(RING).elementCount()


def test_the_origin_is_the_centre_at_the_piece_width() -> None:
    bounds = art_paths(make_artwork(shapely.box(0, 0, 50, 40)), 100.0).full.boundingRect()
    assert bounds.getRect() == pytest.approx((-50.0, -40.0, 100.0, 80.0))


def test_the_light_outline_strays_less_than_it_says_and_has_fewer_vertices() -> None:
    paths = art_paths(make_artwork(RING), 90.0)
    counts = [path.elementCount() for path in (paths.light, paths.middle, paths.full)]
    assert counts == sorted(counts)
    assert counts[0] < counts[2] / 3
    stray = shapely.hausdorff_distance(outline_of(paths.light), outline_of(paths.full))
    assert stray <= 90.0 * LIGHT_SHARE


def test_a_lighter_outline_stands_in_only_while_nobody_can_see_it() -> None:
    paths = art_paths(make_artwork(RING), 90.0)
    assert [
        paths.at_scale(scale) is path
        for scale, path in ((0.9, paths.light), (1.1, paths.middle), (3.9, paths.middle), (4.1, paths.full))
    ] == [True] * 4


def test_a_hole_in_the_art_is_still_a_place_to_take_hold_of() -> None:
    paths = art_paths(make_artwork(RING), 60.0)
    assert not paths.full.contains(QPointF(0, 0))
    assert paths.grip.contains(QPointF(0, 0))


def test_copies_share_a_path_until_the_width_changes() -> None:
    store, artwork = PathStore(), make_artwork(RING)
    first = store.paths(artwork, 50.0)
    assert store.paths(artwork, 50.0) is first
    assert store.paths(artwork, 51.0) is not first


def test_paths_that_no_piece_uses_are_forgotten() -> None:
    store, artwork = PathStore(), make_artwork(RING)
    kept, gone = store.paths(artwork, 50.0), store.paths(artwork, 60.0)
    store.keep_only([(artwork.digest, 50.0)])
    assert store.paths(artwork, 50.0) is kept
    assert store.paths(artwork, 60.0) is not gone


def test_only_the_outline_that_is_looked_at_is_made(monkeypatch: pytest.MonkeyPatch) -> None:
    """Three outlines of each of a hundred arts at once would hold the window up when a job is opened."""
    made: list[float] = []

    def counted(outline: MultiPolygon, tolerance_mm: float) -> MultiPolygon:
        made.append(tolerance_mm)
        return light_outline(outline, tolerance_mm)

    monkeypatch.setattr("app.canvas.paths.light_outline", counted)
    paths = art_paths(make_artwork(), 90.0)
    assert made == []
    for _ in range(3):
        paths.at_scale(0.9)
        assert made == [90.0 * LIGHT_SHARE]
    assert not paths.grip.isEmpty()
    assert len(made) == 1
    paths.at_scale(1.1)
    assert made == [90.0 * LIGHT_SHARE, 90.0 * MIDDLE_SHARE]
