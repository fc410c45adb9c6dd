"""From painted shapes, or from a rendering, to what prints: the way that drawings and PDF pages share."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from layout_core.art.artwork import Route
from layout_core.art.converted import Converted
from layout_core.art.dot_screen import dot_screen_count
from layout_core.art.fill import joined
from layout_core.art.ink_layers import InkLayers, Painted, everything_map, inked, layers_of, moved
from layout_core.art.ink_map import USUAL_THRESHOLD, InkChoice, InkMap, prints_of
from layout_core.art.ink_words import NOTHING, SOFT, ink_notes, screen_note, soft_note, why_empty
from layout_core.art.picture_inks import PictureInks, picture_inks, picture_layers, printing
from layout_core.art.refusal import Refused
from layout_core.art.render import Alpha
from layout_core.art.sniff import Kind
from layout_core.art.trace import traced
from layout_core.art.viewport import MM_PER_PX, Box
from layout_core.art.white_ground import NO_WHITE
from layout_core.geometry.outline import valid_union
from layout_core.progress import Progress, within

Render = Callable[[Box, float], Alpha]
"""Draws the cut-out (x, y, width, height in page px), so many samples to the px: red, green, blue, alpha."""

_PAGE_NOTE = "Its ink fills the whole page; if that is a background, ask for the art without it."
_RENDER_PX = 4096.0
"""The long side of a rendering that is traced: 600 px to the inch up to 6.8 in, 370 at 11 in. Edges then
lie within 0.0005 and 0.0007 in of the true ones (measured on a circle); finer takes too long."""
_COARSE_PX = 1024.0
_FULL_PAGE = 0.98
_GRID_SHARE = 1000.0
"""Crossings of shapes of several colours are rounded to this part of the flattening tolerance."""


@dataclass(frozen=True, slots=True)
class Asked:
    """How a file is to be read: what counts as ink, and whether the layers are wanted as well."""

    choice: InkChoice = "sensible"
    wants_layers: bool = False

    @property
    def threshold(self) -> float:
        return self.choice.threshold if isinstance(self.choice, InkMap) else USUAL_THRESHOLD

    @property
    def needs_colours(self) -> bool:
        return self.wants_layers or self.choice != "everything"


SENSIBLE = Asked()


@dataclass(frozen=True, slots=True)
class Ink:
    """What prints, in page px, under which map; `layers` in page px too, where colours were told apart."""

    shape: BaseGeometry
    ink_map: InkMap
    layers: InkLayers | None
    notes: tuple[str, ...] = ()

    @property
    def background(self) -> str | None:
        return None if self.layers is None else self.layers.background


def flat_ink(painted: Sequence[Painted], asked: Asked, page: Box, tolerance_px: float) -> Ink:
    """What prints of shapes painted one over the other. Raises NeedsRaster when that takes too long."""
    if not asked.needs_colours:
        ink_map = everything_map(painted, asked.threshold)
        return Ink(joined([item.shape for item in painted]), ink_map, None)
    x, y, width, height = page
    sheet = shapely.box(x, y, x + width, y + height)
    layers = layers_of(painted, asked.choice, asked.threshold, sheet, tolerance_px / _GRID_SHARE)
    if layers.ink_map.has_knock_out:
        return Ink(inked(layers, layers.ink_map), layers.ink_map, layers)
    return Ink(joined([item.shape for item in painted]), layers.ink_map, layers)


def traced_ink(
    render: Render, width_px: float, height_px: float, asked: Asked, progress: Progress
) -> Ink | None:
    """What prints by a fine rendering of the page; None for a blank one."""
    progress(0.0, "Drawing it finely")
    box = _ink_box(render, width_px, height_px)
    if box is None:
        return None
    scale = _RENDER_PX / max(box[2], box[3])
    rgba = render(box, scale)
    inks = PictureInks(((0, 0, 0),), (1.0,), None, 0.0, NO_WHITE)
    if asked.needs_colours:
        covers = min(box[2] / width_px, box[3] / height_px) > _FULL_PAGE
        is_cut_out = not covers or float((rgba[..., 3] < 128).mean()) >= 1 - _FULL_PAGE
        inks = picture_inks(rgba, is_cut_out)
    if asked.choice == "everything":
        inks = replace(inks, background=None)
    ink_map = inks.ink_map(asked.choice, asked.threshold)
    field = rgba[..., 3]
    if ink_map.has_knock_out:
        field = printing(rgba, inks.seeds, prints_of(ink_map, inks.seeds))
    shape, _ = traced(field, within(progress, 0.5, 1.0), level=255 * asked.threshold)
    corner = (box[0], box[1])
    layers = None
    if asked.wants_layers:
        layers = moved(picture_layers(rgba, inks, ink_map), 1 / scale, corner)
    notes = (soft_note(inks.soft_share, asked.threshold),) if inks.soft_share > SOFT else ()
    return Ink(shapely.transform(shape, lambda xy: xy / scale + corner), ink_map, layers, notes)


def _ink_box(render: Render, width_px: float, height_px: float) -> Box | None:
    """The part of the page that holds any paint, found on a coarse rendering; None for a blank page."""
    scale = _COARSE_PX / max(width_px, height_px)
    alpha = render((0.0, 0.0, width_px, height_px), scale)[..., 3]
    rows, columns = np.flatnonzero(alpha.any(axis=1)), np.flatnonzero(alpha.any(axis=0))
    if len(rows) == 0:
        return None
    x0, x1 = max(0.0, (columns[0] - 2) / scale), min(width_px, (columns[-1] + 3) / scale)
    y0, y1 = max(0.0, (rows[0] - 2) / scale), min(height_px, (rows[-1] + 3) / scale)
    return float(x0), float(y0), float(x1 - x0), float(y1 - y0)


def check_boxes(width_px: float, height_px: float, shapes: BaseGeometry) -> list[Box]:
    """Where to hold shapes against a rendering: the whole page, and the ink alone if it fills little."""
    boxes: list[Box] = [(0.0, 0.0, width_px, height_px)]
    if not shapes.is_empty:
        x0, y0, x1, y1 = shapes.bounds
        longest = max(x1 - x0, y1 - y0)
        if 0 < longest < max(width_px, height_px) / 3:
            pad = longest * 0.05
            left, top = max(0.0, x0 - pad), max(0.0, y0 - pad)
            right, bottom = min(width_px, x1 + pad), min(height_px, y1 + pad)
            boxes.append((left, top, right - left, bottom - top))
    return boxes


def as_converted(
    suffix: Kind,
    ink: Ink,
    asked: Asked,
    page_px: tuple[float, float],
    route: Route,
    notes: list[str],
    *,
    size_known: bool,
) -> Converted:
    """The ink in mm, with its sentences. Raises Refused when nothing prints."""
    outline = valid_union(shapely.transform(ink.shape, lambda xy: xy * MM_PER_PX))
    if outline.is_empty:
        raise Refused(f"{NOTHING}: {why_empty(ink.ink_map)}")
    if outline.area >= _FULL_PAGE * page_px[0] * page_px[1] * MM_PER_PX**2:
        notes = [*notes, _PAGE_NOTE]
    dots = dot_screen_count(outline)
    notes = [*notes, screen_note(dots)] if dots else notes
    sentences = [*notes, *ink.notes, *ink_notes(ink.ink_map, ink.background)]
    layers = ink.layers if asked.wants_layers else None
    return Converted(
        suffix, outline, size_known, route, None, tuple(dict.fromkeys(sentences)), ink.ink_map,
        None if layers is None else moved(layers, MM_PER_PX),
    )  # fmt: skip
