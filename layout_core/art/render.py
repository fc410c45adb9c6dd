"""Asks the reference renderer (resvg) for the coverage of a drawing, at any scale and cut-out."""

import io
import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import resvg_py
from numpy.typing import NDArray
from PIL import Image

from layout_core.art.font_match import usual_faces
from layout_core.art.refusal import OverLimit, Refused
from layout_core.art.viewport import Box

Alpha = NDArray[np.uint8]
_DPI = 96.0
"""resvg-py 0.5 takes every physical length for zero unless it is told."""
_SLACK_PX = 1e-6


@dataclass(frozen=True, slots=True)
class Reference:
    """A cleaned drawing as text, its root `width_px` x `height_px` CSS pixels, for the renderer only.

    `font_files` are the fonts its text may be drawn with, besides the one that comes along; None when it has
    no text.
    """

    text: str
    width_px: float
    height_px: float
    font_files: tuple[str, ...] | None = None


def coverage(reference: Reference, box: Box, scale: float) -> Alpha:
    """The alpha of the cut-out (x, y, width, height in page px), `scale` samples to the px.

    Drawn on a canvas of whole pixels: the renderer rounds fractional ones and so distorts them. Raises
    Refused when it cannot draw, OverLimit when the drawing repeats its parts beyond the renderer's own limit.
    """
    with _drawn(reference, box, scale) as image:
        return np.asarray(image.convert("RGBA").getchannel("A"))


def picture(reference: Reference, box: Box, scale: float) -> Alpha:
    """Red, green, blue and alpha of the same cut-out; raises as `coverage` does."""
    with _drawn(reference, box, scale) as image:
        return np.asarray(image.convert("RGBA"))


def _drawn(reference: Reference, box: Box, scale: float) -> Image.Image:
    x, y = box[:2]
    columns = max(1, math.ceil(box[2] * scale - _SLACK_PX))
    rows = max(1, math.ceil(box[3] * scale - _SLACK_PX))
    text = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{columns}" height="{rows}" '
        f'viewBox="{x!r} {y!r} {columns / scale!r} {rows / scale!r}" style="opacity:1;transform:none;'
        f'clip-path:none;mask:none;filter:none;display:inline">{reference.text}</svg>'
    )
    try:
        png = resvg_py.svg_to_bytes(svg_string=text, dpi=_DPI, **_fonts(reference.font_files))
    except ValueError as error:
        if "limit" in str(error):
            raise OverLimit("repeats its parts without end; it may be harmful") from error
        raise Refused(f"cannot be drawn ({str(error)[:80]})") from error
    return Image.open(io.BytesIO(png), formats=("PNG",))


def _fonts(files: tuple[str, ...] | None) -> dict[str, Any]:
    if files is None:
        return {"skip_system_fonts": True}
    names = dict.fromkeys(
        ("font_family", "serif_family", "sans_serif_family", "cursive_family", "fantasy_family",
         "monospace_family"), "Manrope",
    )  # fmt: skip
    usual = (str(face.path) for face in usual_faces())
    return {"skip_system_fonts": True, "font_files": list(dict.fromkeys((*usual, *files))), **names}
