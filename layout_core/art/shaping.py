"""A line of words becomes glyphs in their places: kerning, ligatures, marks, both reading directions."""

import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass

import uharfbuzz as hb

from layout_core.art.bidi import Run, runs_as_seen
from layout_core.art.fonts import OpenFont

_CURSIVE = frozenset({"Adlm", "Arab", "Mand", "Mong", "Nkoo", "Phag", "Rohg", "Syrc"})
"""Scripts whose letters join: space between them would tear them apart."""


@dataclass(frozen=True, slots=True)
class Glyph:
    """One glyph of a line: where its origin lies in font units (y up), and which character it begins at."""

    glyph_id: int
    x: float
    y: float
    at: int


@dataclass(frozen=True, slots=True)
class ShapedLine:
    """The glyphs of a line from left to right, its advance in font units, and what the font lacks."""

    glyphs: tuple[Glyph, ...]
    advance: float
    missing: tuple[str, ...]


def shaped_line(line: str, font: OpenFont, tracking: float = 0.0) -> ShapedLine:
    """The line set in the font; tracking is extra space between letters in font units.

    With tracking no ligature is formed, and letters that join (Arabic and its kin) stay together.
    Source: CSS Text Module Level 3, section 8.2 (letter-spacing) for both.
    """
    glyphs: list[Glyph] = []
    missing: dict[str, None] = {}
    x = 0.0
    last_joins: bool | None = None
    for run in runs_as_seen(line):
        for start, end in _one_script(line, run):
            buffer = _shaped(line, start, end, run, font, is_tracked=tracking != 0.0)
            joins = str(buffer.script) in _CURSIVE
            infos, positions = buffer.glyph_infos, buffer.glyph_positions
            last_cluster = -1
            for info, position in zip(infos, positions, strict=True):
                is_new = info.cluster != last_cluster
                if is_new and last_joins is not None and not (joins and last_joins):
                    x += tracking
                last_cluster, last_joins = info.cluster, joins
                glyphs.append(
                    Glyph(info.codepoint, x + position.x_offset, float(position.y_offset), info.cluster)
                )
                x += position.x_advance
                if info.codepoint == 0:
                    missing[line[info.cluster]] = None
    return ShapedLine(tuple(glyphs), x, tuple(missing))


def _shaped(line: str, start: int, end: int, run: Run, font: OpenFont, *, is_tracked: bool) -> hb.Buffer:
    buffer = hb.Buffer()
    buffer.add_codepoints([ord(sign) for sign in line], start, end - start)
    buffer.direction = "rtl" if run.is_right_to_left else "ltr"
    buffer.language = "und"  # the guess would take it from the computer's settings
    buffer.guess_segment_properties()
    features = {"liga": False, "clig": False, "dlig": False} if is_tracked else {}
    hb.shape(font.font, buffer, features)
    return buffer


def _one_script(line: str, run: Run) -> Iterator[tuple[int, int]]:
    """The stretches of a run that are of one script, as seen from left to right."""
    cuts = [run.start]
    script = ""
    for at in range(run.start, run.end):
        found = _script(line[at])
        if found and script and found != script:
            cuts.append(at)
        script = found or script
    stretches = list(zip(cuts, [*cuts[1:], run.end], strict=True))
    return reversed(stretches) if run.is_right_to_left else iter(stretches)


def _script(sign: str) -> str:
    """A word that tells the scripts of letters apart: the first of the letter's Unicode name."""
    return unicodedata.name(sign, "").partition(" ")[0] if unicodedata.category(sign)[0] == "L" else ""
