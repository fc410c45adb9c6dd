"""Painter paths of artworks: built once for each artwork and width, shared by every copy."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from PySide6.QtCore import QByteArray, QDataStream, QIODevice, QRectF, Qt
from PySide6.QtGui import QPainterPath
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from layout_core.art.artwork import Artwork
from layout_core.geometry.outline import light_outline
from layout_core.geometry.pose import at_width

LIGHT_SHARE, MIDDLE_SHARE = 1 / 300, 1 / 1200
"""The lighter outlines may stray from the true one by these shares of the longer side."""

UNSEEN_PX = 0.3
"""A lighter outline stands in while it strays by less than this on screen."""

MOVE, LINE = 0, 1
_ELEMENT = np.dtype([("kind", ">i4"), ("x", ">f8"), ("y", ">f8")])


@dataclass(frozen=True)
class ArtPaths:
    """One artwork at one width, the centre of its bounds at the origin, millimetres.

    `light` and `middle` stray from `full` by at most LIGHT_SHARE and MIDDLE_SHARE of the longer side; `grip`
    is where a click takes hold (outer rings of the light outline, holes filled); `hull` is the looser area
    for art of many small parts. Each is made when it is first asked for: a job that is opened shows few.
    """

    outline: MultiPolygon
    bounds: QRectF

    @cached_property
    def full(self) -> QPainterPath:
        return path_of(self.outline)

    @cached_property
    def middle(self) -> QPainterPath:
        return path_of(light_outline(self.outline, self._side_mm * MIDDLE_SHARE))

    @cached_property
    def light(self) -> QPainterPath:
        return path_of(self._light)

    @cached_property
    def grip(self) -> QPainterPath:
        return path_of(MultiPolygon([Polygon(part.exterior) for part in self._light.geoms]))

    @cached_property
    def hull(self) -> QPainterPath:
        return path_of(shapely.convex_hull(self._light))

    @cached_property
    def _light(self) -> MultiPolygon:
        return light_outline(self.outline, self._side_mm * LIGHT_SHARE)

    @property
    def _side_mm(self) -> float:
        return max(self.bounds.width(), self.bounds.height())

    def at_scale(self, px_per_mm: float) -> QPainterPath:
        """The lightest path that looks like the full one at a scale."""
        side_px = self._side_mm * px_per_mm
        if side_px * LIGHT_SHARE < UNSEEN_PX:
            return self.light
        return self.middle if side_px * MIDDLE_SHARE < UNSEEN_PX else self.full


class PathStore:
    """Hands out the paths of artworks and forgets those that no piece of the job uses any more."""

    def __init__(self) -> None:
        self._paths: dict[tuple[str, float], ArtPaths] = {}

    def paths(self, artwork: Artwork, width_mm: float) -> ArtPaths:
        key = (artwork.digest, width_mm)
        if key not in self._paths:
            self._paths[key] = art_paths(artwork, width_mm)
        return self._paths[key]

    def keep_only(self, used: Iterable[tuple[str, float]]) -> None:
        """Forget all but these (artwork digest, width in mm)."""
        wanted = set(used)
        self._paths = {key: paths for key, paths in self._paths.items() if key in wanted}


def art_paths(artwork: Artwork, width_mm: float) -> ArtPaths:
    """The paths of an artwork at a width."""
    outline = at_width(artwork.outline, width_mm)
    height_mm = width_mm * artwork.aspect
    centred = shapely.transform(outline, lambda xy: xy - (width_mm / 2, height_mm / 2))
    return ArtPaths(centred, QRectF(-width_mm / 2, -height_mm / 2, width_mm, height_mm))


def path_of(shape: BaseGeometry) -> QPainterPath:
    """Polygons as closed rings, lines as open ones; points give nothing. Holes stay open (odd-even fill)."""
    parts = shapely.get_parts(shapely.get_parts(shape))
    types = shapely.get_type_id(parts)
    rings = shapely.get_rings(parts[types == shapely.GeometryType.POLYGON])
    lines = parts[(types == shapely.GeometryType.LINESTRING) | (types == shapely.GeometryType.LINEARRING)]
    return _path_of_lines(np.concatenate([rings, lines]))


def _path_of_lines(lines: NDArray[np.object_]) -> QPainterPath:
    # Through Qt's own stream format: one call instead of one a vertex, 50 times faster on traced art.
    path = QPainterPath()
    points, owners = shapely.get_coordinates(lines, return_index=True)
    if not len(points):
        return path
    starts = np.flatnonzero(np.diff(owners, prepend=-1))
    elements = np.zeros(len(points), dtype=_ELEMENT)
    elements["kind"] = LINE
    elements["kind"][starts] = MOVE
    elements["x"], elements["y"] = points[:, 0], points[:, 1]
    head = np.array([len(points)], dtype=">i4").tobytes()
    tail = np.array([starts[-1], Qt.FillRule.OddEvenFill.value], dtype=">i4").tobytes()
    held = QByteArray(head + elements.tobytes() + tail)  # a stream does not keep its bytes alive
    stream = QDataStream(held, QIODevice.OpenModeFlag.ReadOnly)
    stream >> path  # Qt's operator reads into the path
    return path
