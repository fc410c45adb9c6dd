"""What the transfer maker can hold: finest line and gap, smallest dot, spacing, margin, sheet sizes."""

import math
from dataclasses import dataclass, fields
from pathlib import Path

from layout_core.errors import TableError
from layout_core.tables import Section, sections, table_path

TABLE = "print_limits.toml"


@dataclass(frozen=True, slots=True)
class PrintLimits:
    """One set of print limits, in mm, mm² and px per inch; common practice, no source, all editable."""

    name: str
    line_caution_mm: float
    line_stop_mm: float
    gap_mm: float
    dot_mm: float
    pinhole_mm: float
    element_mm2: float
    piece_gap_mm: float
    piece_gap_least_mm: float
    margin_mm: float
    sheet_width_mm: float
    sheet_length_least_mm: float
    sheet_length_most_mm: float
    resolution_wanted_dpi: float
    resolution_stop_dpi: float
    smallest_run: int


_LENGTHS = {
    field.name: field.name.removesuffix("_mm") for field in fields(PrintLimits) if field.name.endswith("_mm")
}
_NUMBERS = ("element_mm2", "resolution_wanted_dpi", "resolution_stop_dpi")
_KEYS = (*_LENGTHS.values(), *_NUMBERS, "smallest_run")
_LONGEST_SHEET_MM = 100_000.0
_ORDERED = (
    ("line_stop_mm", "line_caution_mm"),
    ("piece_gap_least_mm", "piece_gap_mm"),
    ("sheet_length_least_mm", "sheet_length_most_mm"),
    ("resolution_stop_dpi", "resolution_wanted_dpi"),
)
_MAY_BE_ZERO = ("margin_mm", "piece_gap_mm", "piece_gap_least_mm", "element_mm2", "resolution_stop_dpi")


def limits_fault(limits: PrintLimits) -> tuple[str, str] | None:
    """The first field that makes no sense, with the reason as the rest of a sentence; None when all do."""
    for field in fields(PrintLimits):
        value = getattr(limits, field.name)
        if isinstance(value, str):
            continue
        if not math.isfinite(value) or value < 0 or (value == 0 and field.name not in _MAY_BE_ZERO):
            return field.name, "must be more than 0"
        if value > _LONGEST_SHEET_MM:
            return field.name, f"must be at most {_LONGEST_SHEET_MM:,.0f}"
    for low, high in _ORDERED:
        if getattr(limits, low) > getattr(limits, high):
            return low, f"must not be above {_LENGTHS.get(high, high)}"
    if 2 * limits.margin_mm >= min(limits.sheet_width_mm, limits.sheet_length_least_mm):
        return "margin_mm", "leaves nothing of the sheet"
    return None


def load_limits(name: str = "glow", path: Path | None = None) -> PrintLimits:
    """The print limits of that name, from the shop's table or from the TOML file given.

    A file with a single block needs no matching name. Raises TableError naming file and line.
    """
    blocks = sections(table_path(TABLE) if path is None else path)
    if path is not None and len(blocks) == 1:
        return _limits(blocks[0])
    for block in blocks:
        if block.name == name:
            return _limits(block)
    known = ", ".join(block.name for block in blocks)
    raise TableError(f"{blocks[0].path.name}: has no print limits called “{name[:40]}”; it has {known}")


def limit_names() -> tuple[str, ...]:
    """The names that `load_limits` takes, in the table's order. Raises TableError."""
    return tuple(block.name for block in sections(table_path(TABLE)))


def _limits(block: Section) -> PrintLimits:
    block.only(_KEYS)
    lengths = {field: block.length_mm(key) for field, key in _LENGTHS.items()}
    numbers = {key: block.number(key) for key in _NUMBERS}
    limits = PrintLimits(name=block.name, smallest_run=block.whole("smallest_run"), **lengths, **numbers)
    fault = limits_fault(limits)
    if fault is not None:
        raise block.mistake(_LENGTHS.get(fault[0], fault[0]), fault[1])
    return limits
