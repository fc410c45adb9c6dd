"""Gathers the exact shapes of everything a PDF page paints, in page pixels and painting order."""

import ctypes
import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import pypdfium2.raw as pdfium
import shapely
from shapely.geometry.base import BaseGeometry

from layout_core.art import caps
from layout_core.art.affine import Affine, after, determinant, greatest_stretch
from layout_core.art.curves import Contour, Cubic, Outline, Pair, contour, flattened
from layout_core.art.fill import EMPTY, Rule, filled
from layout_core.art.ink_layers import Painted
from layout_core.art.lab import Rgb
from layout_core.art.pdf_page import PdfPage
from layout_core.art.refusal import NeedsRaster, OverLimit
from layout_core.art.strokes import Pen, stroked
from layout_core.art.svg_guards import dash_count

_CAPS = {pdfium.FPDF_LINECAP_BUTT: "butt", pdfium.FPDF_LINECAP_ROUND: "round",
         pdfium.FPDF_LINECAP_PROJECTING_SQUARE: "square"}  # fmt: skip
_JOINS = {pdfium.FPDF_LINEJOIN_MITER: "miter", pdfium.FPDF_LINEJOIN_ROUND: "round",
          pdfium.FPDF_LINEJOIN_BEVEL: "bevel"}  # fmt: skip
_MITER_LIMIT = 10.0
"""The default of ISO 32000-1 table 52; PDFium tells no other, so another fails the check of the shapes."""
_DEPTH = 30
_OBSTACLES = {pdfium.FPDF_PAGEOBJ_TEXT: "text", pdfium.FPDF_PAGEOBJ_IMAGE: "a picture",
              pdfium.FPDF_PAGEOBJ_SHADING: "a gradient"}  # fmt: skip
_WHITE: Rgb = (255, 255, 255)

Handle = Any
"""A page object of PDFium, a ctypes pointer."""


@dataclass(frozen=True, slots=True)
class Gathered:
    """What a page paints; `thinnest_px` is the narrowest stroke's width, 0 when nothing is stroked."""

    painted: tuple[Painted, ...]
    has_see_through: bool
    has_hairlines: bool
    thinnest_px: float


@dataclass(slots=True)
class Gatherer:
    """One pass over one page.

    `tolerance_px` is how far a flattened curve may lie from the true one, `threshold` how opaque paint must
    be to count.
    """

    page: PdfPage
    tolerance_px: float
    threshold: float
    _visits: int = 0
    _vertices: int = 0
    _has_see_through: bool = False
    _has_hairlines: bool = False
    _thinnest_px: float = 0.0
    _clips: dict[tuple[Any, ...], BaseGeometry] = field(default_factory=dict)

    def gather(self) -> Gathered:
        """Everything the page paints within its box. Raises NeedsRaster or OverLimit."""
        edge = shapely.box(0, 0, self.page.width_px, self.page.height_px)
        painted = [
            Painted(shape, item.rgb)
            for item in self._within(page_objects(self.page), self.page.to_px, 0)
            if not (shape := _cut(item.shape, edge)).is_empty
        ]
        return Gathered(tuple(painted), self._has_see_through, self._has_hairlines, self._thinnest_px)

    def _within(self, objects: Iterator[Handle], to_px: Affine, depth: int) -> Iterator[Painted]:
        for thing in objects:
            self._visits += 1
            if self._visits > caps.VISITS:
                raise OverLimit(f"draws more than {caps.VISITS:,} things through its forms")
            kind = pdfium.FPDFPageObj_GetType(thing)
            if kind in _OBSTACLES:
                raise NeedsRaster(_OBSTACLES[kind])
            if kind == pdfium.FPDF_PAGEOBJ_FORM:
                if depth >= _DEPTH:
                    raise OverLimit(f"nests its forms deeper than {_DEPTH}")
                inner = self._within(form_objects(thing), after(to_px, _matrix(thing)), depth + 1)
            else:
                inner = self._path(thing, to_px)
            clip = self._clip(thing, to_px)
            for item in inner:
                shape = item.shape if clip is None else _cut(item.shape, clip)
                if not shape.is_empty:
                    yield Painted(shape, item.rgb)

    def _path(self, thing: Handle, to_px: Affine) -> Iterator[Painted]:
        mode, is_stroked = ctypes.c_int(), ctypes.c_int()
        if not pdfium.FPDFPath_GetDrawMode(thing, mode, is_stroked):
            raise NeedsRaster("a path that cannot be read")
        outline = _outline(
            pdfium.FPDFPath_CountSegments(thing), lambda index: pdfium.FPDFPath_GetPathSegment(thing, index)
        )
        own = after(to_px, _matrix(thing))
        if not outline.contours or abs(determinant(own)) < 1e-12:
            return
        if mode.value != pdfium.FPDF_FILLMODE_NONE:
            fill = self._ink(thing, "fill")
            if fill is not None:
                rule: Rule = "evenodd" if mode.value == pdfium.FPDF_FILLMODE_ALTERNATE else "nonzero"
                yield Painted(self._filled(outline, own, rule), fill)
        if is_stroked.value:
            line = self._ink(thing, "stroke")
            if line is not None:
                yield Painted(self._stroke(thing, outline, own), line)

    def _ink(self, thing: Handle, which: str) -> Rgb | None:
        """The paint's colour; None when too little of it shows to count."""
        colour = paint_of(thing, which)
        if colour is None:
            raise NeedsRaster("a paint that cannot be read")
        rgb, alpha = colour
        if rgb == _WHITE and _is_pattern(self.page, thing, which):
            raise NeedsRaster("a pattern")
        self._has_see_through |= 0.01 < alpha < 0.99
        return rgb if alpha >= self.threshold else None

    def _filled(self, outline: Outline, to_px: Affine, rule: Rule) -> BaseGeometry:
        rings = [flattened(part, to_px, self.tolerance_px) for part in outline.contours]
        self._vertices += sum(len(ring) for ring in rings)
        if self._vertices > caps.VERTICES:
            raise OverLimit(f"has more than {caps.VERTICES:,} corners")
        return filled(rings, rule, self.tolerance_px)

    def _stroke(self, thing: Handle, outline: Outline, to_px: Affine) -> BaseGeometry:
        pen = _pen(thing)
        if pen.width <= 0:
            self._has_hairlines = True
            return EMPTY
        dash_count(outline, pen.dashes)
        thin = pen.width * abs(determinant(to_px)) ** 0.5
        self._thinnest_px = min(thin, self._thinnest_px or thin)
        edge = stroked(outline, pen, self.tolerance_px / greatest_stretch(to_px))
        return self._filled(edge, to_px, "nonzero")

    def _clip(self, thing: Handle, to_px: Affine) -> BaseGeometry | None:
        """What the thing's clip paths leave, in page px; None when there are none."""
        clip = pdfium.FPDFPageObj_GetClipPath(thing)
        count = pdfium.FPDFClipPath_CountPaths(clip) if clip else 0
        area: BaseGeometry | None = None
        for number in range(count):
            part = self._clip_path(clip, number, to_px)
            area = part if area is None else shapely.intersection(area, part)
        return area

    def _clip_path(self, clip: Handle, number: int, to_px: Affine) -> BaseGeometry:
        outline = _outline(
            pdfium.FPDFClipPath_CountPathSegments(clip, number),
            lambda index: pdfium.FPDFClipPath_GetPathSegment(clip, number, index),
        )
        key = (to_px, *(part.cubics.tobytes() for part in outline.contours))
        if key not in self._clips:
            # PDFium does not tell by which rule a clip is filled; the check finds those by the other
            self._clips[key] = self._filled(outline, to_px, "nonzero") if outline.contours else EMPTY
        return self._clips[key]


def page_objects(page: PdfPage) -> Iterator[Handle]:
    """The things the page draws, from the first painted to the last."""
    for index in range(pdfium.FPDFPage_CountObjects(page.handle)):
        yield pdfium.FPDFPage_GetObject(page.handle, index)


def form_objects(form: Handle) -> Iterator[Handle]:
    """The things a form draws, in the same order."""
    for index in range(max(0, pdfium.FPDFFormObj_CountObjects(form))):
        yield pdfium.FPDFFormObj_GetObject(form, index)


def paint_of(thing: Handle, which: str) -> tuple[Rgb, float] | None:
    """The colour and opacity (0 to 1) of a path's "fill" or "stroke"; None when PDFium does not tell."""
    ask = pdfium.FPDFPageObj_GetFillColor if which == "fill" else pdfium.FPDFPageObj_GetStrokeColor
    red, green, blue, alpha = (ctypes.c_uint() for _ in range(4))
    if not ask(thing, red, green, blue, alpha):
        return None
    return (red.value & 255, green.value & 255, blue.value & 255), alpha.value / 255.0


def _is_pattern(page: PdfPage, thing: Handle, which: str) -> bool:
    """PDFium tells white for the colour of a pattern, so white is asked twice."""
    ask = (
        pdfium.FPDFPageObj_GetRenderedFillPattern
        if which == "fill"
        else pdfium.FPDFPageObj_GetRenderedStrokePattern
    )
    bitmap = ask(page.document, thing)
    if not bitmap:
        return False
    pdfium.FPDFBitmap_Destroy(bitmap)
    return True


def _matrix(thing: Handle) -> Affine:
    matrix = pdfium.FS_MATRIX()
    if not pdfium.FPDFPageObj_GetMatrix(thing, matrix):
        raise NeedsRaster("a transform that cannot be read")
    numbers = (matrix.a, matrix.b, matrix.c, matrix.d, matrix.e, matrix.f)
    if not all(math.isfinite(number) and abs(number) <= caps.NUMBER for number in numbers):
        raise OverLimit(f"holds a number beyond the limit of {caps.NUMBER:,.0f}")
    return numbers


def _pen(thing: Handle) -> Pen:
    width, phase = ctypes.c_float(), ctypes.c_float()
    pdfium.FPDFPageObj_GetStrokeWidth(thing, width)
    pdfium.FPDFPageObj_GetDashPhase(thing, phase)
    count = max(0, pdfium.FPDFPageObj_GetDashCount(thing))
    lengths = (ctypes.c_float * count)()
    if count:
        pdfium.FPDFPageObj_GetDashArray(thing, lengths, count)
    dashes = tuple(float(length) for length in lengths)
    if not all(math.isfinite(value) for value in (width.value, phase.value, *dashes)):
        raise NeedsRaster("a line that cannot be read")
    if min(dashes, default=0.0) < 0 or sum(dashes) <= 0:
        dashes = ()
    return Pen(
        width.value,
        _CAPS.get(pdfium.FPDFPageObj_GetLineCap(thing), "butt"),
        _JOINS.get(pdfium.FPDFPageObj_GetLineJoin(thing), "miter"),
        _MITER_LIMIT,
        dashes,
        phase.value,
    )


def _outline(count: int, segment: Callable[[int], Handle]) -> Outline:
    """The subpaths of so many of PDFium's segments."""
    found: list[Contour] = []
    cubics: list[Cubic] = []
    lines: list[bool] = []
    start = at = (0.0, 0.0)
    controls: list[Pair] = []
    for index in range(max(0, count)):
        piece = segment(index)
        kind = pdfium.FPDFPathSegment_GetType(piece)
        point = _point(piece)
        if kind == pdfium.FPDF_SEGMENT_MOVETO:
            if cubics:
                found.append(contour(cubics, lines, is_closed=False))
            cubics, lines, controls = [], [], []
            start = at = point
        elif kind == pdfium.FPDF_SEGMENT_BEZIERTO:
            controls.append(point)
            if len(controls) == 3:
                cubics.append((at, controls[0], controls[1], point))
                lines.append(False)
                at, controls = point, []
        else:
            cubics.append(_straight(at, point))
            lines.append(True)
            at = point
        if pdfium.FPDFPathSegment_GetClose(piece) and not controls:
            if at != start or not cubics:
                cubics.append(_straight(at, start))
                lines.append(True)
            found.append(contour(cubics, lines, is_closed=True))
            cubics, lines, at = [], [], start
    if cubics:
        found.append(contour(cubics, lines, is_closed=False))
    finite = tuple(part for part in found if np.isfinite(part.cubics).all())
    if any(np.abs(part.cubics).max() > caps.NUMBER for part in finite):
        raise OverLimit(f"holds a number beyond the limit of {caps.NUMBER:,.0f}")
    return Outline(finite, len(finite) == len(found))


def _point(piece: Handle) -> Pair:
    x, y = ctypes.c_float(), ctypes.c_float()
    pdfium.FPDFPathSegment_GetPoint(piece, x, y)
    return x.value, y.value


def _straight(start: Pair, end: Pair) -> Cubic:
    dx, dy = (end[0] - start[0]) / 3, (end[1] - start[1]) / 3
    return start, (start[0] + dx, start[1] + dy), (end[0] - dx, end[1] - dy), end


def _cut(shape: BaseGeometry, edge: BaseGeometry) -> BaseGeometry:
    if edge.geom_type == "Polygon" and not shape.is_empty and edge.covers(shapely.box(*shape.bounds)):
        return shape
    return shapely.intersection(shape, edge)
