"""A PDF page becomes one-ink shapes: exact outlines where they prove right, a traced rendering elsewhere."""

from collections.abc import Iterator

import numpy as np
import pypdfium2.raw as pdfium
import shapely

from layout_core.art import caps
from layout_core.art.converted import Converted
from layout_core.art.ink_layers import InkLayers
from layout_core.art.ink_map import InkMap, prints_of
from layout_core.art.ink_route import (
    SENSIBLE,
    Asked,
    Ink,
    as_converted,
    check_boxes,
    flat_ink,
    traced_ink,
)
from layout_core.art.ink_words import NOTHING, see_through_note
from layout_core.art.lab import difference, lab_of, rgb_of
from layout_core.art.pdf_objects import Gathered, Gatherer, Handle, form_objects, page_objects, paint_of
from layout_core.art.pdf_page import PdfPage, opened_page
from layout_core.art.refusal import NeedsRaster, Refused
from layout_core.art.render import Reference
from layout_core.art.verify import check_scale, darkness, disagreement
from layout_core.art.viewport import PX_PER_IN
from layout_core.progress import Progress, no_progress, within

_HAIRLINE_NOTE = "Lines without a width of their own were left out: they print as thin as a machine can."
_PICTURE_NOTE = "A picture inside was traced as it looks; add the picture itself if its edges matter."

_COLOUR_PX = 1000.0
_LEAST_PART_PX2 = 25.0
_COLOUR_APART = 10.0
"""CIEDE2000: a paint within 4 of a swatch belongs to it, and renderers round."""


def read_pdf(data: bytes, progress: Progress = no_progress, asked: Asked = SENSIBLE) -> Converted:
    """The first page's ink in mm at true size. Raises Refused, or OverLimit for the too large or harmful."""
    progress(0.0, "Reading the page")
    page = opened_page(data)
    progress(0.1, "Finding its shapes")
    page_px = (page.width_px, page.height_px)
    notes = []
    if page.page_count > 1:
        notes.append(f"Has {page.page_count:,} pages; the first is used.")
    reason = "shapes that differ from a reference rendering"
    try:
        exact = _exact(page, asked, within(progress, 0.1, 0.9))
        if exact is not None:
            ink, more = exact
            return as_converted("pdf", ink, asked, page_px, "vector", notes + more, size_known=True)
    except NeedsRaster as obstacle:
        reason = str(obstacle)
    traced = traced_ink(page.picture, page.width_px, page.height_px, asked, within(progress, 0.4, 1.0))
    if traced is None:
        raise Refused(NOTHING)
    notes.append(f"Holds {reason}; its shapes were traced from a fine rendering.")
    if reason == "a picture":
        notes.append(_PICTURE_NOTE)
    return as_converted("pdf", traced, asked, page_px, "raster", notes, size_known=True)


def _exact(page: PdfPage, asked: Asked, progress: Progress) -> tuple[Ink, list[str]] | None:
    """The page's shapes and what to say of them, if the reference rendering agrees; else None."""
    placed_px = min(max(page.width_px, page.height_px), caps.REFERENCE_WIDTH_IN * PX_PER_IN)
    tolerance_px = caps.FLATTEN_IN * placed_px / caps.REFERENCE_WIDTH_IN
    gathered = _gathered(page, asked, tolerance_px)
    if not gathered.painted:
        return None
    progress(0.4, "Joining its shapes")
    ink = flat_ink(gathered.painted, asked, (0.0, 0.0, page.width_px, page.height_px), tolerance_px)
    progress(0.6, "Comparing with a reference rendering")
    if ink.layers is not None and not _shows_colours(page, ink.layers):
        raise NeedsRaster("paint of more than one colour")
    if not _agrees(page, gathered, ink, asked.threshold):
        return None
    notes = []
    if gathered.has_see_through:
        notes.append(see_through_note(asked.threshold))
    if gathered.has_hairlines:
        notes.append(_HAIRLINE_NOTE)
    return ink, notes


def _gathered(page: PdfPage, asked: Asked, tolerance_px: float) -> Gathered:
    """The shapes, gathered again more finely when they fill little of the page."""
    gathered = Gatherer(page, tolerance_px, asked.threshold).gather()
    if gathered.painted:
        x0, y0, x1, y1 = shapely.total_bounds([item.shape for item in gathered.painted])
        share = max(x1 - x0, y1 - y0) / max(page.width_px, page.height_px)
        if 0 < share < 0.5:
            return Gatherer(page, tolerance_px * share, asked.threshold).gather()
    return gathered


def _shows_colours(page: PdfPage, layers: InkLayers) -> bool:
    """Whether PDFium shows each swatch's colour amid its larger parts.

    It tells white for the colour of some patterns and gradients, and no colour of what is see-through.
    """
    scale = _COLOUR_PX / max(page.width_px, page.height_px)
    rgba = page.picture((0.0, 0.0, page.width_px, page.height_px), scale)
    for swatch, shape in zip(layers.ink_map.swatches, layers.shapes, strict=True):
        parts = shapely.get_parts(shape)
        parts = parts[shapely.area(parts) * scale**2 > _LEAST_PART_PX2]
        if len(parts) == 0:
            continue
        column, row = (shapely.get_coordinates(shapely.point_on_surface(parts)) * scale).astype(int).T
        shown = rgba[row.clip(0, rgba.shape[0] - 1), column.clip(0, rgba.shape[1] - 1), :3]
        apart = difference(lab_of(shown), lab_of(rgb_of(swatch.colour)))
        if float(np.median(apart)) > _COLOUR_APART:
            return False
    return True


def _agrees(page: PdfPage, gathered: Gathered, ink: Ink, threshold: float) -> bool:
    """Whether PDFium shows the same ink; with knock-outs, once everything is painted black or white."""
    has_knock_out = ink.ink_map.has_knock_out
    painted = _recoloured(page, ink.ink_map) if has_knock_out else []
    frame = Reference("", page.width_px, page.height_px)
    try:
        for box in check_boxes(page.width_px, page.height_px, ink.shape):
            scale = check_scale(box[2], box[3], gathered.thinnest_px)
            rgba = page.picture(box, scale)
            theirs = darkness(rgba) if has_knock_out else rgba[..., 3]
            if disagreement(ink.shape, frame, theirs, box, scale, threshold):
                return False
        return True
    finally:
        for thing, which, rgb, alpha in painted:
            _set_paint(thing, which, rgb, alpha)


_Paint = tuple[Handle, str, tuple[int, int, int], float]


def _recoloured(page: PdfPage, ink_map: InkMap) -> list[_Paint]:
    """Paint every path black where it prints and white where it is knocked out; returns what they were."""
    before: list[_Paint] = []
    for thing in _paths(page_objects(page)):
        for which in ("fill", "stroke"):
            paint = paint_of(thing, which)
            if paint is not None:
                level = 0 if prints_of(ink_map, [paint[0]])[0] else 255
                before.append((thing, which, *paint))
                _set_paint(thing, which, (level, level, level), paint[1])
    return before


def _paths(objects: Iterator[Handle]) -> Iterator[Handle]:
    for thing in objects:
        kind = pdfium.FPDFPageObj_GetType(thing)
        if kind == pdfium.FPDF_PAGEOBJ_FORM:
            yield from _paths(form_objects(thing))
        elif kind == pdfium.FPDF_PAGEOBJ_PATH:
            yield thing


def _set_paint(thing: Handle, which: str, rgb: tuple[int, int, int], alpha: float) -> None:
    give = pdfium.FPDFPageObj_SetFillColor if which == "fill" else pdfium.FPDFPageObj_SetStrokeColor
    give(thing, *rgb, round(alpha * 255))
