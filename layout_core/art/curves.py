"""Outlines as cubic Bézier segments: from path data and basic shapes, and flattened within a tolerance."""

import math
from collections.abc import Iterable
from dataclasses import dataclass, field, replace

import numpy as np
from svgelements.svgelements import SVGLexicalParser

from layout_core.art import caps
from layout_core.art.affine import IDENTITY, Affine, Points, mapped
from layout_core.art.refusal import OverLimit

Pair = tuple[float, float]
Cubic = tuple[Pair, Pair, Pair, Pair]
_NOTHING = 1e-12
"""Radii and distances below it count as none: their squares would run into zero."""


@dataclass(frozen=True, slots=True)
class Contour:
    """One subpath: `cubics` is (segments, 4, 2), `is_line` says which segments are straight.

    `inner` holds the segments whose ends are no vertices of the path as written: those inside an arc.
    """

    cubics: Points
    is_line: tuple[bool, ...]
    is_closed: bool
    inner: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class Outline:
    """The subpaths of one shape, and whether its path data could be read to the end."""

    contours: tuple[Contour, ...]
    is_whole: bool = True


@dataclass(slots=True)
class _Point:
    x: float
    y: float


@dataclass(slots=True)
class _Pen:
    """Takes the commands of svgelements' path lexer; keeps absolute cubics.

    The smooth commands are resolved here because svgelements 1.9.6 mirrors the control point of a curve of
    the other family, where SVG 1.1 sections 8.3.6 and 8.3.7 say to use the current point.
    """

    contours: list[Contour] = field(default_factory=list)
    _cubics: list[Cubic] = field(default_factory=list)
    _lines: list[bool] = field(default_factory=list)
    _inner: set[int] = field(default_factory=set)
    current_point: _Point | None = None
    _start: Pair = (0.0, 0.0)
    _mirror: tuple[str, Pair] | None = None
    _is_open: bool = False

    def start(self) -> None: ...

    def end(self) -> None:
        self._finish(is_closed=False)

    @property
    def _at(self) -> Pair:
        if self.current_point is None:
            raise ValueError("a path must begin with a move")
        return self.current_point.x, self.current_point.y

    def move(self, *to: Pair, relative: bool = False) -> None:
        self._finish(is_closed=False)
        self._start = to[0]
        self._go(to[0])
        self._is_open = True

    def line(self, *to: Pair | str, relative: bool = False) -> None:
        target = self._target(to[0])
        self._add(_straight(self._at, target), is_line=True)
        self._close_if_named(to[0])

    def horizontal(self, *x: float, relative: bool = False) -> None:
        at = self._at
        self._add(_straight(at, (at[0] * relative + x[0], at[1])), is_line=True)

    def vertical(self, *y: float, relative: bool = False) -> None:
        at = self._at
        self._add(_straight(at, (at[0], at[1] * relative + y[0])), is_line=True)

    def cubic(self, *points: Pair | str, relative: bool = False) -> None:
        first, second, end = (self._target(point) for point in points)
        self._add((self._at, first, second, end))
        self._mirror = ("cubic", second)
        self._close_if_named(points[-1])

    def smooth_cubic(self, *points: Pair | str, relative: bool = False) -> None:
        second, end = (self._target(point) for point in points)
        self._add((self._at, self._mirrored("cubic"), second, end))
        self._mirror = ("cubic", second)
        self._close_if_named(points[-1])

    def quad(self, *points: Pair | str, relative: bool = False) -> None:
        control, end = (self._target(point) for point in points)
        self._add_quadratic(control, end)
        self._close_if_named(points[-1])

    def smooth_quad(self, *points: Pair | str, relative: bool = False) -> None:
        self._add_quadratic(self._mirrored("quad"), self._target(points[0]))
        self._close_if_named(points[0])

    def arc(self, *values: float | bool | Pair | str, relative: bool = False) -> None:
        rx, ry, turn_deg, is_large, is_sweep, to = values
        end = self._target(to)  # type: ignore[arg-type]
        if not isinstance(rx, float) or not isinstance(ry, float) or not isinstance(turn_deg, float):
            raise ValueError("an arc needs numbers")
        first = len(self._cubics)
        for cubic in arc_cubics(self._at, abs(rx), abs(ry), turn_deg, bool(is_large), bool(is_sweep), end):
            self._add(cubic)
        self._inner.update(range(first, len(self._cubics) - 1))
        self._mirror = None
        self._close_if_named(to)

    def closed(self, relative: bool = False) -> None:
        at = self._at
        if at != self._start:
            self._add(_straight(at, self._start), is_line=True)
        self._finish(is_closed=True)
        self._go(self._start)

    def _close_if_named(self, point: object) -> None:
        if isinstance(point, str):
            self._finish(is_closed=True)
            self._go(self._start)

    def _target(self, point: Pair | str | None) -> Pair:
        if point is None:
            raise ValueError("the path breaks off inside a command")
        return self._start if isinstance(point, str) else point

    def _mirrored(self, family: str) -> Pair:
        at = self._at
        if self._mirror is None or self._mirror[0] != family:
            return at
        control = self._mirror[1]
        return 2 * at[0] - control[0], 2 * at[1] - control[1]

    def _add_quadratic(self, control: Pair, end: Pair) -> None:
        at = self._at
        first = (at[0] + 2 * (control[0] - at[0]) / 3, at[1] + 2 * (control[1] - at[1]) / 3)
        second = (end[0] + 2 * (control[0] - end[0]) / 3, end[1] + 2 * (control[1] - end[1]) / 3)
        self._add((at, first, second, end))
        self._mirror = ("quad", control)

    def _add(self, cubic: Cubic, *, is_line: bool = False) -> None:
        self._cubics.append(cubic)
        self._lines.append(is_line)
        self._is_open = True
        self._go(cubic[3])

    def _go(self, point: Pair) -> None:
        self.current_point = _Point(*point)
        self._mirror = None

    def _finish(self, *, is_closed: bool) -> None:
        if self._cubics:
            made = contour(self._cubics, self._lines, is_closed=is_closed)
            self.contours.append(replace(made, inner=frozenset(self._inner)) if self._inner else made)
        elif is_closed and self._is_open:
            self.contours.append(contour([_straight(self._start, self._start)], [True], is_closed=True))
        self._cubics, self._lines, self._inner, self._is_open = [], [], set(), False


def contour(cubics: list[Cubic], is_line: list[bool], *, is_closed: bool) -> Contour:
    """A subpath of the given segments, each beginning where the one before ends."""
    return Contour(np.array(cubics, dtype=np.float64).reshape(-1, 4, 2), tuple(is_line), is_closed)


def _straight(start: Pair, end: Pair) -> Cubic:
    dx, dy = (end[0] - start[0]) / 3, (end[1] - start[1]) / 3
    return start, (start[0] + dx, start[1] + dy), (end[0] - dx, end[1] - dy), end


def path_outline(data: str) -> Outline:
    """The subpaths of SVG path data; what follows a mistake is left out, as SVG 1.1 section F.2 asks."""
    pen = _Pen()
    lexer = SVGLexicalParser()
    is_whole = True
    try:
        lexer.parse(pen, data)
        is_whole = lexer.pos >= lexer.limit
    except (ValueError, TypeError, IndexError, OverflowError, ZeroDivisionError):
        is_whole = False
    pen.end()
    finite = tuple(part for part in pen.contours if np.isfinite(part.cubics).all())
    return Outline(finite, is_whole and len(finite) == len(pen.contours))


def arc_cubics(
    start: Pair, rx: float, ry: float, turn_deg: float, is_large: bool, is_sweep: bool, end: Pair
) -> list[Cubic]:
    """An elliptical arc as cubics of at most 45 degrees each (5e-6 of the radius off the true arc).

    Source: SVG 1.1 (2011) appendix F.6.5 and F.6.6, endpoint to centre form.
    """
    if start == end:
        return []
    if min(rx, ry) < _NOTHING or math.dist(start, end) < _NOTHING:
        return [_straight(start, end)]
    phi = math.radians(turn_deg)
    cos, sin = math.cos(phi), math.sin(phi)
    half_x, half_y = (start[0] - end[0]) / 2, (start[1] - end[1]) / 2
    x1, y1 = cos * half_x + sin * half_y, -sin * half_x + cos * half_y
    grow = math.sqrt(max(1.0, (x1 / rx) ** 2 + (y1 / ry) ** 2))
    rx, ry = rx * grow, ry * grow
    below = (rx * y1) ** 2 + (ry * x1) ** 2
    root = math.sqrt(max(0.0, ((rx * ry) ** 2 - below) / below))
    root = root if is_large != is_sweep else -root
    cx1, cy1 = root * rx * y1 / ry, -root * ry * x1 / rx
    centre = (
        cos * cx1 - sin * cy1 + (start[0] + end[0]) / 2,
        sin * cx1 + cos * cy1 + (start[1] + end[1]) / 2,
    )
    theta = math.atan2((y1 - cy1) / ry, (x1 - cx1) / rx)
    sweep = math.atan2((-y1 - cy1) / ry, (-x1 - cx1) / rx) - theta
    if is_sweep and sweep < 0:
        sweep += 2 * math.pi
    elif not is_sweep and sweep > 0:
        sweep -= 2 * math.pi
    frame: Affine = (rx * cos, rx * sin, -ry * sin, ry * cos, centre[0], centre[1])
    cubics = _unit_arc(theta, sweep, frame)
    cubics[0] = (start, *cubics[0][1:])
    cubics[-1] = (*cubics[-1][:3], end)
    return cubics


def _unit_arc(theta: float, sweep: float, frame: Affine) -> list[Cubic]:
    """The arc of the unit circle from theta over sweep (radians), mapped by frame."""
    count = max(1, math.ceil(abs(sweep) / (math.pi / 4) - 1e-9))
    step = sweep / count
    reach = 4 / 3 * math.tan(step / 4)
    angles = theta + step * np.arange(count + 1)
    on = np.stack((np.cos(angles), np.sin(angles)), axis=-1)
    along = np.stack((-np.sin(angles), np.cos(angles)), axis=-1) * reach
    parts = np.stack((on[:-1], on[:-1] + along[:-1], on[1:] - along[1:], on[1:]), axis=1)
    return [tuple((float(x), float(y)) for x, y in part) for part in mapped(parts, frame)]  # type: ignore[misc]


def ellipse_outline(cx: float, cy: float, rx: float, ry: float) -> Outline:
    """A closed ellipse that begins at its rightmost point and runs clockwise as seen (y down)."""
    cubics = _unit_arc(0.0, 2 * math.pi, (rx, 0.0, 0.0, ry, cx, cy))
    return Outline((contour(cubics, [False] * len(cubics), is_closed=True),))


def rect_outline(x: float, y: float, width: float, height: float, rx: float, ry: float) -> Outline:
    """A closed rectangle, its corners rounded by the given radii. Source: SVG 1.1 section 9.2."""
    if rx <= 0 or ry <= 0:
        return polygon_outline([(x, y), (x + width, y), (x + width, y + height), (x, y + height)])
    rx, ry = min(rx, width / 2), min(ry, height / 2)
    right, bottom = x + width, y + height
    corners = [
        ((x + rx, y), (right - rx, y), (right, y + ry)),
        ((right, y + ry), (right, bottom - ry), (right - rx, bottom)),
        ((right - rx, bottom), (x + rx, bottom), (x, bottom - ry)),
        ((x, bottom - ry), (x, y + ry), (x + rx, y)),
    ]
    cubics: list[Cubic] = []
    lines: list[bool] = []
    for begin, turn, end in corners:
        if begin != turn:
            cubics.append(_straight(begin, turn))
            lines.append(True)
        arc = arc_cubics(turn, rx, ry, 0.0, False, True, end)
        cubics.extend(arc)
        lines.extend([False] * len(arc))
    return Outline((contour(cubics, lines, is_closed=True),))


def polygon_outline(points: list[Pair], *, is_closed: bool = True) -> Outline:
    """Straight segments through the points, closed unless said otherwise."""
    if not points:
        return Outline(())
    ends = [*points[1:], points[0]] if is_closed else points[1:]
    cubics = [_straight(start, end) for start, end in zip(points, ends, strict=False)]
    if not cubics:
        return Outline(())
    return Outline((contour(cubics, [True] * len(cubics), is_closed=is_closed),))


def flattened(part: Contour, affine: Affine, tolerance: float) -> Points:
    """The subpath's corners (n, 2) under the map, within tolerance of the curve in the mapped frame.

    Wang's bound gives the number of chords of each cubic: sqrt(3/4 * second difference / tolerance).
    Source: G. Wang, 1984, as given by Sederberg, Computer Aided Geometric Design, section 10.6 (from memory).
    """
    cubics = mapped(part.cubics, affine)
    if not np.isfinite(cubics).all():
        raise OverLimit("is stretched beyond any size that can be drawn")
    if all(part.is_line):
        return np.concatenate((cubics[:, 0], cubics[-1:, 3]))
    bend = np.abs(np.diff(cubics, n=2, axis=1))
    deviation = np.hypot(bend[..., 0], bend[..., 1]).max(axis=1)
    chords = np.maximum(1, np.ceil(np.sqrt(0.75 * deviation / tolerance))).astype(np.int64)
    chords[np.asarray(part.is_line)] = 1
    total = int(chords.sum())
    if total > caps.VERTICES:
        raise OverLimit(f"has more than {caps.VERTICES:,} corners")
    owner = np.repeat(np.arange(len(chords)), chords)
    first = np.cumsum(chords) - chords
    t = ((np.arange(total) - first[owner] + 1) / chords[owner])[:, None]
    p0, p1, p2, p3 = (cubics[owner, i] for i in range(4))
    s = 1 - t
    points = s * s * s * p0 + 3 * s * s * t * p1 + 3 * s * t * t * p2 + t * t * t * p3
    ends = np.cumsum(chords) - 1
    points[ends] = cubics[:, 3]
    return np.concatenate((cubics[:1, 0], points))


def control_bounds(outlines: Iterable[Contour], affine: Affine) -> tuple[float, float, float, float] | None:
    """Bounds of the control points under the map, which hold the curve; None when there is nothing."""
    clouds = [mapped(part.cubics, affine).reshape(-1, 2) for part in outlines]
    if not clouds:
        return None
    cloud = np.concatenate(clouds)
    (x0, y0), (x1, y1) = cloud.min(axis=0), cloud.max(axis=0)
    return float(x0), float(y0), float(x1), float(y1)


def outline_bounds(outline: Outline) -> tuple[float, float, float, float] | None:
    """The box of the outline itself, without its stroke; None when it has no extent."""
    rough = control_bounds(outline.contours, IDENTITY)
    if rough is None or rough[2] <= rough[0] or rough[3] <= rough[1]:
        return None
    fine = max(rough[2] - rough[0], rough[3] - rough[1]) * 1e-5
    points = np.concatenate([flattened(part, IDENTITY, fine) for part in outline.contours])
    (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
    return float(x0), float(y0), float(x1), float(y1)
