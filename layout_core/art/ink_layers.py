"""What is seen of each colour of a drawing, as shapes that together cover it once."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from layout_core.art.fill import EMPTY, joined
from layout_core.art.ink_map import (
    InkChoice,
    InkMap,
    grouped,
    ink_map_of,
    prints_of,
    sensible_prints,
)
from layout_core.art.lab import Rgb, hex_of
from layout_core.art.refusal import NeedsRaster
from layout_core.art.white_ground import knocked_out, white_facts
from layout_core.geometry.outline import valid_union

ALIKE = 4.0
"""Paints that differ by less (CIEDE2000) share a swatch; our own choice, about what is seen side by side."""
_MOST_CORNERS = 400_000
_INSET = 0.005


@dataclass(frozen=True, slots=True)
class Painted:
    """One thing painted, later ones over earlier ones; the shape is valid."""

    shape: BaseGeometry
    rgb: Rgb


@dataclass(frozen=True, slots=True, eq=False)
class InkLayers:
    """The visible area of each swatch of `ink_map`, in its order; no two overlap.

    Layers from vectors share the corners along their common edges. `seam` is 0 for them; for traced pictures
    it is how far apart, in the unit of the shapes, the edges of neighbours may lie.
    `background` is the colour found to be the ground of the whole art, None when there is none.
    """

    ink_map: InkMap
    shapes: tuple[MultiPolygon, ...]
    seam: float = 0.0
    background: str | None = None


def inked(layers: InkLayers, ink_map: InkMap) -> MultiPolygon:
    """What prints under a map with the same swatches, in the layers' own unit and frame; may be empty."""
    prints = {swatch.colour: swatch.prints for swatch in ink_map.swatches}
    chosen = [
        shape
        for swatch, shape in zip(layers.ink_map.swatches, layers.shapes, strict=True)
        if prints.get(swatch.colour, swatch.prints)
    ]
    if len(chosen) < 2:
        return chosen[0] if chosen else EMPTY
    parts = shapely.get_parts(np.array(chosen, dtype=object))
    if layers.seam > 0:
        half = layers.seam / 2
        grown = shapely.union_all(shapely.buffer(parts, half, join_style="mitre"))
        return valid_union(shapely.buffer(grown, -half, join_style="mitre"))
    return _together(parts)


def moved(layers: InkLayers, factor: float, by: tuple[float, float] = (0.0, 0.0)) -> InkLayers:
    """The layers enlarged by the factor, then moved."""
    return stretched(layers, (factor, factor), by)


def stretched(
    layers: InkLayers, factors: tuple[float, float], by: tuple[float, float] = (0.0, 0.0)
) -> InkLayers:
    """The layers enlarged across and down by the factors, then moved."""
    shapes = shapely.transform(list(layers.shapes), lambda xy: xy * factors + by)
    return replace(layers, shapes=tuple(shapes), seam=layers.seam * max(factors))


def everything_map(painted: Sequence[Painted], threshold: float) -> InkMap:
    """The map with all colours printing; their areas as painted, whatever lies over them."""
    seeds, areas, _ = _seeds(painted)
    return ink_map_of(seeds, areas, [True] * len(seeds), threshold)


def _seeds(painted: Sequence[Painted]) -> tuple[tuple[Rgb, ...], list[float], dict[Rgb, int]]:
    """The swatches' colours, the area painted in each, and the swatch of every colour."""
    colours = list(dict.fromkeys(item.rgb for item in painted))
    weights = dict.fromkeys(colours, 0.0)
    for item in painted:
        weights[item.rgb] += item.shape.area
    seeds, members = grouped(colours, list(weights.values()), ALIKE)
    areas = [0.0] * len(seeds)
    for colour, member in zip(colours, members, strict=True):
        areas[member] += weights[colour]
    return seeds, areas, dict(zip(colours, members, strict=True))


def layers_of(
    painted: Sequence[Painted], choice: InkChoice, threshold: float, page: Polygon | None, grid: float
) -> InkLayers:
    """The layers of what was painted, in its own unit and frame; `page` is the sheet it was drawn on.

    Crossings are rounded to `grid`. Raises NeedsRaster when working them out would take too long.
    """
    seeds, _, swatch_of = _seeds(painted)
    runs = _runs(painted, swatch_of)
    seen = _seen(runs, len(seeds), grid) if len(seeds) > 1 else (_multi(runs[0][1]),)
    kept = [index for index, shape in enumerate(seen) if not shape.is_empty]
    seeds, seen = tuple(seeds[i] for i in kept), tuple(seen[i] for i in kept)
    ground = _background(runs, page)
    background = kept.index(ground) if ground in kept and len(kept) > 1 else None
    prints = _prints(choice, seeds, seen, background)
    ink_map = ink_map_of(seeds, [shape.area for shape in seen], prints, threshold)
    by_colour = {hex_of(rgb): shape for rgb, shape in zip(seeds, seen, strict=True)}
    return InkLayers(
        ink_map,
        tuple(by_colour[swatch.colour] for swatch in ink_map.swatches),
        background=None if background is None else hex_of(seeds[background]),
    )


def _prints(
    choice: InkChoice, seeds: Sequence[Rgb], seen: Sequence[MultiPolygon], background: int | None
) -> list[bool]:
    if isinstance(choice, InkMap):
        return prints_of(choice, seeds)
    if choice == "everything":
        return [True] * len(seeds)
    out = knocked_out(white_facts(seeds, seen)) if background is None else ()
    return sensible_prints(seeds, background, out)


def _runs(painted: Sequence[Painted], swatch_of: dict[Rgb, int]) -> list[tuple[int, BaseGeometry]]:
    """Things of one swatch that were painted one right after another, joined."""
    runs: list[tuple[int, list[BaseGeometry]]] = []
    for item in painted:
        swatch = swatch_of[item.rgb]
        if runs and runs[-1][0] == swatch:
            runs[-1][1].append(item.shape)
        else:
            runs.append((swatch, [item.shape]))
    return [(swatch, joined(shapes)) for swatch, shapes in runs]


def _background(runs: Sequence[tuple[int, BaseGeometry]], page: Polygon | None) -> int | None:
    """The swatch painted first when it covers the whole page; without a page, all that is painted."""
    first = runs[0][1]
    x0, y0, x1, y1 = shapely.total_bounds([shape for _, shape in runs]) if page is None else page.bounds
    inset = _INSET * min(x1 - x0, y1 - y0)
    whole = shapely.box(x0 + inset, y0 + inset, x1 - inset, y1 - inset)
    return runs[0][0] if first.covers(whole) else None


def _seen(runs: Sequence[tuple[int, BaseGeometry]], count: int, grid: float) -> tuple[MultiPolygon, ...]:
    """The visible area of each swatch: faces between all edges belong to the last run that covers them."""
    parts, run = shapely.get_parts(np.array([shape for _, shape in runs], dtype=object), return_index=True)
    swatch = np.array([swatch for swatch, _ in runs])
    tree = shapely.STRtree(parts)
    first, second = tree.query(parts, predicate="intersects")
    meets = np.zeros(len(parts), dtype=bool)
    meets[first[run[first] != run[second]]] = True
    layers: list[list[BaseGeometry]] = [[] for _ in range(count)]
    for part, index in zip(parts[~meets], swatch[run[~meets]], strict=True):
        layers[index].append(part)
    if meets.any():
        faces, owner = _faces(parts[meets], run[meets], grid)
        for index in range(count):
            mine = faces[swatch[owner] == index]
            if len(mine):
                layers[index].extend(_together(mine).geoms)
    return tuple(MultiPolygon([p for p in layer if isinstance(p, Polygon)]) for layer in layers)


def _faces(
    parts: NDArray[np.object_], run: NDArray[np.int64], grid: float
) -> tuple[NDArray[np.object_], NDArray[np.int64]]:
    """The faces that the parts' edges cut the plane into, and the last run on each; bare faces left out."""
    if int(shapely.get_num_coordinates(parts).sum()) > _MOST_CORNERS:
        raise NeedsRaster("very many shapes of several colours")
    noded = shapely.unary_union(shapely.boundary(parts), grid_size=grid)
    faces = shapely.get_parts(shapely.polygonize([noded]))
    inside, covering = shapely.STRtree(parts).query(shapely.point_on_surface(faces), predicate="intersects")
    top = np.full(len(faces), -1, dtype=np.int64)
    np.maximum.at(top, inside, run[covering])
    return faces[top >= 0], top[top >= 0]


def _together(faces: NDArray[np.object_]) -> MultiPolygon:
    """The union of faces that share their corners along common edges."""
    union = shapely.coverage_union_all(faces)
    if union.is_valid and union.geom_type in ("Polygon", "MultiPolygon"):
        return _multi(union)
    return valid_union(shapely.union_all(shapely.make_valid(faces)))


def _multi(shape: BaseGeometry) -> MultiPolygon:
    return shape if isinstance(shape, MultiPolygon) else valid_union(shape)
