"""Renders a drawing to PNG with the bundled typeface alone: the same drawing gives the same bytes."""

import struct
import zlib

from layout_core.outputs.drawing import Drawing
from layout_core.outputs.drawing_svg import to_svg
from layout_core.outputs.painter import painted
from layout_core.outputs.typeface import FAMILY, font_paths
from layout_core.progress import Progress, no_progress
from layout_core.units import MM_PER_IN

_HEAD_END = 33
"""Signature (8 bytes) and IHDR chunk (25). Source: ISO/IEC 15948:2004, sections 5.2 and 11.2.2."""


def to_png(drawing: Drawing, dpi: float = 96.0, progress: Progress = no_progress) -> bytes:
    """The drawing as PNG bytes that state `dpi`; a drawing in px keeps its pixels whatever `dpi` is."""
    scale = 1.0 if drawing.unit == "px" else dpi / MM_PER_IN
    pixels = max(1, round(drawing.width * scale)), max(1, round(drawing.height * scale))
    svg = to_svg(drawing, pixels)
    return _with_resolution(painted(svg, pixels[0] * pixels[1], font_paths(), FAMILY, progress), dpi)


def _with_resolution(png: bytes, dpi: float) -> bytes:
    """The PNG with a pHYs chunk right after its head. Source: ISO/IEC 15948:2004, section 11.3.5.3."""
    per_metre = round(dpi * 1000.0 / MM_PER_IN)
    body = b"pHYs" + struct.pack(">IIB", per_metre, per_metre, 1)
    chunk = struct.pack(">I", len(body) - 4) + body + struct.pack(">I", zlib.crc32(body))
    return png[:_HEAD_END] + chunk + png[_HEAD_END:]
