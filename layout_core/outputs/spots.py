"""Named spot colours of a print file: which names are safe, and how each is written."""

import re
from dataclasses import dataclass

from layout_core.errors import HandOffError
from layout_core.outputs.pdf_objects import pdf_name

_NAME = re.compile(r"[A-Za-z0-9_-](?:[A-Za-z0-9_ -]{0,58}[A-Za-z0-9_-])?")
_PROCESS = frozenset({"all", "none", "cyan", "magenta", "yellow", "black"})
"""Names that mean something else. Source: ISO 32000-1:2008, section 8.6.6.4."""

PAPER_LAB = (100.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Spot:
    """A spot colour by name, and how it looks on a screen at full tint, as CIE L*a*b* (D50)."""

    name: str
    lab: tuple[float, float, float]


def checked_spot(name: str, what: str) -> str:
    """The name, if every press understands it.

    Raises HandOffError for signs outside A-Z a-z 0-9 _ - and blanks between words, for more than 60 of
    them, and for the names of process colours, which would not come out as a plate of their own.
    """
    if not _NAME.fullmatch(name):
        raise HandOffError(
            f"{what} is “{name[:60]}”; a spot name is 1 to 60 of the signs A-Z a-z 0-9 _ - with blanks "
            "only between them"
        )
    if name.lower() in _PROCESS:
        raise HandOffError(f"{what} is “{name}”, which is no spot colour; choose another name")
    return name


def separation_space(spot: Spot, lab_space: str) -> str:
    """The Separation array of a spot; `lab_space` refers to its alternate space.

    Source: ISO 32000-1:2008, sections 8.6.6.4 (Separation) and 7.10.3 (exponential tint function).
    """
    paper = " ".join(f"{value:g}" for value in PAPER_LAB)
    full = " ".join(f"{value:g}" for value in spot.lab)
    tint = f"<< /FunctionType 2 /Domain [0 1] /N 1 /C0 [{paper}] /C1 [{full}] >>"
    return f"[/Separation {pdf_name(spot.name)} {lab_space} {tint}]"


LAB_SPACE = "[/Lab << /WhitePoint [0.9642 1 0.8249] /Range [-128 127 -128 127] >>]"
"""CIE L*a*b* under D50. Source: ISO 32000-1:2008, section 8.6.5.4."""
