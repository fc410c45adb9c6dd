"""Art as a drawing part: scaled to a width in px, and as a small picture on film."""

from functools import lru_cache

import shapely
from shapely import MultiPolygon

from layout_core.art.artwork import Artwork
from layout_core.outputs.drawing import Area, Box, Part, moved

_DRAWN_PX = 900.0
"""No proof draws a piece wider than this; detail below a fifth of a pixel there is left out."""


def art_scaled(artwork: Artwork, width_px: float, fill: str) -> Area:
    """The art with its top left corner at (0, 0) and that width."""
    scale = width_px / artwork.width_mm
    return Area(drawn_outline(artwork), fill, (scale, 0.0, 0.0, scale, 0.0, 0.0))


def thumbnail(artwork: Artwork, size: float, ink: str, film: str) -> tuple[Part, ...]:
    """The whole art on a square of film of that size."""
    room = size * 0.82
    width = min(room, room / artwork.aspect)
    left, top = (size - width) / 2, (size - width * artwork.aspect) / 2
    return Box(0, 0, size, size, film, radius=10), moved((art_scaled(artwork, width, ink),), left, top)


def drawn_outline(artwork: Artwork) -> MultiPolygon:
    """The outline as proofs draw it, the same object for the same artwork."""
    return _drawn(artwork)


@lru_cache(maxsize=256)
def _drawn(artwork: Artwork) -> MultiPolygon:
    tolerance_mm = 0.2 * max(artwork.width_mm, artwork.height_mm) / _DRAWN_PX
    return shapely.simplify(artwork.outline, tolerance_mm, preserve_topology=False)
