"""Paints large SVGs in a process of its own.

The renderer holds the interpreter's lock while it paints: seconds in which a window would stand still
and nothing else could be made.
"""

import os
from collections.abc import Sequence

import resvg_py

from layout_core.art.pipe import BrokenFrame, read_frame, write_frame
from layout_core.art.sandbox import WorkerMissing
from layout_core.outputs.beside import Beside
from layout_core.progress import Progress, no_progress

LARGE_PX = 3_000_000
"""Smaller pictures are painted here: a process takes a quarter of a second to start."""
_BOOT = (
    "import json, sys; sys.path[:] = json.loads(sys.argv[1]); "
    "from layout_core.outputs.painter import serve; serve()"
)


def painted(
    svg: str, pixels: int, fonts: Sequence[str], family: str, progress: Progress = no_progress
) -> bytes:
    """The SVG as PNG bytes, set in the font files given and no others; so many pixels are expected.

    What `progress` raises ends the painting.
    """
    if pixels >= LARGE_PX:
        try:
            return _painted_apart(svg, fonts, family, progress)
        except (WorkerMissing, BrokenFrame, OSError, ValueError):
            progress(0.5, "Painting")  # no second process may be had, or it died: then here
    return _paint(svg, fonts, family)


def serve() -> None:
    """Paint the one picture that standard input asks for."""
    requests, replies = os.fdopen(os.dup(0), "rb"), os.fdopen(os.dup(1), "wb")
    header, (svg,) = read_frame(requests)
    write_frame(replies, {}, [_paint(svg.decode(), header["fonts"], header["family"])])


def _paint(svg: str, fonts: Sequence[str], family: str) -> bytes:
    return bytes(
        resvg_py.svg_to_bytes(
            svg_string=svg, dpi=96.0, skip_system_fonts=True, font_files=list(fonts), font_family=family
        )
    )


def _painted_apart(svg: str, fonts: Sequence[str], family: str, progress: Progress) -> bytes:
    with Beside(_BOOT, {"fonts": list(fonts), "family": family}, [svg.encode()]) as painter:
        return painter.answer(progress, 0.5, "Painting")[1][0]
