"""Strokes become outlines with SVG's caps, joins, miter limit and dashes, in the shape's own frame."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pathops

from layout_core.art.affine import Points
from layout_core.art.curves import Contour, Cubic, Outline, contour, flattened

_CAPS = {"butt": pathops.LineCap.BUTT_CAP, "round": pathops.LineCap.ROUND_CAP,
         "square": pathops.LineCap.SQUARE_CAP}  # fmt: skip
_JOINS = {"miter": pathops.LineJoin.MITER_JOIN, "round": pathops.LineJoin.ROUND_JOIN,
          "bevel": pathops.LineJoin.BEVEL_JOIN}  # fmt: skip
_UNITS_PER_TOLERANCE = 4.0
"""Skia's stroker is right to a quarter of its own unit."""


@dataclass(frozen=True, slots=True)
class Pen:
    """How a shape is stroked; lengths in the shape's own user units, an empty `dashes` for a solid line."""

    width: float
    cap: str = "butt"
    join: str = "miter"
    miter_limit: float = 4.0
    dashes: tuple[float, ...] = ()
    dash_offset: float = 0.0


def path_length(outline: Outline, tolerance: float) -> float:
    """The total length of all subpaths in user units."""
    steps = (np.diff(flattened(part, (1, 0, 0, 1, 0, 0), tolerance), axis=0) for part in outline.contours)
    return float(sum(np.hypot(step[:, 0], step[:, 1]).sum() for step in steps))


def stroked(outline: Outline, pen: Pen, tolerance: float) -> Outline:
    """The outline of the stroke in user units, to be filled nonzero; tolerance in user units too."""
    scale = 1.0 / (_UNITS_PER_TOLERANCE * tolerance)
    path = pathops.Path()
    for part in outline.contours:
        _trace(path, part, scale)
    dashes = tuple(length * scale for length in pen.dashes)
    path.stroke(
        pen.width * scale,
        _CAPS.get(pen.cap, pathops.LineCap.BUTT_CAP),
        _JOINS.get(pen.join, pathops.LineJoin.MITER_JOIN),
        pen.miter_limit,
        dashes if len(dashes) % 2 == 0 else dashes * 2,
        pen.dash_offset * scale,
    )
    path.convertConicsToQuads(1.0 / _UNITS_PER_TOLERANCE)
    return Outline(tuple(_contours(path, 1.0 / scale)))


def _trace(path: pathops.Path, part: Contour, scale: float) -> None:
    cubics: Points = part.cubics * scale
    path.moveTo(*cubics[0, 0])
    for cubic, is_line in zip(cubics, part.is_line, strict=True):
        if is_line:
            path.lineTo(*cubic[3])
        else:
            path.cubicTo(*cubic[1:].ravel())
    if part.is_closed:
        path.close()


def _contours(path: pathops.Path, scale: float) -> list[Contour]:
    """The path's subpaths, read by verb: `segments` loses the start of closed quadratic ones (0.9.2)."""
    found: list[Contour] = []
    cubics: list[Cubic] = []
    lines: list[bool] = []
    at = (0.0, 0.0)
    for verb, raw in path:
        points = [(x * scale, y * scale) for x, y in raw]
        if verb in (pathops.PathVerb.MOVE, pathops.PathVerb.CLOSE):
            if cubics:
                found.append(contour(cubics, lines, is_closed=True))
            cubics, lines = [], []
            at = points[0] if points else at
            continue
        cubics.append(_cubic(at, points))
        lines.append(verb == pathops.PathVerb.LINE)
        at = points[-1]
    if cubics:
        found.append(contour(cubics, lines, is_closed=True))
    return found


def _cubic(at: tuple[float, float], points: Sequence[tuple[float, float]]) -> Cubic:
    end = points[-1]
    if len(points) == 3:
        return at, points[0], points[1], end
    middle = points[0] if len(points) == 2 else ((at[0] + end[0]) / 2, (at[1] + end[1]) / 2)
    first = (at[0] + 2 * (middle[0] - at[0]) / 3, at[1] + 2 * (middle[1] - at[1]) / 3)
    second = (end[0] + 2 * (middle[0] - end[0]) / 3, end[1] + 2 * (middle[1] - end[1]) / 3)
    return at, first, second, end
