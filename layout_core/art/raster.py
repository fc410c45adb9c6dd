"""A PNG or JPEG becomes one-ink shapes: its coverage, read without Pillow's known mistakes, is traced."""

import io
import warnings
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from PIL import Image

from layout_core.art import caps
from layout_core.art.converted import Converted
from layout_core.art.dot_screen import dot_screen_count
from layout_core.art.ink_layers import stretched
from layout_core.art.ink_map import InkMap, prints_of
from layout_core.art.ink_route import SENSIBLE, Asked
from layout_core.art.ink_words import NOTHING, SOFT, ink_notes, screen_note, soft_note, why_empty
from layout_core.art.picture_inks import PictureInks, picture_inks, picture_layers, printing
from layout_core.art.refusal import OverLimit, Refused
from layout_core.art.sniff import Kind
from layout_core.art.trace import traced
from layout_core.geometry.outline import valid_union
from layout_core.progress import Progress, no_progress, within
from layout_core.units import MM_PER_IN

Alpha = NDArray[np.uint8]
_ASSUMED_DPI = 300.0
_LEAST_DPI, _MOST_DPI = 10.0, 10_000.0
_SEE_THROUGH_SHARE = 0.01
"""A picture counts as cut out when this share of its pixels is less than half opaque."""
_INK_SHARE = 0.002
_LEAST_CONTRAST = 24
_DEPTH_AT = 24
"""Where a PNG states its bit depth. Source: ISO/IEC 15948 section 11.2.2 (IHDR comes first)."""
_ORIENTATION = 0x0112
_X_RESOLUTION = 0x011A
_SIDEWAYS = frozenset({5, 6, 7, 8})
"""EXIF orientations that swap width and height. Source: EXIF 2.3 (JEITA CP-3451C), tag 0x0112."""


@dataclass(frozen=True, slots=True)
class _Picture:
    """A decoded picture, turned upright; dpi is None when the file states none."""

    rgba: Alpha
    dpi: tuple[float, float] | None
    notes: tuple[str, ...]


def read_picture(
    data: bytes,
    kind: Kind,
    progress: Progress = no_progress,
    asked: Asked = SENSIBLE,
) -> Converted:
    """The picture's ink in mm at natural size. Raises Refused, or OverLimit for what is too large."""
    progress(0.0, "Reading the picture")
    picture = _decoded(data, kind)
    progress(0.3, "Finding its ink")
    is_cut_out = float((picture.rgba[..., 3] < 128).mean()) >= _SEE_THROUGH_SHARE
    inks = picture_inks(picture.rgba, is_cut_out)
    ink_map = inks.ink_map(asked.choice, asked.threshold)
    alpha, ink_note = _coverage(picture.rgba, inks, ink_map)
    shape, specks = traced(alpha, within(progress, 0.4, 1.0), level=255 * asked.threshold)
    if shape.is_empty:
        raise Refused(f"{NOTHING}: {why_empty(ink_map)}")
    x0, _, x1, _ = shape.bounds
    dpi = picture.dpi or (_ASSUMED_DPI, _ASSUMED_DPI)
    per_px = (MM_PER_IN / dpi[0], MM_PER_IN / dpi[1])
    outline = valid_union(shapely.transform(shape, lambda xy: xy * per_px))
    notes = [*picture.notes, ink_note]
    if not ink_note:
        notes += ink_notes(ink_map, inks.ground)
    if inks.soft_share > SOFT:
        notes.append(soft_note(inks.soft_share, asked.threshold))
    dots = dot_screen_count(outline)
    if dots:
        notes.append(screen_note(dots))
    if specks:
        notes.append(f"{specks:,} specks smaller than one pixel were dropped.")
    layers = None
    if asked.wants_layers:
        layers = stretched(picture_layers(picture.rgba, inks, ink_map), per_px)
    return Converted(
        kind,
        outline,
        picture.dpi is not None,
        "raster",
        x1 - x0,
        tuple(n for n in notes if n),
        ink_map,
        layers,
    )


def _coverage(rgba: Alpha, inks: PictureInks, ink_map: InkMap) -> tuple[Alpha, str]:
    """How much of each pixel prints (0 to 255), and a sentence where a ground of one colour was left out."""
    knocked = [swatch.colour for swatch in ink_map.swatches if not swatch.prints]
    if knocked == ([] if inks.ground is None else [inks.ground]):
        return ink_coverage(rgba)
    return printing(rgba, inks.seeds, prints_of(ink_map, inks.seeds)), ""


def _decoded(data: bytes, kind: Kind) -> _Picture:
    """The upright pixels. Source of the order of steps: ISO/IEC 15948 section 11.3.2 (tRNS), EXIF 2.3."""
    formats = ("PNG",) if kind == "png" else ("JPEG",)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(io.BytesIO(data), formats=formats) as image:
                pixels = image.width * image.height
                if pixels > caps.PIXELS:
                    raise OverLimit(
                        f"has {pixels / 1e6:,.0f} megapixels; the limit is {caps.PIXELS / 1e6:.0f}"
                    )
                image.load()
                return _upright(image, data[_DEPTH_AT] if kind == "png" else 8)
    except Image.DecompressionBombError as error:
        raise OverLimit(f"has more than {caps.PIXELS / 1e6:.0f} megapixels") from error
    except (OSError, SyntaxError, ValueError, EOFError) as error:
        name = "PNG" if kind == "png" else "JPEG"
        raise Refused(f"is a damaged {name} file; ask for it again") from error


def _upright(image: Image.Image, depth: int) -> _Picture:
    notes = []
    if getattr(image, "is_animated", False):
        notes.append("The file is animated; its first picture is used.")
    orientation = int(image.getexif().get(_ORIENTATION, 1))
    dpi = _stated_dpi(image)
    if dpi and orientation in _SIDEWAYS:
        dpi = (dpi[1], dpi[0])
    return _Picture(_turned(_rgba(image, depth), orientation), dpi, tuple(notes))


def _turned(rgba: Alpha, orientation: int) -> Alpha:
    """The pixels as they were seen. Source: EXIF 2.3 (JEITA CP-3451C), tag 0x0112."""
    if orientation in _SIDEWAYS:
        rgba = rgba.swapaxes(0, 1)
    if orientation in (2, 3, 6, 7):
        rgba = rgba[:, ::-1]
    if orientation in (3, 4, 7, 8):
        rgba = rgba[::-1]
    return rgba


def _stated_dpi(image: Image.Image) -> tuple[float, float] | None:
    if image.format == "JPEG" and not _states_resolution(image):
        return None
    stated: Any = image.info.get("dpi")
    try:
        across, down = float(stated[0]), float(stated[1])
    except (TypeError, ValueError, IndexError, ZeroDivisionError):
        return None
    if not (_LEAST_DPI <= across <= _MOST_DPI and _LEAST_DPI <= down <= _MOST_DPI):
        return None
    return across, down


def _states_resolution(image: Image.Image) -> bool:
    """Whether the file itself says so: Pillow 13 makes up 72 dpi for camera data without a resolution."""
    return image.info.get("jfif_unit") in (1, 2) or _X_RESOLUTION in image.getexif()


def _rgba(image: Image.Image, depth: int) -> Alpha:
    """Eight bits a channel; mends what Pillow's own conversion gets wrong (13.0: 14 of 162 PngSuite files).

    Source: ISO/IEC 15948 sections 13.12 (rescaling) and 11.3.2.1 (tRNS is in the file's own depth).
    """
    key = image.info.get("transparency")
    if image.mode.startswith("I"):
        raw = np.asarray(image).astype(np.int64)
        return _grey_with_key(np.clip(raw // 257, 0, 255).astype(np.uint8), raw, key)
    if image.mode in ("1", "L") and isinstance(key, int):
        grey = np.asarray(image.convert("L"))
        return _grey_with_key(grey, grey.astype(np.int64), key * 255 // ((1 << min(depth, 8)) - 1))
    return np.asarray(image.convert("RGBA"))


def _grey_with_key(grey: Alpha, raw: NDArray[np.int64], key: object) -> Alpha:
    alpha = np.full(grey.shape, 255, dtype=np.uint8)
    if isinstance(key, int):
        alpha[raw == key] = 0
    return np.dstack((grey, grey, grey, alpha))


def ink_coverage(rgba: Alpha) -> tuple[Alpha, str]:
    """How much of each pixel is ink (0 to 255), and a sentence on how that was told.

    A cut-out picture is told by its alpha; any other by how far each pixel is from the border's colour.
    """
    alpha = rgba[..., 3]
    if float((alpha < 128).mean()) >= _SEE_THROUGH_SHARE:
        return np.ascontiguousarray(alpha), ""
    border = np.concatenate((rgba[0], rgba[-1], rgba[:, 0], rgba[:, -1]))[:, :3]
    ground = np.median(border, axis=0).astype(np.int16)
    differ = np.zeros(alpha.shape, dtype=np.uint8)
    for channel in range(3):
        apart = np.abs(rgba[..., channel].astype(np.int16) - ground[channel]).astype(np.uint8)
        np.maximum(differ, apart, out=differ)
    level = _ink_level(differ)
    if level < _LEAST_CONTRAST:
        raise Refused("is blank: nothing in it stands out from its border")
    table = np.minimum(255.0, np.arange(256) * (255.0 / level)).round().astype(np.uint8)
    ink = table[differ]
    if alpha.min() < 255:
        ink = (ink * (alpha / np.float32(255.0))).round().astype(np.uint8)
    colour = "#{:02x}{:02x}{:02x}".format(*ground.tolist())
    note = f"Has no see-through ground: everything unlike the colour of its border ({colour}) counts as ink."
    return ink, note


def _ink_level(differ: Alpha) -> int:
    """The difference that full ink shows: the largest that a small share of the pixels reaches."""
    counts = np.array(Image.fromarray(differ).histogram())
    reaching = np.cumsum(counts[::-1])[::-1]
    least = max(4, int(_INK_SHARE * differ.size * 0.25))
    return int(np.flatnonzero(reaching >= least).max(initial=0))
