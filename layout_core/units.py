"""Reads and writes lengths: millimetres inside; inches, millimetres, centimetres and fractions outside."""

import math
import re
from fractions import Fraction
from typing import Literal

from layout_core.errors import UnitsError

Unit = Literal["in", "mm", "cm"]

MM_PER_IN = 25.4
"""Exact by definition. Source: NIST Special Publication 811 (2008), appendix B.8: 1 in = 2.54 E-02 m."""

LONGEST_MM = 1_000_000.0
_LONGEST_TEXT = 60

_MM_PER_UNIT = {"in": Fraction(254, 10), "mm": Fraction(1), "cm": Fraction(10)}
_UNIT_WORDS: dict[str, Unit] = {
    "in": "in", "in.": "in", "inch": "in", "inches": "in", '"': "in", "″": "in", "”": "in", "''": "in",
    "mm": "mm", "mm.": "mm", "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm",
    "cm": "cm", "cm.": "cm", "centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm",
}  # fmt: skip
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
           "⅓": "1/3", "⅔": "2/3"}  # fmt: skip
_LENGTH = re.compile(
    r"""(?P<sign>[-+])?\s*
        (?: (?P<whole>\d+) (?:\s+|\s*-\s*) (?P<num>\d+) \s*/\s* (?P<den>\d+)   # 11 1/4 or 11-1/4
          | (?P<num2>\d+) \s*/\s* (?P<den2>\d+)                                # 3/8
          | (?P<decimal>\d+(?:[.,]\d*)?|[.,]\d+) )                            # 11.25 or 11,25
        \s*(?P<unit>[^\d\s.,/+-][^\d]*)?""",
    re.VERBOSE,
)
_EXAMPLE = "write it like 11.25, 11 1/4, 3/8 in, 286 mm or 28.6 cm"


def parse_length_mm(text: str, default_unit: Unit = "in") -> float:
    """The length in mm that a person typed; a bare number is in `default_unit`.

    Point and comma are both decimal signs, so "1,125" is one and an eighth. Raises UnitsError for
    anything else, for a negative length and for one beyond 1,000,000 mm.
    """
    shown = text.strip()[:40]
    cleaned = text.strip().replace("⁄", "/")
    for sign, fraction in _VULGAR.items():
        cleaned = cleaned.replace(sign, f" {fraction} ")
    # long runs of blanks would keep the pattern busy, so length comes first
    match = _LENGTH.fullmatch(cleaned.strip()) if len(cleaned) <= _LONGEST_TEXT else None
    if match is None:
        raise UnitsError(f"“{shown}” is not a length; {_EXAMPLE}")
    word = (match["unit"] or "").strip().lower()
    if word and word not in _UNIT_WORDS:
        raise UnitsError(f"“{shown}” has an unknown unit “{word[:12]}”; {_EXAMPLE}")
    unit = _UNIT_WORDS[word] if word else default_unit
    length_mm = float(_value(match, shown) * _MM_PER_UNIT[unit])
    if match["sign"] == "-" and length_mm > 0:
        raise UnitsError(f"“{shown}” is negative; a length must be 0 or more")
    if length_mm > LONGEST_MM:
        raise UnitsError(f"“{shown}” is too long; the limit is {LONGEST_MM:,.0f} mm")
    return length_mm


def _value(match: re.Match[str], shown: str) -> Fraction:
    if match["decimal"]:
        return Fraction(match["decimal"].replace(",", ".").rstrip("."))
    numerator, denominator = (match["num"] or match["num2"]), (match["den"] or match["den2"])
    if int(denominator) == 0:
        raise UnitsError(f"“{shown}” divides by zero; {_EXAMPLE}")
    return Fraction(int(match["whole"] or 0)) + Fraction(int(numerator), int(denominator))


def write_length(length_mm: float, unit: Unit = "in", decimals: int | None = None) -> str:
    """The length as a person reads it, e.g. "11.25 in" or "286 mm", without trailing zeros.

    `decimals` defaults to 3 for inches, 1 for mm and 2 for cm. Raises UnitsError for NaN and infinity.
    """
    return f"{write_number(length_mm, unit, decimals)} {unit}"


def write_number(length_mm: float, unit: Unit = "in", decimals: int | None = None) -> str:
    """The bare number of `write_length`, for tables that name the unit in their head."""
    if not math.isfinite(length_mm):
        raise UnitsError(f"a length of {length_mm} cannot be written")
    places = {"in": 3, "mm": 1, "cm": 2}[unit] if decimals is None else decimals
    text = f"{length_mm / float(_MM_PER_UNIT[unit]):.{places}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def write_area(area_mm2: float, unit: Unit = "in") -> str:
    """An area as a person reads it, e.g. "38.6 sq in" or "249 sq cm" (mm counts as cm here)."""
    if not math.isfinite(area_mm2):
        raise UnitsError(f"an area of {area_mm2} cannot be written")
    value, name = (area_mm2 / MM_PER_IN**2, "sq in") if unit == "in" else (area_mm2 / 100.0, "sq cm")
    places = 1 if value >= 10 else 2 if value >= 1 else 3
    return f"{value:.{places}f} {name}"


def mm(inches: float) -> float:
    """Inches to millimetres, for constants that the trade states in inches."""
    return inches * MM_PER_IN


def inches(length_mm: float) -> float:
    """Millimetres to inches."""
    return length_mm / MM_PER_IN
