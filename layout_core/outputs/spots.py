"""Named spot colours of a print file: which names are safe, and how each is written."""

from dataclasses import dataclass

from layout_core.errors import HandOffError
from layout_core.job.printing import spot_fault
from layout_core.outputs.pdf_objects import pdf_name

PAPER_LAB = (100.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Spot:
    """A spot colour by name, and how it looks on a screen at full tint, as CIE L*a*b* (D50)."""

    name: str
    lab: tuple[float, float, float]


def checked_spot(name: str, what: str) -> str:
    """The name, if every press understands it.

    Raises HandOffError otherwise, with the sentence of `spot_fault`.
    """
    fault = spot_fault(name, what)
    if fault is not None:
        raise HandOffError(fault)
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
