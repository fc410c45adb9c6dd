"""Art as a drawing part: scaled to a width in px, and as a small picture on film."""

from functools import lru_cache

import shapely
from shapely import MultiPolygon, affinity

from layout_core.art.artwork import Artwork
from layout_core.outputs.drawing import Area, Box, Part

_DRAWN_PX = 900.0
"""No proof draws a piece wider than this; detail below a fifth of a pixel there is left out."""


def art_scaled(artwork: Artwork, width_px: float, fill: str, x: float = 0.0, y: float = 0.0) -> Area:
    """The art at that width with its top left corner at (x, y)."""
    scale = width_px / artwork.width_mm
    return Area(drawn_outline(artwork), fill, (scale, 0.0, 0.0, scale, x, y))


def cut_to(area: Area, x: float, y: float, width: float, height: float) -> Area:
    """The area without what lies outside the rectangle; the same object when nothing does."""
    frame = shapely.box(x, y, x + width, y + height)
    if frame.buffer(0.01).covers(affinity.affine_transform(area.shape.envelope, area.matrix)):
        return area
    inside = shapely.make_valid(affinity.affine_transform(area.shape, area.matrix)).intersection(frame)
    return Area(inside, area.fill)


def thumbnail(artwork: Artwork, size: float, ink: str, film: str) -> tuple[Part, ...]:
    """The whole art on a square of film of that size."""
    room = size * 0.82
    width = min(room, room / artwork.aspect)
    left, top = (size - width) / 2, (size - width * artwork.aspect) / 2
    return Box(0, 0, size, size, film, radius=10), art_scaled(artwork, width, ink, left, top)


def drawn_outline(artwork: Artwork) -> MultiPolygon:
    """The outline as proofs draw it, the same object for the same artwork."""
    return _drawn(artwork)


@lru_cache(maxsize=256)
def _drawn(artwork: Artwork) -> MultiPolygon:
    tolerance_mm = 0.2 * max(artwork.width_mm, artwork.height_mm) / _DRAWN_PX
    return shapely.simplify(artwork.outline, tolerance_mm, preserve_topology=False)
