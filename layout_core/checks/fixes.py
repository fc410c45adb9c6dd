"""Which repairs a finding can be fixed by, in plain words, the most fitting first."""

from collections.abc import Iterable
from dataclasses import dataclass

import shapely

from layout_core.art.artwork import Artwork
from layout_core.art.repair import KINDS, Repair, RepairKind
from layout_core.checks.findings import Finding
from layout_core.checks.report import ArtReport
from layout_core.geometry.pose import at_width
from layout_core.geometry.thickness import firm_limit_mm, pinholes, specks
from layout_core.job.limits import PrintLimits
from layout_core.units import Unit, write_length

HOLLOW_SHARE = 1.0
"""Art whose counters cover more than this share of its ink is drawn in outline; solid it glows. Invented."""


@dataclass(frozen=True, slots=True)
class Fix:
    """One repair as a person reads it on a button."""

    text: str
    repair: Repair


def fixes_for(
    finding: Finding, artwork: Artwork, report: ArtReport, limits: PrintLimits, unit: Unit = "in"
) -> tuple[Fix, ...]:
    """The one-click fixes of a finding about the artwork at the report's size, the most fitting first.

    Empty for a rule that no change of shape can mend. A fix always treats every place of its kind at once.
    """
    width_mm = report.size_mm[0]
    kinds = _KINDS.get(finding.rule, ())
    offered = [kind for kind in kinds if kind != "solid" or is_hollow(artwork)]
    return tuple(
        Fix(_text(kind, repair, artwork, unit), repair)
        for kind in offered
        for repair in [repair_of(kind, width_mm, limits)]
    )


def offered_fixes(
    artwork: Artwork, width_mm: float, limits: PrintLimits, unit: Unit = "in"
) -> tuple[Fix, ...]:
    """Every repair that may do something for art printed so wide, whether a finding asks for it or not."""
    hollow = any(part.interiors for part in artwork.outline.geoms)
    repairs = (repair_of(kind, width_mm, limits) for kind in KINDS)
    return tuple(
        Fix(_text(repair.kind, repair, artwork, unit), repair)
        for repair in repairs
        if (hollow or repair.kind not in ("solid", "pinholes")) and _count_of(repair, artwork) != 0
    )


_KINDS: dict[str, tuple[RepairKind, ...]] = {
    "line_weight": ("thicken", "solid"),
    "neck": ("thicken",),
    "gap": ("open", "close"),
    "bridge": ("open", "close"),
    "speck": ("specks",),
    "pinhole": ("pinholes",),
    "element_area": ("solid",),
}


def repair_of(kind: RepairKind, width_mm: float, limits: PrintLimits) -> Repair:
    """The repair of the kind for art printed so wide (mm), by the print limits."""
    line, gap = limits.line_caution_mm, limits.gap_mm
    lengths: dict[RepairKind, tuple[float, float]] = {
        "thicken": (line, 0.0),
        "open": (gap, line),
        "close": (gap, 0.0),
        "specks": (limits.dot_mm, 0.0),
        "pinholes": (limits.pinhole_mm, 0.0),
        "solid": (0.0, 0.0),
        "outline": (gap, line),
        "thin": (RIM_LINES * line, gap),
    }
    limit_mm, keep_mm = lengths[kind]
    return Repair(kind, limit_mm, width_mm, keep_mm)


RIM_LINES = 6.0
"""The rim that thinning leaves, in finest lines: an eighth of an inch for a glow ink. Invented."""


def repairs_of(kinds: Iterable[RepairKind], width_mm: float, limits: PrintLimits) -> tuple[Repair, ...]:
    """The repairs of all the kinds."""
    return tuple(repair_of(kind, width_mm, limits) for kind in kinds)


def is_hollow(artwork: Artwork) -> bool:
    """Whether the art is drawn in outline: its counters cover more than its ink."""
    holes = sum(shapely.Polygon(ring).area for part in artwork.outline.geoms for ring in part.interiors)
    return bool(holes > HOLLOW_SHARE * artwork.outline.area)


def _text(kind: RepairKind, repair: Repair, artwork: Artwork, unit: Unit) -> str:
    length = write_length(repair.limit_mm, unit, {"in": 3, "mm": 2, "cm": 3}[unit])
    if kind == "specks":
        return f"Drop {_counted(_count_of(repair, artwork) or 0, 'speck')}"
    if kind == "pinholes":
        return f"Fill {_counted(_count_of(repair, artwork) or 0, 'pinhole')}"
    return {
        "thicken": f"Thicken to {length}",
        "open": f"Open to {length}",
        "close": "Fill the narrow gaps",
        "solid": "Make solid",
        "outline": f"Solid with an outline, {length} apart",
        "thin": f"Thin to a rim of {length}",
    }[kind]


def _count_of(repair: Repair, artwork: Artwork) -> int | None:
    """How many specks or pinholes the repair would find; None for other kinds."""
    find = {"specks": specks, "pinholes": pinholes}.get(repair.kind)
    if find is None:
        return None
    return len(find(at_width(artwork.outline, repair.at_width_mm), firm_limit_mm(repair.limit_mm)))


def _counted(count: int, word: str) -> str:
    return f"{count:,} {word}" if count == 1 else f"{count:,} {word}s"
