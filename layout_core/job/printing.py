"""How the print files and plates of a job are made: named spots, underbase, marks, mirror, resolution."""

import math
import re
from dataclasses import dataclass, replace

from layout_core.errors import LayoutError
from layout_core.units import mm

LEAST_DPI, MOST_DPI = 72.0, 4800.0
MOST_CHOKE_MM = mm(0.1)
"""A choke beyond this leaves no underbase under common lines. Invented."""

_NAME = re.compile(r"[A-Za-z0-9_-](?:[A-Za-z0-9_ -]{0,58}[A-Za-z0-9_-])?")
_PROCESS = frozenset({"all", "none", "cyan", "magenta", "yellow", "black"})
"""Names that mean something else. Source: ISO 32000-1:2008, section 8.6.6.4."""


@dataclass(frozen=True, slots=True)
class PrintOptions:
    """What a print file holds besides the ink, and the resolution of the plates. Lengths in mm.

    `choke_mm` is how far the white underbase stays inside the ink. `is_mirrored` turns the whole file as seen
    from the back of the film. `dpi` is that of the 1-bit plates.
    """

    ink_spot: str = "GLOW"
    cut_spot: str = "CutLine"
    under_spot: str = "UNDERBASE"
    has_cut_lines: bool = True
    has_underbase: bool = False
    choke_mm: float = mm(0.004)
    is_mirrored: bool = False
    has_marks: bool = True
    has_slug: bool = True
    dpi: float = 600.0


def spot_fault(name: str, what: str) -> str | None:
    """What is wrong with a spot name, in one sentence; None when every press understands it.

    Wrong are signs outside A-Z a-z 0-9 _ - and blanks between words, more than 60 of them, and the names of
    process colours, which would not come out as a plate of their own.
    """
    if not _NAME.fullmatch(name):
        return (
            f"{what} is “{name[:60]}”; a spot name is 1 to 60 of the signs A-Z a-z 0-9 _ - with blanks "
            "only between them"
        )
    if name.lower() in _PROCESS:
        return f"{what} is “{name}”, which is no spot colour; choose another name"
    return None


def checked_printing(options: PrintOptions) -> PrintOptions:
    """The options with tidy names.

    Raises LayoutError for a spot name, a choke or a resolution that cannot be used.
    """
    tidy = replace(
        options,
        ink_spot=options.ink_spot.strip(),
        cut_spot=options.cut_spot.strip(),
        under_spot=options.under_spot.strip(),
        choke_mm=float(options.choke_mm),
        dpi=float(options.dpi),
    )
    named = (
        (tidy.ink_spot, "the ink's spot name"),
        (tidy.under_spot, "the underbase's spot name"),
        (tidy.cut_spot, "the cut lines' spot name"),
    )
    for name, what in named:
        fault = spot_fault(name, what)
        if fault is not None:
            raise LayoutError(fault)
    if len({name.lower() for name, _ in named}) < len(named):
        raise LayoutError(f"two plates have the same spot name; they are {', '.join(n for n, _ in named)}")
    if not math.isfinite(tidy.choke_mm) or not 0.0 <= tidy.choke_mm <= MOST_CHOKE_MM:
        raise LayoutError("the choke of the underbase must be from 0 to 0.1 in (2.54 mm)")
    if not math.isfinite(tidy.dpi) or not LEAST_DPI <= tidy.dpi <= MOST_DPI:
        raise LayoutError(f"plates at {tidy.dpi:g} dpi cannot be made; it must be from 72 to 4800 dpi")
    return tidy
