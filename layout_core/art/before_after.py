"""Small pictures of art before and after repairs, as light shapes: the whole, and what changed most."""

from dataclasses import dataclass

import shapely
from shapely import MultiPolygon
from shapely.geometry.base import BaseGeometry

from layout_core.art.artwork import Artwork
from layout_core.art.repair import RepairPreview

STEPS_ACROSS = 400
"""A picture some 120 px wide, on a screen of high density, needs no detail finer than this share of it."""
CLOSE_SHARE = 0.45
"""A change that would need a look at more of the art than this is seen well enough in the whole."""
_ROOM = 12.0
"""How many times the breadth of the change a close look spans."""
_LEAST_SHARE = 0.04
"""A close look spans at least this share of the art, or nobody would know where it is."""


@dataclass(frozen=True, slots=True)
class Look:
    """What is seen in a square window: its upper left `corner_mm` and `side_mm` in the shape's frame."""

    shape: BaseGeometry
    corner_mm: tuple[float, float]
    side_mm: float


@dataclass(frozen=True, slots=True)
class BeforeAfter:
    """The whole art before and after at one scale, and a close look at what changed where that is small."""

    name: str
    before: Look
    after: Look
    close_before: Look | None = None
    close_after: Look | None = None


def before_after(shown: Artwork, preview: RepairPreview) -> BeforeAfter:
    """Pictures of the artwork shown until now and of the one after the repairs; shapes in mm at natural size.

    The frames of the artworks differ by what grew or fell away at the edge; they are laid centre on centre.
    """
    after = preview.after
    side = max(shown.width_mm, shown.height_mm, after.width_mm, after.height_mm)
    whole = [_look(art.outline, _middle(art.outline), side) for art in (shown, after)]
    place = _place(preview)
    if place is None:
        return BeforeAfter(shown.name, *whole)
    (dx, dy), span = place
    close = [
        _look(art.outline, (x + dx, y + dy), span)
        for art in (shown, after)
        for x, y in [_middle(art.outline)]
    ]
    return BeforeAfter(shown.name, *whole, *close)


def _place(preview: RepairPreview) -> tuple[tuple[float, float], float] | None:
    """Where the largest change is, from the middle of the art, and how much to show; None if it is large."""
    parts = [*preview.added.geoms, *preview.removed.geoms]
    if not parts:
        return None
    side = max(preview.before.width_mm, preview.before.height_mm)
    largest = max(parts, key=lambda part: part.area)
    breadth = 2.0 * largest.area / largest.length
    span = max(_ROOM * breadth, _LEAST_SHARE * side)
    if span > CLOSE_SHARE * side:
        return None
    at = largest.representative_point()
    x, y = _middle(preview.before.outline)
    return (at.x - x, at.y - y), span


def _middle(shape: BaseGeometry) -> tuple[float, float]:
    x0, y0, x1, y1 = shape.bounds
    return (x0 + x1) / 2, (y0 + y1) / 2


def _look(outline: MultiPolygon, middle: tuple[float, float], side: float) -> Look:
    x, y = middle[0] - side / 2, middle[1] - side / 2
    seen: BaseGeometry = outline
    if not shapely.box(x, y, x + side, y + side).covers(shapely.box(*outline.bounds)):
        seen = shapely.clip_by_rect(outline, x, y, x + side, y + side)
    light = shapely.simplify(seen, side / STEPS_ACROSS / 2, preserve_topology=False)
    return Look(seen if light.is_empty else light, (x, y), side)
