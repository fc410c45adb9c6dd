"""Repairs of art for print: which there are, and the artwork that comes of them.

The order is fixed, whatever order they are asked for in: first what drops, fills or empties whole areas, then
lines are thickened, then gaps opened, then both looked at again, since the one may undo the other.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal, get_args

import shapely
from shapely import MultiPolygon

from layout_core.art.artwork import Artwork, outline_digest
from layout_core.art.repair_steps import SAME_WIDTH_SHARE, Sizes, repaired_outline
from layout_core.errors import RepairError
from layout_core.geometry.outline import valid_union
from layout_core.progress import Progress, no_progress, within

RepairKind = Literal["specks", "pinholes", "solid", "outline", "thin", "thicken", "open", "close"]

KINDS: tuple[RepairKind, ...] = get_args(RepairKind)
"""Every kind, in the order in which repairs are done."""

MOST_LIMIT_MM = 1_000.0
MOST_WIDTH_MM = 10_000.0


@dataclass(frozen=True, slots=True)
class Repair:
    """One repair, stated for the art printed `at_width_mm` wide; lengths in mm as printed.

    `limit_mm` is what lines are thickened to, gaps opened to or closed below, the least dot and hole, the
    knock-out line of an outline, and the rim that thinning leaves. `keep_mm` is the ink left beside an opened
    gap, the least line of an outline, and the least hollow of thinning; 0 asks for none. "solid" needs none.
    """

    kind: RepairKind
    limit_mm: float
    at_width_mm: float
    keep_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class RepairPreview:
    """Artwork before and after repairs: ink that was added and taken away, in the frame of the one before."""

    before: Artwork
    after: Artwork
    added: MultiPolygon
    removed: MultiPolygon


def checked_repair(repair: Repair) -> Repair:
    """The repair as it is. Raises RepairError for a kind that there is not, or a length out of bounds."""
    if repair.kind not in KINDS:
        raise RepairError(f"“{str(repair.kind)[:20]}” is no repair; there are {', '.join(KINDS)}")
    least_mm = 0.0 if repair.kind == "solid" else 1e-3
    for value, least, most, words in (
        (repair.limit_mm, least_mm, MOST_LIMIT_MM, "the limit of a repair"),
        (repair.at_width_mm, 1e-3, MOST_WIDTH_MM, "the width a repair is for"),
        (repair.keep_mm, 0.0, MOST_LIMIT_MM, "what a repair keeps"),
    ):
        if not math.isfinite(value) or not least <= value <= most:
            raise RepairError(f"{words} is {value:g} mm; it must be from {least:g} to {most:,.0f} mm")
    return repair


def in_order(repairs: Sequence[Repair]) -> tuple[Repair, ...]:
    """The repairs in the order they are done, of each kind the last one only."""
    last = {repair.kind: repair for repair in repairs}
    return tuple(last[kind] for kind in KINDS if kind in last)


def width_after_mm(before: Artwork, after: Artwork, width_mm: float) -> float:
    """How wide (mm) a piece is to be after repairs that was `width_mm` wide before.

    It keeps its width, unless ink at the edge fell away or grew: then it keeps how much it enlarges the art.
    """
    growth = after.width_mm / before.width_mm
    return width_mm if abs(growth - 1.0) < SAME_WIDTH_SHARE else width_mm * growth


def repaired(artwork: Artwork, repairs: Sequence[Repair], progress: Progress = no_progress) -> Artwork:
    """The artwork with the repairs done; its notes say what was done, and what is still too fine.

    The same artwork and repairs give the same bytes; art that needs none of them comes back as it is. Raises
    RepairError for a repair that makes no sense, and where nothing would be left.
    """
    return repair_preview(artwork, repairs, progress).after


def repair_preview(
    artwork: Artwork, repairs: Sequence[Repair], progress: Progress = no_progress
) -> RepairPreview:
    """What the repairs would change; raises as `repaired` does."""
    steps = [_sizes(checked_repair(repair), artwork) for repair in in_order(repairs)]
    outline, notes = repaired_outline(artwork.outline, steps, within(progress, 0.0, 0.9))
    if outline.is_empty:
        raise RepairError(f"{artwork.name}: nothing would be left of it; print it larger instead")
    nothing = MultiPolygon()
    if outline is artwork.outline:
        return RepairPreview(artwork, artwork, nothing, nothing)
    progress(0.9, "Comparing")
    added = valid_union(shapely.difference(outline, artwork.outline))
    removed = valid_union(shapely.difference(artwork.outline, outline))
    progress(1.0, "Repaired")
    return RepairPreview(artwork, _with_outline(artwork, outline, notes), added, removed)


def _sizes(repair: Repair, artwork: Artwork) -> Sizes:
    """The lengths of a repair at the artwork's natural size."""
    return Sizes(repair.kind, repair.limit_mm, repair.keep_mm, artwork.width_mm / repair.at_width_mm)


def _with_outline(artwork: Artwork, outline: MultiPolygon, notes: Sequence[str]) -> Artwork:
    min_x, min_y, _, _ = outline.bounds
    moved = (
        outline
        if (min_x, min_y) == (0.0, 0.0)
        else shapely.transform(outline, lambda xy: xy - (min_x, min_y))
    )
    sound = valid_union(moved)
    width_px = artwork.ink_width_px
    return replace(
        artwork,
        outline=sound,
        outline_digest=outline_digest(sound),
        ink_width_px=None if width_px is None else width_px * sound.bounds[2] / artwork.width_mm,
        notes=(*artwork.notes, *notes),
    )
