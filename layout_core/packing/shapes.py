"""The true-shape engine: fills round what lies on the sheet with outlines, not boxes, better and better."""

import math
from collections.abc import Sequence

import shapely

from layout_core.errors import Cancelled
from layout_core.packing.audit import breaches
from layout_core.packing.board import Board, Copy
from layout_core.packing.boxes import fill_with_boxes
from layout_core.packing.effort import Effort
from layout_core.packing.fill import Filling, FillSheet, Laid, MenuItem, OnBetter, unheard, value_of
from layout_core.packing.no_fit import Lattice
from layout_core.packing.ruin import Search
from layout_core.packing.variants import VariantSet, hiding, variants_of
from layout_core.progress import Progress, no_progress, within
from layout_core.units import MM_PER_IN

USUAL_EFFORT_S = 6.0
_BOXES_EFFORT_S = 0.1
_BOXES_SHARE = 0.02
_SEED = 20

NO_TURN = (0.0,)
ANY_TURN = (0.0, 30.0, 60.0)
"""Angles from the wanted turn; quarter turns of each come with it."""

_FINEST_MM = MM_PER_IN / 25.0
_CELLS_MOST = 12_000_000
_MASK_CELLS_MOST = 80_000_000


def fill_with_shapes(
    sheet: FillSheet,
    menu: Sequence[MenuItem],
    *,
    effort_s: float = USUAL_EFFORT_S,
    progress: Progress = no_progress,
    on_better: OnBetter = unheard,
    angles_deg: Sequence[float] = NO_TURN,
) -> Filling:
    """Lays pieces by their true outlines, turned as they may be, round the true outlines on the sheet.

    The answer of the box engine comes first; the search goes on from an empty sheet until the effort is
    spent, Stop ends it or the whole menu lies. Every copy is measured exactly before it counts. Items that
    may be turned freely are also tried at each of the angles, and quarter turns from there.
    """
    best: tuple[Laid, ...] = ()
    value = 0.0

    def hear(laid: tuple[Laid, ...]) -> None:
        nonlocal best, value
        best, value = laid, value_of(laid, menu)
        on_better(laid)

    quick = fill_with_boxes(
        sheet,
        menu,
        effort_s=min(_BOXES_EFFORT_S, effort_s),
        progress=within(progress, 0.0, _BOXES_SHARE),
        on_better=hear,
    )
    if not quick.is_complete or len(best) >= sum(item.most for item in menu):
        return Filling(quick.laid, quick.is_complete)
    effort = Effort(effort_s, within(progress, _BOXES_SHARE, 1.0))
    try:
        _search(sheet, menu, angles_deg, effort, value, hear)
    except Cancelled:
        return Filling(best, is_complete=False)
    return Filling(best)


def _search(
    sheet: FillSheet,
    menu: Sequence[MenuItem],
    angles_deg: Sequence[float],
    effort: Effort,
    value: float,
    hear: OnBetter,
) -> None:
    width_mm, length_mm = sheet.width_mm - 2.0 * sheet.margin_mm, sheet.length_mm - 2.0 * sheet.margin_mm
    variants = variants_of(menu, angles_deg)
    if width_mm <= 0.0 or length_mm <= 0.0 or not variants.all:
        return
    pitch_mm = _pitch_mm(width_mm, length_mm, variants, sheet.gap_mm)
    lattice = Lattice(sheet.margin_mm, sheet.margin_mm, width_mm, length_mm, pitch_mm)
    obstacles = shapely.union_all([hiding(each) for each in sheet.obstacles])
    board = Board(lattice, variants, obstacles, sheet.gap_mm)
    for found, copies in Search(board, menu, effort, _SEED).better():
        if found > value + 1e-9:
            laid = _laid_of(copies, board, menu)
            if not breaches(sheet, laid, menu):
                value = found
                hear(laid)


def _laid_of(copies: Sequence[Copy], board: Board, menu: Sequence[MenuItem]) -> tuple[Laid, ...]:
    variants = board.variants.all
    return tuple(
        Laid(menu[variants[copy.variant].item].key, variants[copy.variant].pose(*board.place_mm(copy)))
        for copy in copies
    )


def _pitch_mm(width_mm: float, length_mm: float, variants: VariantSet, gap_mm: float) -> float:
    """The pitch at which maps and masks stay within the memory meant for them."""
    count = len(variants.all)
    cells = count * width_mm * length_mm
    tall = max(v.half_h_mm for v in variants.all) + gap_mm
    wide = max(v.half_w_mm for v in variants.all) + gap_mm
    masks = count * sum(4.0 * (v.half_w_mm + wide) * (v.half_h_mm + tall) for v in variants.all)
    return max(_FINEST_MM, math.sqrt(cells / _CELLS_MOST), math.sqrt(masks / _MASK_CELLS_MOST))
