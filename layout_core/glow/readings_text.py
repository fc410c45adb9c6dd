"""Reads luminance readings as people copy them from a data sheet: minutes and mcd/m², a pair a line."""

import re

from layout_core.errors import GlowError

_NUMBER = re.compile(r"-?(?:\d+(?:[.,]\d+)?|[.,]\d+)")
_UNITS = re.compile(r"m?cd\s*/?\s*m(?:2|²)|minutes?|mins?|h\b", re.IGNORECASE)
_EXAMPLE = "write minutes and mcd/m², such as “10 min 50”"


def parse_readings(text: str) -> tuple[tuple[float, float], ...]:
    """The pairs (minutes, mcd/m²) of a text with one a line, or with semicolons between them.

    Raises GlowError naming the line that holds anything else than two numbers; whether they are the readings
    of an afterglow is for `ink_from_readings` to say.
    """
    lines = [line.strip() for line in re.split(r"[\n;]", text) if line.strip()]
    return tuple(_pair(line) for line in lines)


def _pair(line: str) -> tuple[float, float]:
    if re.search(r"\d\s*h\b", line, re.IGNORECASE):
        raise GlowError(f"“{line[:40]}” is in hours; {_EXAMPLE}")
    if re.search(r"(?<![mM])cd", line):
        raise GlowError(f"“{line[:40]}” is in cd/m², not in thousandths of it; {_EXAMPLE}")
    bare = _UNITS.sub(" ", line)
    numbers = _NUMBER.findall(bare)
    if len(numbers) != 2 or re.sub(r"[\s:=,\-–>]", "", _NUMBER.sub("", bare)):
        raise GlowError(f"“{line[:40]}” is no reading; {_EXAMPLE}")
    minutes, value = (float(number.replace(",", ".")) for number in numbers)
    return minutes, value
