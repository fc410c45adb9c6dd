"""Writes drawings as the pages of one PDF, the bundled typeface embedded; no clock, the same bytes always."""

import io
from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely
from reportlab import rl_config
from reportlab.lib.colors import HexColor
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from layout_core.outputs.drawing import Area, Box, Drawing, Group, Matrix, Outline, Part, Words
from layout_core.outputs.typeface import WEIGHTS, font_path, is_own
from layout_core.outputs.word_outlines import outlined
from layout_core.units import MM_PER_IN

_POINTS_PER_IN = 72.0


def to_pdf(pages: Sequence[Drawing], *, dpi: float = 96.0) -> bytes:
    """The drawings as PDF bytes, a page each; `dpi` is how many px of a drawing in px make an inch.

    The title is the first page's. Nothing else is said of who made it or when.
    """
    _register_fonts()
    out = io.BytesIO()
    canvas = Canvas(out, invariant=1, pageCompression=1, initialFontName=_font("regular"))
    canvas.setTitle(pages[0].title if pages else "")
    canvas.setAuthor("")
    canvas.setSubject("")
    canvas.setCreator("Duskwright")
    canvas.setProducer("Duskwright")
    for page in pages:
        scale = _POINTS_PER_IN / (dpi if page.unit == "px" else MM_PER_IN)
        canvas.setPageSize((page.width * scale, page.height * scale))
        canvas.saveState()
        canvas.transform(scale, 0, 0, -scale, 0, page.height * scale)
        _Pen(canvas).page(page)
        canvas.restoreState()
        canvas.showPage()
    _save_plain(canvas)
    return out.getvalue()


def _save_plain(canvas: Canvas) -> None:
    """Write the streams as plain bytes: text armour would cost a quarter more and much of the time."""
    usual, rl_config.useA85 = rl_config.useA85, 0
    try:
        canvas.save()
    finally:
        rl_config.useA85 = usual


class _Pen:
    """Draws parts on a canvas whose y runs down, as the drawing's does."""

    def __init__(self, canvas: Any) -> None:
        self._canvas = canvas

    def page(self, page: Drawing) -> None:
        self.part(Box(0, 0, page.width, page.height, page.ground))
        for part in page.parts:
            self.part(part)

    def part(self, part: Part) -> None:
        match part:
            case Group():
                self._moved(part.matrix, part.parts)
            case Area():
                self._area(part)
            case Outline():
                self._outline(part)
            case Box():
                self._box(part)
            case Words() if is_own(part.text):
                self._words(part)
            case Words():
                self._area(outlined(part))

    def _moved(self, matrix: Matrix, parts: Sequence[Part]) -> None:
        a, b, d, e, x, y = matrix
        self._canvas.saveState()
        self._canvas.transform(a, d, b, e, x, y)
        for part in parts:
            self.part(part)
        self._canvas.restoreState()

    def _area(self, area: Area) -> None:
        a, b, d, e, x_off, y_off = area.matrix
        turn, shift = np.array([[a, d], [b, e]]), np.array([x_off, y_off])
        path = self._canvas.beginPath()
        for polygon in shapely.get_parts(area.shape):
            if polygon.geom_type != "Polygon":
                continue
            for ring in (polygon.exterior, *polygon.interiors):
                points = shapely.get_coordinates(ring)[:-1] @ turn + shift
                path.moveTo(*points[0].tolist())
                for point in points[1:].tolist():
                    path.lineTo(*point)
                path.close()
        self._canvas.setFillColor(HexColor(area.fill))
        self._canvas.drawPath(path, stroke=0, fill=1, fillMode=0)

    def _outline(self, outline: Outline) -> None:
        path = self._canvas.beginPath()
        for kind, points in outline.runs:
            numbers = [value for point in points for value in point]
            if kind == "M":
                path.moveTo(*numbers)
            elif kind == "L":
                path.lineTo(*numbers)
            elif kind == "C":
                path.curveTo(*numbers)
            else:
                path.close()
        self._paint(outline, outline.dash)
        self._canvas.drawPath(
            path, stroke=int(outline.stroke is not None), fill=int(outline.fill is not None), fillMode=0
        )

    def _box(self, box: Box) -> None:
        self._paint(box)
        painted = {"stroke": int(box.stroke is not None), "fill": int(box.fill is not None)}
        if box.radius > 0:
            radius = min(box.radius, box.width / 2, box.height / 2)
            self._canvas.roundRect(box.x, box.y, box.width, box.height, radius, **painted)
        else:
            self._canvas.rect(box.x, box.y, box.width, box.height, **painted)

    def _paint(self, part: Outline | Box, dash: tuple[float, ...] = ()) -> None:
        canvas = self._canvas
        if part.fill is not None:
            canvas.setFillColor(HexColor(part.fill))
        if part.stroke is not None:
            canvas.setStrokeColor(HexColor(part.stroke))
            canvas.setLineWidth(part.stroke_width)
            canvas.setLineJoin(1)
            canvas.setDash(list(dash))

    def _words(self, words: Words) -> None:
        canvas = self._canvas
        canvas.saveState()
        canvas.transform(1, 0, 0, -1, words.x, words.y)
        canvas.setFillColor(HexColor(words.fill))
        canvas.setFont(_font(words.weight), words.size)
        draw = {
            "start": canvas.drawString, "middle": canvas.drawCentredString, "end": canvas.drawRightString,
        }[words.anchor]  # fmt: skip
        draw(0, 0, words.text)
        canvas.restoreState()


def _font(weight: str) -> str:
    return f"Manrope-{weight}"


def _register_fonts() -> None:
    known = set(pdfmetrics.getRegisteredFontNames())
    for weight in WEIGHTS:
        if _font(weight) not in known:
            pdfmetrics.registerFont(TTFont(_font(weight), font_path(weight)))
