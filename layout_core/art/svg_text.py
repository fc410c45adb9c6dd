"""Text of a drawing set in the fonts that are here: every run of one style as an outline in its place."""

import math
import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, field

from lxml import etree

from layout_core.art.affine import Affine, after, mapped, shift
from layout_core.art.css import Cascade, Values
from layout_core.art.curves import Contour, Outline
from layout_core.art.font_match import font_match
from layout_core.art.fonts import open_font
from layout_core.art.glyphs import glyph_contours
from layout_core.art.refusal import NeedsRaster
from layout_core.art.safe_xml import local_name
from layout_core.art.shaping import shaped_line
from layout_core.art.svg_type import attribute_length, length_in_em, size_px, white_space_kept
from layout_core.errors import LetteringError

_PIECES = frozenset({"tspan", "a"})
_PLAIN = {
    "writing-mode": ("horizontal-tb", "lr", "lr-tb"),
    "direction": ("ltr",),
    "text-decoration": ("none",),
    "baseline-shift": ("baseline", "0", "0px", "0%"),
    "dominant-baseline": ("auto", "alphabetic"),
    "alignment-baseline": ("auto", "baseline", "alphabetic"),
    "font-variant": ("normal", "none"),
    "font-stretch": ("normal", "100%"),
    "font-size-adjust": ("none",),
    "opacity": ("1",),
}
"""What text may say and still be set here; all else only a rendering can show."""
_OBSTACLES = {
    "writing-mode": "upright text",
    "direction": "right-to-left text in several pieces",
    "text-decoration": "underlined text",
    "baseline-shift": "raised or lowered text",
    "opacity": "text of several opacities",
}
_RIGHT_TO_LEFT = frozenset({"R", "AL", "AN", "RLE", "RLO", "RLI"})
_ANCHORS = {"start": 0.0, "middle": -0.5, "end": -1.0}


@dataclass(frozen=True, slots=True)
class TextPiece:
    """A run of text in one style: its outline in the text element's user units, and its CSS values."""

    outline: Outline
    values: Values


@dataclass(slots=True)
class _Sign:
    """One character, the element and values it stands under, and where its element's lists move it to."""

    text: str
    element: etree._Element
    values: Values
    size: float
    x: float | None = None
    y: float | None = None
    dx: float | None = None
    dy: float | None = None
    turn_deg: float | None = None


@dataclass(slots=True)
class _Reader:
    """Gathers the signs of one text element. Source: SVG 2, section 11.4 (positions, turns)."""

    cascade: Cascade
    width: float
    height: float
    signs: list[_Sign] = field(default_factory=list)

    def read(self, element: etree._Element, values: Values, outer_size: float | None) -> None:
        _require_plain(element, values, self.cascade, is_inner=outer_size is not None)
        size = size_px(element, self.cascade, values, outer_size)
        first = len(self.signs)
        self._add(element.text, element, values, size)
        for child in element:
            name = local_name(child)
            inner = self.cascade.computed(child, values)
            if name in _PIECES and inner.get("display") != "none":
                self.read(child, inner, size)
            elif name == "textPath":
                raise NeedsRaster("text along a path")
            elif name == "tref":
                raise NeedsRaster("text from elsewhere")
            self._add(child.tail, element, values, size)
        self._place(element, self.signs[first:], size)

    def _add(self, text: str | None, element: etree._Element, values: Values, size: float) -> None:
        keeps = white_space_kept(element)
        for sign in re.sub(r"\r\n|[\n\r\t]", " ", text or ""):
            if sign == " " and not keeps and (not self.signs or self.signs[-1].text == " "):
                continue
            self.signs.append(_Sign(sign, element, values, size))

    def _place(self, element: etree._Element, signs: Sequence[_Sign], size: float) -> None:
        """Give the signs what the element's lists say, unless an element further in has said so before."""
        for key, percent_of in (
            ("x", self.width), ("y", self.height), ("dx", self.width), ("dy", self.height)
        ):  # fmt: skip
            for sign, length in zip(signs, _lengths(element.get(key), percent_of, size), strict=False):
                if getattr(sign, key) is None:
                    setattr(sign, key, length)
        turns = _lengths(element.get("rotate"), 0.0, size)
        for number, sign in enumerate(signs if turns else ()):
            if sign.turn_deg is None:
                sign.turn_deg = turns[min(number, len(turns) - 1)]


def set_text(
    element: etree._Element, values: Values, cascade: Cascade, width: float, height: float
) -> list[TextPiece]:
    """The pieces of a text element in painting order; percentages refer to width and height (user units).

    Raises NeedsRaster for what is not set here: text along a path, upright or underlined text, signs that
    the font lacks, and right-to-left text in several pieces.
    """
    reader = _Reader(cascade, width, height)
    reader.read(element, values, None)
    signs = reader.signs
    if signs and signs[-1].text == " " and not white_space_kept(signs[-1].element):
        signs.pop()
    pieces: list[TextPiece] = []
    pen = (0.0, 0.0)
    for chunk in _chunks(signs):
        start = (pen[0] if chunk[0].x is None else chunk[0].x, pen[1] if chunk[0].y is None else chunk[0].y)
        made, pen = _set_chunk(chunk, start)
        pieces += made
    return pieces


def _chunks(signs: Sequence[_Sign]) -> list[list[_Sign]]:
    """The signs cut wherever one has a place of its own. Source: SVG 2, section 11.5 (text chunks)."""
    chunks: list[list[_Sign]] = []
    for sign in signs:
        if not chunks or sign.x is not None or sign.y is not None:
            chunks.append([])
        chunks[-1].append(sign)
    return chunks


def _set_chunk(
    chunk: Sequence[_Sign], start: tuple[float, float]
) -> tuple[list[TextPiece], tuple[float, float]]:
    """The chunk's pieces about its anchor, and where the next sign would go."""
    runs = _runs(chunk)
    if len(runs) > 1 and any(unicodedata.bidirectional(sign.text) in _RIGHT_TO_LEFT for sign in chunk):
        raise NeedsRaster("right-to-left text in several pieces")
    pen = (0.0, 0.0)
    made: list[tuple[list[Contour], Values]] = []
    for run in runs:
        contours, pen = _set_run(run, pen)
        made.append((contours, run[0].values))
    last = chunk[-1]
    # no space follows the last sign: CSS leaves it open, and the reference renderer has none
    pen = (pen[0] - length_in_em(last.values.get("letter-spacing"), last.size), pen[1])
    left = start[0] + pen[0] * _ANCHORS.get(chunk[0].values.get("text-anchor", "start"), 0.0)
    to_place = shift(left, start[1])
    pieces = [
        TextPiece(Outline(tuple(_moved(part, to_place) for part in contours)), values)
        for contours, values in made
        if contours
    ]
    return pieces, (left + pen[0], start[1] + pen[1])


def _runs(chunk: Sequence[_Sign]) -> list[list[_Sign]]:
    """The signs of a chunk cut wherever the style may change."""
    runs: list[list[_Sign]] = []
    for sign in chunk:
        if not runs or runs[-1][-1].values is not sign.values:
            runs.append([])
        runs[-1].append(sign)
    return runs


def _set_run(run: Sequence[_Sign], pen: tuple[float, float]) -> tuple[list[Contour], tuple[float, float]]:
    """The contours of signs in one style from the pen on, and where the pen stands after them."""
    values, size = run[0].values, run[0].size
    match = font_match(values)
    if match.face is None:
        raise NeedsRaster(f"text in the font “{match.asked}”, which is not on this computer")
    try:
        font = open_font(match.face)
    except LetteringError as error:
        raise NeedsRaster(f"text in a font that cannot be opened ({match.asked})") from error
    scale = size / font.units_per_em
    between = length_in_em(values.get("letter-spacing"), size)
    words = length_in_em(values.get("word-spacing"), size)
    shaped = shaped_line("".join(sign.text for sign in run), font, between / scale if scale else 0.0)
    if any(not sign.isspace() for sign in shaped.missing):
        raise NeedsRaster(f"signs that the font “{match.face.name}” lacks")
    contours: list[Contour] = []
    known: dict[int, tuple[Contour, ...]] = {}
    shifts = _shifts(run, words)
    for glyph in shaped.glyphs:
        if glyph.glyph_id not in known:
            known[glyph.glyph_id] = tuple(glyph_contours(font, glyph.glyph_id))
        dx, dy = shifts[glyph.at]
        at = shift(pen[0] + glyph.x * scale + dx, pen[1] - glyph.y * scale + dy)
        turn = math.radians(run[glyph.at].turn_deg or 0.0)
        cos, sin = math.cos(turn) * scale, math.sin(turn) * scale
        to_user = after(at, (cos, sin, sin, -cos, 0.0, 0.0))
        contours += [_moved(part, to_user) for part in known[glyph.glyph_id]]
    last_space = words if run[-1].text == " " else 0.0
    last = between if shaped.glyphs else 0.0
    end_x = pen[0] + shaped.advance * scale + shifts[-1][0] + last_space + last
    return contours, (end_x, pen[1] + shifts[-1][1])


def _shifts(run: Sequence[_Sign], word_space: float) -> list[tuple[float, float]]:
    """How far each sign is moved from where the font would set it, by its lists and the spaces before it."""
    found: list[tuple[float, float]] = []
    x = y = 0.0
    for sign in run:
        x, y = x + (sign.dx or 0.0), y + (sign.dy or 0.0)
        found.append((x, y))
        x += word_space if sign.text == " " else 0.0
    return found


def _moved(part: Contour, affine: Affine) -> Contour:
    return Contour(mapped(part.cubics, affine), part.is_line, part.is_closed)


def _lengths(text: str | None, percent_of: float, size: float) -> list[float]:
    """The lengths of a list attribute up to the first that cannot be read."""
    found: list[float] = []
    for word in re.split(r"[\s,]+", (text or "").strip()):
        length = attribute_length(word, percent_of, size)
        if length is None:
            break
        found.append(length)
    return found


def _require_plain(element: etree._Element, values: Values, cascade: Cascade, *, is_inner: bool) -> None:
    """Raise NeedsRaster for a style that is not set here."""
    if element.get("textLength") is not None:
        raise NeedsRaster("text stretched to a length")
    declared = cascade.declared(element)
    for name, plain in _PLAIN.items():
        value = values.get(name) or declared.get(name)
        if name == "opacity" and not is_inner:
            continue  # the text's own opacity is its group's
        if value is not None and value.strip().lower() not in plain:
            raise NeedsRaster(_OBSTACLES.get(name, f"text with {name}"))
