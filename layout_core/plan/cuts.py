"""What nobody can lay on one sheet: dual-feasible cuts of boxes, and the area cut of true outlines."""

from collections.abc import Callable, Collection, Iterator, Sequence
from fractions import Fraction
from functools import partial

import numpy as np

from layout_core.packing.covers import steps_down, steps_up
from layout_core.packing.fill import FillSheet
from layout_core.plan.problem import Cut

ROOM = 7_207_200
"""The room of every cut: a multiple of 1 to 15, so that halves, thirds, … stay exact whole weights."""

Box = tuple[int, int]
Weight = Callable[[Fraction], Fraction]

_POWERS = range(1, 8)
_HALF = Fraction(1, 2)


def box_cuts(sizes: Sequence[Box], sheet: Box, barred: Collection[int] = ()) -> tuple[Cut, ...]:
    """Cuts that hold for every layout of boxes, each lying as given or, unless barred, a quarter turned.

    Sizes are whole steps with the gap added to boxes and sheet alike. A box that fits in no way weighs
    more than the sheet has room.

    Source: S. P. Fekete, J. Schepers, "A general framework for bounds for higher-dimensional orthogonal
    packing problems", Math. Methods Oper. Res. 60 (2004), section 2 and 3: the product of two dual feasible
    functions; formulas from memory. With quarter turns each box weighs the lesser of its two ways to lie.
    """
    width, length = sheet
    ways = [
        [
            (Fraction(w, width), Fraction(h, length))
            for w, h in (((a, b),) if at in barred else ((a, b), (b, a)))
            if w <= width and h <= length
        ]
        for at, (a, b) in enumerate(sizes)
    ]
    shares = sorted({share for way in ways for pair in way for share in pair})
    functions = list(_functions(shares))
    across = _table(functions, [[pair[0] for pair in way] for way in ways])
    along = _table(functions, [[pair[1] for pair in way] for way in ways])
    # the lesser of the two ways, for every pair of functions at once
    weights = (across[:, None] * along[None, :] // ROOM).min(axis=3).reshape(-1, len(sizes))
    return tuple(Cut(tuple(int(w) for w in row), ROOM) for row in _undominated(weights))


def steps_of(sizes_mm: Sequence[tuple[float, float]], sheet: FillSheet) -> tuple[tuple[Box, ...], Box]:
    """Boxes rounded up and the film inside the margin rounded down to whole steps, the gap added to both."""
    gap = steps_up(sheet.gap_mm)
    boxes = tuple((steps_up(width_mm) + gap, steps_up(height_mm) + gap) for width_mm, height_mm in sizes_mm)
    width, length = (
        steps_down(side_mm - 2 * sheet.margin_mm) + gap for side_mm in (sheet.width_mm, sheet.length_mm)
    )
    return boxes, (width, length)


def area_cut(areas: Sequence[float], film: float) -> Cut:
    """The cut of areas: outlines grown by half the gap, on film grown likewise; it holds for any shape."""
    return Cut(tuple(int(area / film * ROOM * (1.0 - 1e-9)) for area in areas), ROOM)


def _functions(shares: Sequence[Fraction]) -> Iterator[Weight]:
    yield _itself
    yield from (partial(_rounded, k=k) for k in _POWERS)
    thresholds = {min(x, 1 - x) for x in shares} | {x for x in shares if x <= _HALF}
    for eps in sorted(e for e in thresholds if 0 < e <= _HALF):
        yield partial(_ends, eps=eps)
        yield partial(_stepped, eps=eps)


def _itself(x: Fraction) -> Fraction:
    return x


def _rounded(x: Fraction, k: int) -> Fraction:
    """u^(k): a share that is a whole multiple of 1/(k+1) stays, any other goes down to one of 1/k."""
    return x if ((k + 1) * x).denominator == 1 else Fraction(((k + 1) * x).__floor__(), k)


def _ends(x: Fraction, eps: Fraction) -> Fraction:
    """U^(eps): what leaves less than eps takes all the room, what is below eps takes none."""
    return Fraction(1) if x > 1 - eps else x if x >= eps else Fraction(0)


def _stepped(x: Fraction, eps: Fraction) -> Fraction:
    """phi^(eps): counts how many shares of eps still fit beside it."""
    whole = (1 / eps).__floor__()
    if x > _HALF:
        return 1 - Fraction(((1 - x) / eps).__floor__(), whole)
    return Fraction(1, whole) if x >= eps else Fraction(0)


def _table(functions: Sequence[Weight], shares: Sequence[Sequence[Fraction]]) -> np.ndarray:
    """Weights (function, box, way), rounded down, which keeps a cut valid; a lone way stands twice."""
    rows = []
    for function in functions:
        for_boxes = []
        for options in shares:
            found = [int(function(share) * ROOM) for share in options] or [2 * ROOM]
            for_boxes.append([found[0], found[-1]])
        rows.append(for_boxes)
    return np.array(rows, dtype=np.int64)


def _undominated(weights: np.ndarray) -> np.ndarray:
    """The rows that no other row reaches in every column, heaviest first."""
    rows = np.unique(weights, axis=0)
    rows = rows[np.argsort(-rows.sum(axis=1), kind="stable")]
    kept: list[np.ndarray] = []
    for row in rows:
        if not kept or not (np.array(kept) >= row).all(axis=1).any():
            kept.append(row)
    return np.array(kept)
