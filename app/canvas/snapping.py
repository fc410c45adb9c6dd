"""Pulls a moving box onto the lines of a sheet: its edges, margin, centre, other pieces, the gap to them."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Box = tuple[float, float, float, float]
"""Left, top, right, bottom in the sheet frame, mm."""

ALIGN_WITHIN_MM = 80.0
"""Pieces farther off than this offer no line; a full sheet would otherwise catch at every step. Invented."""


class Line(StrEnum):
    EDGE = "edge"
    MARGIN = "margin"
    CENTRE = "centre"
    PIECE = "piece"
    GAP = "gap"


@dataclass(frozen=True, slots=True)
class Guide:
    """A line that caught the box: upright (x = at_mm) or level (y = at_mm), drawn over a stretch, mm."""

    upright: bool
    at_mm: float
    from_mm: float
    to_mm: float
    line: Line


@dataclass(frozen=True, slots=True)
class Snap:
    """How far to shift the box (mm), and the guides that pulled it."""

    dx_mm: float = 0.0
    dy_mm: float = 0.0
    guides: tuple[Guide, ...] = ()


@dataclass(frozen=True, slots=True)
class SheetLines:
    """The size of a sheet and what its pieces keep, mm."""

    width_mm: float
    length_mm: float
    margin_mm: float
    gap_mm: float


class Snapper:
    """All lines of one sheet; built once a drag."""

    def __init__(self, sheet: SheetLines, others: Sequence[Box]) -> None:
        self._sheet = sheet
        self._others: NDArray[np.float64] = np.asarray(others, dtype=float).reshape(-1, 4)

    def snap(self, box: Box, reach_mm: float) -> Snap:
        """The shift that puts the box onto the nearest upright and the nearest level line within reach."""
        dx_mm, upright = self._pull(box, 0, reach_mm)
        dy_mm, level = self._pull(box, 1, reach_mm)
        if upright is None and level is None:
            return Snap()
        moved = (box[0] + dx_mm, box[1] + dy_mm, box[2] + dx_mm, box[3] + dy_mm)
        found = (
            self._guide(hit, moved, axis) for axis, hit in enumerate((upright, level)) if hit is not None
        )
        return Snap(dx_mm, dy_mm, tuple(found))

    def _pull(self, box: Box, axis: Literal[0, 1], reach_mm: float) -> "tuple[float, _Hit | None]":
        low, high = box[axis], box[axis + 2]
        hits = [*self._sheet_hits(low, high, axis), *self._piece_hits(box, axis)]
        best = min(hits, key=lambda hit: (round(abs(hit.pull_mm), 6), hit.away_mm), default=None)
        if best is None or abs(best.pull_mm) > reach_mm:
            return 0.0, None
        return best.pull_mm, best

    def _sheet_hits(self, low: float, high: float, axis: Literal[0, 1]) -> "list[_Hit]":
        extent, across = self._sheet.width_mm, self._sheet.length_mm
        if axis == 1:
            extent, across = across, extent
        middle, margin = (low + high) / 2, self._sheet.margin_mm
        hits = [
            _Hit(-low, 0.0, 0.0, across, Line.EDGE),
            _Hit(extent - high, extent, 0.0, across, Line.EDGE),
            _Hit(extent / 2 - middle, extent / 2, 0.0, across, Line.CENTRE),
        ]
        if margin > 0:
            hits.append(_Hit(margin - low, margin, 0.0, across, Line.MARGIN))
            hits.append(_Hit(extent - margin - high, extent - margin, 0.0, across, Line.MARGIN))
        return hits

    def _piece_hits(self, box: Box, axis: Literal[0, 1]) -> "list[_Hit]":
        if not len(self._others):
            return []
        low, high = box[axis], box[axis + 2]
        cross = 1 - axis
        away = np.maximum(self._others[:, cross] - box[cross + 2], box[cross] - self._others[:, cross + 2])
        near = away <= ALIGN_WITHIN_MM
        others, away = self._others[near], away[near]
        if not len(others):
            return []
        o_low, o_high = others[:, axis], others[:, axis + 2]
        gap = self._sheet.gap_mm
        facing = np.where(away < gap, 0.0, np.inf)
        pulls = np.stack(
            [
                o_high + gap - low + facing,
                o_low - gap - high + facing,
                o_low - low,
                o_high - high,
                o_high - low,
                o_low - high,
                (o_low + o_high - low - high) / 2,
            ]
        )
        row, column = _best(np.abs(pulls), away)
        at = (low, high, low, high, low, high, (low + high) / 2)[row] + pulls[row, column]
        start, end = others[column, cross], others[column, cross + 2]
        line = Line.GAP if row < 2 else Line.PIECE
        return [_Hit(float(pulls[row, column]), float(at), start, end, line, max(float(away[column]), 0.0))]

    def _guide(self, hit: "_Hit", moved: Box, axis: int) -> Guide:
        cross = 1 - axis
        start, end = hit.from_mm, hit.to_mm
        if hit.line in (Line.PIECE, Line.GAP):
            start, end = min(start, moved[cross]), max(end, moved[cross + 2])
        return Guide(axis == 0, hit.at_mm, float(start), float(end), hit.line)


@dataclass(frozen=True, slots=True)
class _Hit:
    pull_mm: float
    at_mm: float
    from_mm: float
    to_mm: float
    line: Line
    away_mm: float = 0.0


def _best(distances: NDArray[np.float64], away: NDArray[np.float64]) -> tuple[int, int]:
    """Row and column of the least distance; ties go to the higher row, then to the nearer piece."""
    rows, columns = np.nonzero(distances <= distances.min() + 1e-6)
    order = np.lexsort((np.maximum(away[columns], 0.0), rows))
    return int(rows[order[0]]), int(columns[order[0]])
