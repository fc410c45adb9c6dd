"""The bundled typeface: where its files lie, how wide its words run, and which characters it has.

Outputs use this face alone wherever it has the characters, so that the same job gives the same pixels on
every machine; for others see `stand_ins`.
"""

import struct
from bisect import bisect_left
from dataclasses import dataclass
from functools import cache
from importlib.resources import as_file, files
from typing import Literal

from layout_core.outputs.stand_ins import advance, is_silent, stand_in

Weight = Literal["regular", "medium", "semibold", "bold", "extrabold"]

FAMILY = "Manrope"
CSS_WEIGHTS: dict[Weight, int] = {
    "regular": 400, "medium": 500, "semibold": 600, "bold": 700, "extrabold": 800,
}  # fmt: skip
_FILES: dict[Weight, str] = {
    "regular": "Manrope-Regular.ttf", "medium": "Manrope-Medium.ttf", "semibold": "Manrope-SemiBold.ttf",
    "bold": "Manrope-Bold.ttf", "extrabold": "Manrope-ExtraBold.ttf",
}  # fmt: skip

WEIGHTS = tuple(_FILES)

PLACEHOLDER = "?"
"""Stands for every character that no face at hand has."""


@dataclass(frozen=True, slots=True)
class FaceMetrics:
    """Advance widths of one weight in font units, and the unit's size.

    Source: OpenType specification 1.9, tables cmap (format 4), hmtx, hhea, head.
    """

    units_per_em: int
    widths: dict[int, int]

    def has(self, character: str) -> bool:
        return ord(character) in self.widths

    def width(self, text: str, size: float) -> float:
        """Width of one line at that size, in the unit of `size`; kerning is left out (it mostly tightens)."""
        return sum(map(self._share, text)) * size

    def _share(self, char: str) -> float:
        """The advance as a share of the em, of a stand-in where this face lacks the character."""
        own = self.widths.get(ord(char))
        if own is not None:
            return own / self.units_per_em
        font = stand_in(char)
        return self.widths[ord(PLACEHOLDER)] / self.units_per_em if font is None else advance(char, font)


@cache
def face(weight: Weight) -> FaceMetrics:
    """The metrics of one weight, read once."""
    data = (files("font_manrope") / "files" / _FILES[weight]).read_bytes()
    tables = _tables(data)
    units: int = struct.unpack_from(">H", data, tables["head"] + 18)[0]
    long_count: int = struct.unpack_from(">H", data, tables["hhea"] + 34)[0]
    advances = struct.unpack_from(f">{long_count * 2}H", data, tables["hmtx"])[::2]
    glyphs = _glyphs(data, tables["cmap"])
    return FaceMetrics(units, {code: advances[min(glyph, long_count - 1)] for code, glyph in glyphs.items()})


@cache
def font_paths() -> tuple[str, ...]:
    """The font files as paths on disk, for the renderer."""
    return tuple(map(font_path, WEIGHTS))


def font_path(weight: Weight) -> str:
    """The file of one weight as a path on disk."""
    with as_file(files("font_manrope") / "files" / _FILES[weight]) as path:
        return str(path)


def showable(text: str) -> str:
    """One line that can be shown: blanks joined, whatever no face at hand has as a visible `PLACEHOLDER`."""
    metrics = face("regular")
    shown: list[str] = []
    for char in " ".join(text.split()):
        if metrics.has(char) or stand_in(char) is not None:
            shown.append(char)
        elif not is_silent(char):
            shown.append(PLACEHOLDER)
    return "".join(shown)


def lacks(text: str) -> bool:
    """Whether no face at hand, neither this nor a stand-in, can show some of it."""
    metrics = face("regular")
    joined = " ".join(text.split())
    return any(not metrics.has(c) and not is_silent(c) and stand_in(c) is None for c in joined)


def is_own(text: str) -> bool:
    """Whether the outputs' face alone can set the line, left to right as it stands."""
    metrics = face("regular")
    return all(map(metrics.has, text))


def text_width(text: str, size: float, weight: Weight = "regular") -> float:
    """Width of one line, in the unit of `size`."""
    return face(weight).width(text, size)


def elided(text: str, size: float, weight: Weight, most: float) -> str:
    """The line, shortened with “…” until it is no wider than `most`; empty when not even that fits."""
    line = showable(text)
    if text_width(line, size, weight) <= most:
        return line
    fits = bisect_left(range(1, len(line) + 1), True, key=lambda n: _too_wide(line[:n], size, weight, most))
    kept = line[:fits].rstrip()
    return f"{kept}…" if kept or text_width("…", size, weight) <= most else ""


def wrapped(text: str, size: float, weight: Weight, most: float, most_lines: int = 99) -> tuple[str, ...]:
    """The words on lines no wider than `most`; a longer word is broken, and the last line elided."""
    lines: list[str] = []
    line = ""
    for word in showable(text).split():
        trial = f"{line} {word}" if line else word
        if text_width(trial, size, weight) <= most:
            line = trial
            continue
        if line:
            lines.append(line)
        *full, line = _broken(word, size, weight, most)
        lines += full
    lines += [line] if line else []
    if len(lines) <= most_lines:
        return tuple(lines)
    return (*lines[: most_lines - 1], elided(" ".join(lines[most_lines - 1 :]), size, weight, most))


def _broken(word: str, size: float, weight: Weight, most: float) -> list[str]:
    parts: list[str] = []
    part = ""
    for char in word:
        if part and text_width(part + char, size, weight) > most:
            parts.append(part)
            part = ""
        part += char
    return [*parts, part]


def _too_wide(text: str, size: float, weight: Weight, most: float) -> bool:
    return text_width(f"{text.rstrip()}…", size, weight) > most


def _tables(data: bytes) -> dict[str, int]:
    count: int = struct.unpack_from(">H", data, 4)[0]
    records = (struct.unpack_from(">4sIII", data, 12 + 16 * i) for i in range(count))
    return {tag.decode("ascii"): offset for tag, _, offset, _ in records}


def _glyphs(data: bytes, cmap: int) -> dict[int, int]:
    """Character code to glyph of the Windows Unicode (3, 1) subtable, format 4."""
    count: int = struct.unpack_from(">H", data, cmap + 2)[0]
    records = (struct.unpack_from(">HHI", data, cmap + 4 + 8 * i) for i in range(count))
    table = cmap + next(offset for platform, encoding, offset in records if (platform, encoding) == (3, 1))
    double: int = struct.unpack_from(">H", data, table + 6)[0]
    segments = double // 2
    ends = struct.unpack_from(f">{segments}H", data, table + 14)
    starts = struct.unpack_from(f">{segments}H", data, table + 16 + double)
    deltas = struct.unpack_from(f">{segments}H", data, table + 16 + 2 * double)
    ranges_at = table + 16 + 3 * double
    glyphs: dict[int, int] = {}
    for i, (start, end, delta) in enumerate(zip(starts, ends, deltas, strict=True)):
        offset: int = struct.unpack_from(">H", data, ranges_at + 2 * i)[0]
        for code in range(start, min(end, 0xFFFE) + 1):
            glyph = code
            if offset:
                glyph = struct.unpack_from(">H", data, ranges_at + 2 * i + offset + 2 * (code - start))[0]
                if glyph == 0:
                    continue
            glyph = (glyph + delta) & 0xFFFF
            if glyph:
                glyphs[code] = glyph
    return glyphs
