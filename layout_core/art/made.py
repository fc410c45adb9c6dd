"""Shapes that the program makes itself become artwork, the same to the byte each time."""

import shapely
from shapely import MultiPolygon

from layout_core.art.artwork import Artwork, outline_digest, source_digest
from layout_core.art.outline_svg import outline_svg
from layout_core.geometry.outline import valid_union

GRID_MM = 1e-4
"""Coordinates are rounded to what `outline_svg` writes, so that outline and source say the same."""


def made_artwork(name: str, outline: MultiPolygon, notes: tuple[str, ...] = ()) -> Artwork:
    """The outline (mm, y down, not empty) as vector artwork of known size, moved to the origin."""
    min_x, min_y, _, _ = outline.bounds
    moved = shapely.transform(outline, lambda xy: xy - (min_x, min_y))
    tidy = valid_union(shapely.normalize(shapely.set_precision(moved, GRID_MM)))
    source = outline_svg(tidy)
    return Artwork(
        name=name,
        source=source,
        suffix="svg",
        source_digest=source_digest(source),
        outline=tidy,
        outline_digest=outline_digest(tidy),
        size_known=True,
        route="vector",
        notes=notes,
    )
