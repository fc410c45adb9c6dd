"""Checks exact shapes against a reference rendering of the original drawing."""

import math

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from layout_core.art.render import Alpha, Reference, coverage
from layout_core.art.viewport import Box

_LEAST_PX = 1500.0
_MOST_PX = 3072.0
_STROKE_PX = 2.0
_HALF = 128


def check_scale(width_px: float, height_px: float, thinnest_px: float) -> float:
    """Samples to the px, so that the long side has 1500 and the thinnest stroke two, within one tile."""
    longest = max(width_px, height_px)
    wanted = _LEAST_PX / longest
    if thinnest_px > 0:
        wanted = max(wanted, _STROKE_PX / thinnest_px)
    return min(wanted, _MOST_PX / longest)


def disagreement(
    shapes: BaseGeometry, page: Reference, theirs: Alpha, box: Box, scale: float, threshold: float = 0.5
) -> int:
    """How many samples lie at the heart of a 3 x 3 block on which shapes and the original's rendering differ.

    0 is agreement: a difference of edges, one or two samples wide, does not count, as both renderings round
    there. `theirs` shows the cut-out of the page as dark or opaque as it is; ink begins at the threshold.
    """
    return core(theirs, coverage(as_reference(shapes, page), box, scale), threshold)


def darkness(rgba: Alpha) -> Alpha:
    """How opaque and black each pixel of a grey picture is (0 to 255)."""
    dark: Alpha = ((255 - rgba[..., 0].astype(np.uint16)) * rgba[..., 3] // 255).astype(np.uint8)
    return dark


def core(first: Alpha, second: Alpha, threshold: float = 0.5) -> int:
    """The samples that survive eroding the difference of the two by a 3 x 3 block.

    The first counts from the threshold on, the second, shapes drawn solid, from half a sample on.
    """
    differ = (first >= math.ceil(threshold * 255)) != (second >= _HALF)
    if not differ.any():
        return 0
    across = differ[:, :-2] & differ[:, 1:-1] & differ[:, 2:]
    return int((across[:-2] & across[1:-1] & across[2:]).sum())


def as_reference(shapes: BaseGeometry, page: Reference) -> Reference:
    """The shapes as a drawing of the same page, for the same renderer."""
    rings: list[BaseGeometry] = []
    for polygon in shapely.get_parts(shapes):
        if shapely.get_type_id(polygon) == 3:
            rings.extend(shapely.get_rings(polygon))
    data = " ".join(_ring_data(shapely.get_coordinates(ring)) for ring in rings)
    text = (
        f'<svg width="{page.width_px!r}" height="{page.height_px!r}" overflow="visible">'
        f'<path fill-rule="evenodd" d="{data}"/></svg>'
    )
    return Reference(text, page.width_px, page.height_px)


def _ring_data(points: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> str:
    largest = float(np.abs(points).max()) or 1.0
    places = max(2, 6 - math.floor(math.log10(largest)))
    return "M" + " ".join(f"{x:.{places}f} {y:.{places}f}" for x, y in points[:-1].tolist()) + "Z"
