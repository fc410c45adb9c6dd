"""An SVG file becomes one-ink shapes: exact outlines where they prove right, a traced rendering elsewhere."""

import base64
import binascii
import io
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from lxml import etree
from PIL import Image
from shapely.geometry.base import BaseGeometry

from layout_core.art import caps, safe_xml
from layout_core.art.artwork import Route
from layout_core.art.converted import Converted
from layout_core.art.css import Cascade
from layout_core.art.fill import joined
from layout_core.art.ink_layers import InkLayers, Painted, everything_map, inked, layers_of, moved
from layout_core.art.ink_map import USUAL_THRESHOLD, InkChoice, InkMap, prints_of
from layout_core.art.ink_words import SOFT, ink_notes, see_through_note, soft_note
from layout_core.art.picture_inks import PictureInks, picture_inks, picture_layers, printing
from layout_core.art.refusal import NeedsRaster, OverLimit, Refused
from layout_core.art.render import Alpha, Reference, coverage, picture
from layout_core.art.svg import Walked, Walker
from layout_core.art.svg_guards import check_dashes, check_numbers, check_references
from layout_core.art.svg_recolour import recoloured
from layout_core.art.svg_shapes import SHAPES, is_stroked_wrongly
from layout_core.art.svg_text import has_text, text_notes
from layout_core.art.trace import traced
from layout_core.art.verify import check_scale, disagreement
from layout_core.art.viewport import PX_PER_IN, Box, Page, page_of
from layout_core.geometry.outline import valid_union
from layout_core.progress import Progress, no_progress, within
from layout_core.units import MM_PER_IN

MM_PER_PX = MM_PER_IN / PX_PER_IN
_RENDER_PX = 4096.0
"""The long side of a rendering that is traced: 600 px to the inch up to 6.8 in, 370 at 11 in. Edges then
lie within 0.0005 and 0.0007 in of the true ones (measured on a circle); finer takes too long."""
_COARSE_PX = 1024.0
_UNSTATED_PX = 4000.0
"""How far a drawing that states no size is looked at when only a rendering can tell its ink."""
_FULL_PAGE = 0.98
_NOTHING = "has nothing in it that prints"
_MANY_PIXELS = f"holds pictures of more than {caps.EMBEDDED_PIXELS / 1e6:.0f} megapixels"
_PICTURE_NOTE = (
    "A picture inside counts as ink wherever it is opaque; add the picture itself if that is wrong."
)
_STROKE_NOTE = (
    "Lines of fixed width, or dashes measured by the length of their path, may have come out wrong."
)
_PAGE_NOTE = "Its ink fills the whole page; if that is a background, ask for the art without it."
_GRID_SHARE = 1000.0
"""Crossings of shapes of several colours are rounded to this part of the flattening tolerance."""


@dataclass(slots=True)
class _Document:
    """A cleaned drawing and what was read off its root."""

    root: etree._Element
    page: Page
    cascade: Cascade
    ids: dict[str, etree._Element]
    notes: list[str]
    choice: InkChoice = "sensible"
    wants_layers: bool = False
    tolerance_px: float = 0.0

    @property
    def threshold(self) -> float:
        return self.choice.threshold if isinstance(self.choice, InkMap) else USUAL_THRESHOLD


def read_svg(
    data: bytes,
    progress: Progress = no_progress,
    choice: InkChoice = "sensible",
    *,
    wants_layers: bool = False,
) -> Converted:
    """The drawing's ink in mm at natural size. Raises Refused, or OverLimit for the too large or harmful."""
    progress(0.0, "Reading the drawing")
    document = _opened(data)
    document.choice, document.wants_layers = choice, wants_layers
    progress(0.1, "Finding its shapes")
    walked, reason = _walked(document)
    if walked is not None:
        exact = _exact(document, walked, within(progress, 0.3, 0.9))
        if exact is not None:
            return exact
        reason = reason or "shapes that differ from a reference rendering"
    return _rendered(document, walked, reason, within(progress, 0.4, 1.0))


def _opened(data: bytes) -> _Document:
    root = safe_xml.parsed(data)
    notes = safe_xml.strip_active(root)
    check_numbers(root)
    _check_pictures(root)
    page = page_of(
        root.get("width"), root.get("height"), root.get("viewBox"), root.get("preserveAspectRatio")
    )
    ids: dict[str, etree._Element] = {}
    for element in root.iter():
        name = element.get("id")
        if name:
            ids.setdefault(str(name), element)
    check_references(root, ids)
    cascade = Cascade(root)
    check_dashes(root, cascade, page.user_width, page.user_height)
    return _Document(root, page, cascade, ids, notes)


def _check_pictures(root: etree._Element) -> None:
    """Refuse pictures inside the drawing that would unpack beyond the limits; drop those that are broken."""
    pixels = 0
    for element in list(root.iter()):
        address = safe_xml.href(element)
        if not address.startswith("data:"):
            continue
        try:
            packed = base64.b64decode(re.sub(r"\s", "", address.split(",", 1)[1]), validate=True)
            with Image.open(io.BytesIO(packed), formats=("PNG", "JPEG", "GIF", "WEBP")) as image:
                pixels += image.width * image.height
        except Image.DecompressionBombError as error:
            raise OverLimit(_MANY_PIXELS) from error
        except (binascii.Error, OSError, ValueError, SyntaxError, IndexError) as error:
            raise Refused("holds a picture that is damaged") from error
        if pixels > caps.EMBEDDED_PIXELS:
            raise OverLimit(_MANY_PIXELS)


def _walked(document: _Document) -> tuple[Walked | None, str]:
    """The exact shapes, or None and what stood in the way. Settles the page's extent if it had none."""
    shapes = [e for e in document.root.iter() if safe_xml.local_name(e) in SHAPES]
    characters = sum(len(e.get("d") or "") for e in shapes)
    if len(shapes) > caps.VECTOR_SHAPES or characters > caps.VECTOR_PATH_CHARACTERS:
        _settle_extent(document, None)
        return None, "very many shapes"
    if document.root.get("transform"):
        _settle_extent(document, None)
        return None, "a transform of the whole page"
    extent = max(document.page.width_px, document.page.height_px)
    try:
        walked = _walk(document, extent)
        found = _extent(walked)
        if found > 0 and not 0.5 < found / extent < 2.0:
            walked = _walk(document, found)
    except NeedsRaster as obstacle:
        _settle_extent(document, None)
        return None, str(obstacle)
    _settle_extent(document, walked)
    return walked, ""


def _walk(document: _Document, extent_px: float) -> Walked:
    placed_px = min(extent_px, caps.REFERENCE_WIDTH_IN * PX_PER_IN)
    tolerance_px = caps.FLATTEN_IN * placed_px / caps.REFERENCE_WIDTH_IN
    document.tolerance_px = tolerance_px
    walker = Walker(document.cascade, document.page, tolerance_px, document.ids, document.threshold)
    return walker.walk(document.root)


def _extent(walked: Walked) -> float:
    shapes = _shapes(walked.painted + walked.beyond_check)
    if not shapes:
        return 0.0
    x0, y0, x1, y1 = shapely.total_bounds(shapes)
    return float(max(x1 - x0, y1 - y0)) if x1 >= x0 else 0.0


def _settle_extent(document: _Document, walked: Walked | None) -> None:
    """A drawing that states no size at all is as large as what it draws right of and below its origin."""
    if document.page.has_extent:
        return
    width = height = 0.0
    if walked is not None and (walked.painted or walked.beyond_check):
        _, _, width, height = shapely.total_bounds(_shapes(walked.painted + walked.beyond_check))
    if not (width > 0 and height > 0):
        width = height = _UNSTATED_PX
    document.page = replace(document.page, width_px=float(width), height_px=float(height), has_extent=True)


def _shapes(painted: Sequence[Painted]) -> list[BaseGeometry]:
    return [item.shape for item in painted]


def _exact(document: _Document, walked: Walked, progress: Progress) -> Converted | None:
    """The walked shapes if the reference rendering agrees with them, else None."""
    progress(0.0, "Joining its shapes")
    everything = walked.painted + walked.beyond_check
    if not everything:
        return None
    try:
        layers, ink_map = _layers(document, everything)
    except NeedsRaster:
        return None
    if layers is None or not ink_map.has_knock_out:
        checked = joined(_shapes(walked.painted))
    elif walked.beyond_check:
        checked = inked(_layers(document, walked.painted, ink_map)[0] or layers, ink_map)
    else:
        checked = inked(layers, ink_map)
    progress(0.4, "Comparing with a reference rendering")
    if not _agrees(document, walked, checked, ink_map):
        return None
    if not walked.beyond_check:
        whole = checked
    elif layers is None or not ink_map.has_knock_out:
        whole = joined([checked, *_shapes(walked.beyond_check)])
    else:
        whole = inked(layers, ink_map)
    notes = list(document.notes)
    if walked.has_see_through:
        notes.append(see_through_note(document.threshold))
    return _converted(document, whole, "vector", notes, ink_map, layers)


def _layers(
    document: _Document, painted: Sequence[Painted], choice: InkChoice | None = None
) -> tuple[InkLayers | None, InkMap]:
    """The layers and the map; no layers where all is ink and nobody wants them."""
    wanted = document.choice if choice is None else choice
    if wanted == "everything" and not document.wants_layers:
        return None, everything_map(painted, document.threshold)
    page = document.page
    sheet = shapely.box(0, 0, page.width_px, page.height_px)
    grid = document.tolerance_px / _GRID_SHARE
    layers = layers_of(painted, wanted, document.threshold, sheet, grid)
    return layers, layers.ink_map


def _agrees(document: _Document, walked: Walked, checked: BaseGeometry, ink_map: InkMap) -> bool:
    """Whether a reference rendering shows the same ink; with knock-outs, the drawing in black and white."""
    reference = _reference(document, hides_wrong=bool(walked.beyond_check))
    if ink_map.has_knock_out:
        twin = recoloured(document.root, document.cascade, document.ids.get, ink_map)
        reference = replace(reference, text=safe_xml.serialised(twin))
    for box in _check_boxes(document.page, checked):
        scale = check_scale(box[2], box[3], walked.thinnest_px)
        if disagreement(
            checked, reference, box, scale,
            threshold=document.threshold, is_recoloured=ink_map.has_knock_out,
        ):  # fmt: skip
            return False
    return True


def _check_boxes(page: Page, shapes: BaseGeometry) -> list[Box]:
    """The whole page, and the ink alone when it fills little of it."""
    boxes: list[Box] = [(0.0, 0.0, page.width_px, page.height_px)]
    if not shapes.is_empty:
        x0, y0, x1, y1 = shapes.bounds
        longest = max(x1 - x0, y1 - y0)
        if 0 < longest < max(page.width_px, page.height_px) / 3:
            pad = longest * 0.05
            left, top = max(0.0, x0 - pad), max(0.0, y0 - pad)
            right, bottom = min(page.width_px, x1 + pad), min(page.height_px, y1 + pad)
            boxes.append((left, top, right - left, bottom - top))
    return boxes


def _reference(document: _Document, *, hides_wrong: bool) -> Reference:
    """The drawing for the renderer, sized in px; hides the strokes that it draws wrongly."""
    root, page = document.root, document.page
    for key in ("x", "y"):
        if key in root.attrib:
            del root.attrib[key]
    root.set("width", repr(page.width_px))
    root.set("height", repr(page.height_px))
    root.set("overflow", "visible")  # the canvas cuts at the page; a clip would double the renderer's time
    if hides_wrong:
        for element in root.iter():
            if is_stroked_wrongly(element, document.cascade.declared(element)):
                style = str(element.get("style") or "").rstrip("; ")
                element.set("style", f"{style}{'; ' if style else ''}stroke:none !important")
    return Reference(safe_xml.serialised(root), page.width_px, page.height_px, has_text(root))


def _rendered(document: _Document, walked: Walked | None, reason: str, progress: Progress) -> Converted:
    """The outline of a fine rendering of the drawing."""
    reference = _reference(document, hides_wrong=bool(walked and walked.beyond_check))
    progress(0.0, "Drawing it finely")
    box = _ink_box(reference)
    beyond = walked.beyond_check if walked else ()
    if box is None and not beyond:
        raise Refused(_NOTHING)
    inks = PictureInks(((0, 0, 0),), (1.0,), None, 0.0, True)
    layers = None
    parts: list[BaseGeometry] = _shapes(beyond)
    if box is not None:
        scale = _RENDER_PX / max(box[2], box[3])
        x, y = box[0], box[1]
        if document.choice == "everything" and not document.wants_layers:
            alpha = coverage(reference, box, scale)
            ink_map = inks.ink_map("everything", document.threshold)
        else:
            rgba = picture(reference, box, scale)
            inks, ink_map = _picture_map(document, rgba, box)
            prints = prints_of(ink_map, inks.seeds)
            alpha = printing(rgba, inks.seeds, prints) if ink_map.has_knock_out else rgba[..., 3]
            if document.wants_layers:
                layers = moved(picture_layers(rgba, inks, ink_map), 1 / scale, (x, y))
        shape, _ = traced(alpha, within(progress, 0.5, 1.0), level=255 * document.threshold)
        parts.append(shapely.transform(shape, lambda xy: xy / scale + (x, y)))
    else:
        ink_map = inks.ink_map("everything", document.threshold)
    notes = [*document.notes, f"Holds {reason}; its shapes were traced from a fine rendering."]
    notes += text_notes(document.root, document.cascade)
    if walked is None and any(
        is_stroked_wrongly(element, document.cascade.declared(element)) for element in document.root.iter()
    ):
        notes.append(_STROKE_NOTE)
    if reason == "a picture":
        notes.append(_PICTURE_NOTE)
    if inks.soft_share > SOFT:
        notes.append(soft_note(inks.soft_share, document.threshold))
    return _converted(document, joined(parts), "raster", notes, ink_map, layers)


def _picture_map(document: _Document, rgba: Alpha, box: Box) -> tuple[PictureInks, InkMap]:
    """The colours of the rendering; its ground counts only where the rendering is the whole page, opaque."""
    page = document.page
    covers = min(box[2] / page.width_px, box[3] / page.height_px) > _FULL_PAGE
    is_cut_out = not covers or float((rgba[..., 3] < 128).mean()) >= 1 - _FULL_PAGE
    inks = picture_inks(rgba, is_cut_out)
    if document.choice == "everything":
        inks = replace(inks, background=None)
    return inks, inks.ink_map(document.choice, document.threshold)


def _ink_box(reference: Reference) -> Box | None:
    """The part of the page that holds any ink, found on a coarse rendering; None for a blank page."""
    page: Box = (0.0, 0.0, reference.width_px, reference.height_px)
    scale = _COARSE_PX / max(reference.width_px, reference.height_px)
    alpha = coverage(reference, page, scale)
    rows, columns = np.flatnonzero(alpha.any(axis=1)), np.flatnonzero(alpha.any(axis=0))
    if len(rows) == 0:
        return None
    x0, x1 = max(0.0, (columns[0] - 2) / scale), min(page[2], (columns[-1] + 3) / scale)
    y0, y1 = max(0.0, (rows[0] - 2) / scale), min(page[3], (rows[-1] + 3) / scale)
    return float(x0), float(y0), float(x1 - x0), float(y1 - y0)


def _converted(
    document: _Document,
    shape_px: BaseGeometry,
    route: Route,
    notes: list[str],
    ink_map: InkMap,
    layers: InkLayers | None,
) -> Converted:
    outline = valid_union(shapely.transform(shape_px, lambda xy: xy * MM_PER_PX))
    if outline.is_empty:
        raise Refused(_NOTHING)
    page = document.page
    if outline.area >= _FULL_PAGE * page.width_px * page.height_px * MM_PER_PX**2:
        notes.append(_PAGE_NOTE)
    notes += ink_notes(ink_map, None if layers is None else layers.background)
    return Converted(
        "svg", outline, document.page.size_known, route, None, tuple(dict.fromkeys(notes)), ink_map,
        moved(layers, MM_PER_PX) if layers is not None and document.wants_layers else None,
    )  # fmt: skip
