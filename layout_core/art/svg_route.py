"""An SVG file becomes one-ink shapes: exact outlines where they prove right, a traced rendering elsewhere."""

import base64
import binascii
import io
import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import shapely
from lxml import etree
from PIL import Image
from shapely.geometry.base import BaseGeometry

from layout_core.art import caps, safe_xml
from layout_core.art.artwork import Route
from layout_core.art.converted import Converted
from layout_core.art.css import Cascade
from layout_core.art.fill import EMPTY, joined
from layout_core.art.font_words import missing_fonts, only_missing
from layout_core.art.ink_layers import Painted, everything_map
from layout_core.art.ink_map import InkMap
from layout_core.art.ink_route import (
    Asked,
    Ink,
    as_converted,
    check_boxes,
    flat_ink,
    traced_ink,
)
from layout_core.art.ink_words import NOTHING, see_through_note
from layout_core.art.refusal import NeedsRaster, OverLimit, Refused
from layout_core.art.render import Alpha, Reference, picture
from layout_core.art.svg import Walked, Walker
from layout_core.art.svg_fonts import (
    font_notes,
    has_text,
    settle_families,
    settle_shorthands,
    text_files,
    without_missing,
)
from layout_core.art.svg_guards import check_dashes, check_numbers, check_patterns, check_references
from layout_core.art.svg_markers import settle_references
from layout_core.art.svg_recolour import recoloured
from layout_core.art.svg_shapes import SHAPES, has_arc, is_stroked_wrongly
from layout_core.art.verify import check_scale, darkness, disagreement
from layout_core.art.viewport import PX_PER_IN, Box, Page, page_of
from layout_core.progress import Progress, no_progress, within

COMPARING = "Comparing with a reference rendering"
_UNSTATED_PX = 4000.0
"""How far a drawing that states no size is looked at when only a rendering can tell its ink."""
_MANY_PIXELS = f"holds pictures of more than {caps.EMBEDDED_PIXELS / 1e6:.0f} megapixels"
_PICTURE_NOTE = (
    "A picture inside counts as ink wherever it is opaque; add the picture itself if that is wrong."
)
_STROKE_NOTE = (
    "Lines of fixed width, or dashes measured by the length of their path, may have come out wrong."
)


@dataclass(slots=True)
class _Document:
    """A cleaned drawing and what was read off its root."""

    root: etree._Element
    page: Page
    cascade: Cascade
    ids: dict[str, etree._Element]
    notes: list[str]
    font_files: tuple[str, ...]
    asked: Asked = field(default_factory=Asked)
    tolerance_px: float = 0.0


def read_svg(data: bytes, progress: Progress = no_progress, asked: Asked = Asked()) -> Converted:  # noqa: B008  # frozen
    """The drawing's ink in mm at natural size. Raises Refused, or OverLimit for the too large or harmful."""
    progress(0.0, "Reading the drawing")
    document = _opened(data)
    document.asked = asked
    try:
        return _read(document, progress)
    except Refused as refusal:
        missing = missing_fonts(document.notes)
        if str(refusal) == NOTHING and missing:
            raise Refused(only_missing(missing)) from refusal
        raise


def _read(document: _Document, progress: Progress) -> Converted:
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
    settle_references(root)
    settle_shorthands(root)
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
    check_patterns(root, ids)
    cascade = Cascade(root)
    missing = without_missing(root, cascade)
    notes += missing + font_notes(root, cascade)
    check_dashes(root, cascade, page.user_width, page.user_height)
    files = text_files(root, cascade)
    settle_families(root, cascade)
    return _Document(root, page, cascade, ids, notes, files)


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
    walker = Walker(document.cascade, document.page, tolerance_px, document.ids, document.asked.threshold)
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
    page = document.page
    if not everything:
        return None
    sheet = (0.0, 0.0, page.width_px, page.height_px)
    try:
        whole = flat_ink(everything, document.asked, sheet, document.tolerance_px)
        checked = whole.shape
        if walked.beyond_check:
            same = replace(document.asked, choice=whole.ink_map, wants_layers=False)
            rest = walked.painted
            checked = flat_ink(rest, same, sheet, document.tolerance_px).shape if rest else EMPTY
    except NeedsRaster:
        return None
    progress(0.4, COMPARING)
    if not _agrees(document, walked, checked, whole.ink_map):
        return None
    notes = list(document.notes)
    if walked.has_see_through:
        notes.append(see_through_note(document.asked.threshold))
    return _converted(document, whole, "vector", notes)


def _agrees(document: _Document, walked: Walked, checked: BaseGeometry, ink_map: InkMap) -> bool:
    """Whether a reference rendering shows the same ink; with knock-outs, the drawing in black and white."""
    reference = _reference(document, hides_wrong=bool(walked.beyond_check))
    if ink_map.has_knock_out:
        twin = recoloured(document.root, document.cascade, document.ids.get, ink_map)
        reference = replace(reference, text=safe_xml.serialised(twin))
    page = document.page
    for box in check_boxes(page.width_px, page.height_px, checked):
        scale = check_scale(box[2], box[3], walked.thinnest_px)
        drawn = picture(reference, box, scale)
        theirs = darkness(drawn) if ink_map.has_knock_out else drawn[..., 3]
        if disagreement(checked, reference, theirs, box, scale, document.asked.threshold):
            return False
    return True


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
                _hide(element, "stroke")
            if has_arc(element):
                _hide(element, "marker-mid")
    fonts = document.font_files if has_text(root) else None
    return Reference(safe_xml.serialised(root), page.width_px, page.height_px, fonts)


def _hide(element: etree._Element, name: str) -> None:
    style = str(element.get("style") or "").rstrip("; ")
    element.set("style", f"{style}{'; ' if style else ''}{name}:none !important")


def _rendered(document: _Document, walked: Walked | None, reason: str, progress: Progress) -> Converted:
    """The outline of a fine rendering of the drawing."""
    reference = _reference(document, hides_wrong=bool(walked and walked.beyond_check))
    page = document.page

    def render(box: Box, scale: float) -> Alpha:
        return picture(reference, box, scale)

    ink = traced_ink(render, page.width_px, page.height_px, document.asked, progress)
    beyond = [item.shape for item in walked.beyond_check] if walked else []
    if ink is None and not beyond:
        raise Refused(NOTHING)
    if walked is not None and beyond:
        of_beyond = Ink(joined(beyond), everything_map(walked.beyond_check, document.asked.threshold), None)
        ink = of_beyond if ink is None else replace(ink, shape=joined([ink.shape, of_beyond.shape]))
    if ink is None:
        raise Refused(NOTHING)
    notes = [*document.notes, f"Holds {reason}; its shapes were traced from a fine rendering."]
    if walked is None and any(
        is_stroked_wrongly(element, document.cascade.declared(element)) for element in document.root.iter()
    ):
        notes.append(_STROKE_NOTE)
    if reason == "a picture":
        notes.append(_PICTURE_NOTE)
    return _converted(document, ink, "raster", notes)


def _converted(document: _Document, ink: Ink, route: Route, notes: list[str]) -> Converted:
    page = document.page
    page_px = (page.width_px, page.height_px)
    return as_converted("svg", ink, document.asked, page_px, route, notes, size_known=page.size_known)
