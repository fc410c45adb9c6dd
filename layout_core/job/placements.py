"""Where a print lies on the garment, and how wide it is there for each garment size."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from layout_core.errors import LayoutError
from layout_core.tables import Section, sections, table_path

TABLE = "placements.toml"
GARMENT_SIZES = ("toddler", "youth", "adult", "plus")
"""Groups of garment sizes; "plus" is 2XL and up."""

GARMENTS = ("tee", "short sleeve", "long sleeve", "hoodie", "trousers", "tote")
SIDES = ("front", "back", "outer")
EDGES = ("top", "centre", "bottom")
_KEYS = ("widths", "at_most", "laid", "garment", "side", "measured_from", "edge", "drop", "across")


@dataclass(frozen=True, slots=True)
class Placement:
    """One placement; lengths in mm.

    `key` is the trade word in lower case, `name` the same as a label. `widths_mm` holds only the garment
    sizes it is made for. For the sketch: the print's `edge` (top, centre or bottom) lies `drop_mm` from
    `measured_from` (below it, or above it for the edge "bottom"), and its centre lies `across_mm` from the
    middle line of that `side` of the `garment`, towards the wearer's left (seen on the right from the front).
    """

    key: str
    name: str
    widths_mm: tuple[tuple[str, float], ...]
    most_width_mm: float
    most_height_mm: float
    laid: str
    garment: str
    side: str
    measured_from: str
    edge: str
    drop_mm: float
    across_mm: float

    @property
    def garment_sizes(self) -> tuple[str, ...]:
        """The garment sizes it is made for, smallest first."""
        return tuple(size for size, _ in self.widths_mm)


def load_placements(path: Path | None = None) -> tuple[Placement, ...]:
    """Every placement of the shop's table in its order. Raises TableError naming file and line."""
    return tuple(_placement(block) for block in sections(table_path(TABLE) if path is None else path))


def placement_named(key: str, placements: Sequence[Placement]) -> Placement:
    """The placement of that key. Raises LayoutError that lists the keys there are."""
    for placement in placements:
        if placement.key == key:
            return placement
    known = ", ".join(placement.key for placement in placements)
    raise LayoutError(f"there is no placement “{key[:40]}”; the placements are {known}")


def preset_width_mm(placement: Placement, garment_size: str, aspect: float) -> float:
    """How wide art of that aspect (height over width) is printed there, in mm, within the at-most box.

    Raises LayoutError for a garment size the placement is not made for.
    """
    widths = dict(placement.widths_mm)
    if garment_size not in widths:
        sizes = ", ".join(placement.garment_sizes)
        raise LayoutError(f"{placement.key} is not made for “{garment_size[:40]}”; its sizes are {sizes}")
    return min(widths[garment_size], placement.most_width_mm, placement.most_height_mm / aspect)


def _placement(block: Section) -> Placement:
    block.only(_KEYS)
    most_width_mm, most_height_mm = _at_most(block)
    return Placement(
        key=block.name,
        name=block.name[:1].upper() + block.name[1:],
        widths_mm=_widths(block),
        most_width_mm=most_width_mm,
        most_height_mm=most_height_mm,
        laid=block.text("laid"),
        garment=block.choice("garment", GARMENTS),
        side=block.choice("side", SIDES),
        measured_from=block.text("measured_from"),
        edge=block.choice("edge", EDGES),
        drop_mm=block.length_mm("drop"),
        across_mm=block.signed_length_mm("across"),
    )


def _widths(block: Section) -> tuple[tuple[str, float], ...]:
    value = block.value("widths")
    if isinstance(value, str):
        value = dict.fromkeys(GARMENT_SIZES, value)
    if not isinstance(value, dict) or not value or not set(value) <= set(GARMENT_SIZES):
        raise block.mistake("widths", f"must be one length, or lengths for {', '.join(GARMENT_SIZES)}")
    return tuple((size, _positive(block, "widths", value[size])) for size in GARMENT_SIZES if size in value)


def _at_most(block: Section) -> tuple[float, float]:
    value = block.value("at_most")
    if not isinstance(value, list) or len(value) != 2:
        raise block.mistake("at_most", "must be two lengths: the width and the height")
    return _positive(block, "at_most", value[0]), _positive(block, "at_most", value[1])


def _positive(block: Section, key: str, value: object) -> float:
    length_mm = block.as_length_mm(key, value)
    if length_mm <= 0:
        raise block.mistake(key, "must be more than 0")
    return length_mm
