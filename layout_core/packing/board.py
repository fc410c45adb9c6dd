"""A sheet on a lattice: how many copies bar each spot for each variant, kept up while copies come and go."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from layout_core.packing.no_fit import Ground, Lattice, Mask, NoFitMasks
from layout_core.packing.variants import VariantSet

BORDER = 8
"""Barred cells round the lattice, so that a look about a spot needs no bounds."""

_BARRED = 128
_BARRED_WIDE = 4096
_MEASURING_WORK = 40_000


class Copy(NamedTuple):
    """One copy on the lattice."""

    variant: int
    row: int
    column: int


class Window(NamedTuple):
    """Rows and columns of a board, the ends not included."""

    row0: int
    row1: int
    column0: int
    column1: int


class Board:
    """`counts[v, row, column]` is 0 where variant v may lie now; rows and columns include the border.

    Lattice masks are good to about half a fine step, so `is_sound` asks the true distance before a copy is
    laid and corrects the masks where they were wrong; that is remembered, hence asked once for each offset.
    `work` counts the cells looked at, a clock that runs alike on every machine.
    """

    def __init__(
        self, lattice: Lattice, variants: VariantSet, obstacles: BaseGeometry, gap_mm: float
    ) -> None:
        self.lattice = lattice
        self.variants = variants
        self.copies: list[Copy] = []
        self.work = 0
        self._gap_mm = gap_mm
        self._obstacles = obstacles
        shapely.prepare(obstacles)
        shapely.prepare([variant.shape for variant in variants.all])
        is_small = _barring_most(variants, gap_mm) < _BARRED
        self.masks = NoFitMasks(variants, gap_mm, lattice.pitch_mm, np.uint8 if is_small else np.int16)
        self._never = _BARRED if is_small else _BARRED_WIDE
        self.counts: Mask = np.full(
            (len(variants.all), lattice.rows + 2 * BORDER, lattice.columns + 2 * BORDER),
            self._never,
            self.masks.dtype,
        )
        ground = Ground(lattice, obstacles, gap_mm)
        for number, variant in enumerate(variants.all):
            barred = ground.barred(variant)
            self.counts[number, BORDER:-BORDER, BORDER:-BORDER] = np.where(barred, self._never, 0)
        self._hard = self.counts > 0
        self._xy = [shapely.get_coordinates(variant.shape) for variant in variants.all]
        self._clear_of_ground: dict[Copy, bool] = {}
        self._clear: dict[tuple[int, int, int, int], bool] = {}

    @property
    def everywhere(self) -> Window:
        _, height, width = self.counts.shape
        return Window(BORDER, height - BORDER, BORDER, width - BORDER)

    def lay(self, copy: Copy) -> None:
        self.copies.append(copy)
        self.add(self.counts, 0, 0, copy, 1)

    def lift(self, copy: Copy) -> None:
        self.copies.remove(copy)
        self.add(self.counts, 0, 0, copy, -1)

    def window(self, copies: Sequence[Copy]) -> Window:
        """What the copies may bar together."""
        reaches = [self.masks.reach(copy.variant) for copy in copies]
        all_of_it = self.everywhere
        return Window(
            max(min(c.row - rows for c, (_, rows) in zip(copies, reaches, strict=True)), all_of_it.row0),
            min(max(c.row + rows + 1 for c, (_, rows) in zip(copies, reaches, strict=True)), all_of_it.row1),
            max(
                min(c.column - cols for c, (cols, _) in zip(copies, reaches, strict=True)), all_of_it.column0
            ),
            min(
                max(c.column + cols + 1 for c, (cols, _) in zip(copies, reaches, strict=True)),
                all_of_it.column1,
            ),
        )

    def add(self, counts: Mask, row0: int, column0: int, copy: Copy, by: int) -> None:
        """Count the copy in, or out with -1, on a part of the board that begins at that row and column."""
        columns, rows = self.masks.reach(copy.variant)
        stack = self.masks.stack(copy.variant)
        _, height, width = counts.shape
        top, left = copy.row - rows - row0, copy.column - columns - column0
        first_row, first_column = max(top, 0), max(left, 0)
        end_row, end_column = min(top + 2 * rows + 1, height), min(left + 2 * columns + 1, width)
        if end_row <= first_row or end_column <= first_column:
            return
        part = stack[:, first_row - top : end_row - top, first_column - left : end_column - left]
        target = counts[:, first_row:end_row, first_column:end_column]
        if by > 0:
            target += part
        else:
            target -= part
        self.work += part.size

    def is_sound(self, copy: Copy, others: Sequence[Copy]) -> bool:
        """Whether the copy keeps the gap to the obstacles and the other copies by true distance."""
        if not self._keeps_off_ground(copy):
            return False
        columns, rows = self.masks.reach(copy.variant)
        for other in others:
            down, right = copy.row - other.row, copy.column - other.column
            if (
                abs(down) <= rows
                and abs(right) <= columns
                and not self._keeps_off(copy.variant, other.variant, down, right)
            ):
                return False
        return True

    def place_mm(self, copy: Copy) -> tuple[float, float]:
        """Centre of the copy's bounds on the sheet."""
        at = self.lattice
        return (
            at.x0_mm + (copy.column - BORDER) * at.pitch_mm,
            at.y0_mm + (copy.row - BORDER) * at.pitch_mm,
        )

    def shape(self, copy: Copy) -> BaseGeometry:
        """The copy's hiding outline on the sheet."""
        return self._moved(copy.variant, *self.place_mm(copy))

    def _moved(self, v: int, x_mm: float, y_mm: float) -> BaseGeometry:
        """The variant's outline with its centre there; affinity.translate takes five times as long."""
        box = np.array([self.variants.all[v].shape], dtype=object)
        moved: BaseGeometry = shapely.set_coordinates(box, self._xy[v] + (x_mm, y_mm))[0]
        return moved

    def _keeps_off_ground(self, copy: Copy) -> bool:
        known = self._clear_of_ground.get(copy)
        if known is None:
            known = self._is_far_from_ground(copy)
            if not known:
                known = not shapely.dwithin(self._obstacles, self.shape(copy), self._gap_mm)
                self.work += _MEASURING_WORK
            self._clear_of_ground[copy] = known
            if not known and self.counts[copy] < self._never:
                self.counts[copy] += self._never
        return known

    def _keeps_off(self, v: int, u: int, down: int, right: int) -> bool:
        known = self._clear.get((v, u, down, right))
        if known is None and self._is_far(v, u, down, right):
            known = self._clear[v, u, down, right] = self._clear[u, v, -down, -right] = True
        if known is None:
            pitch = self.lattice.pitch_mm
            moved = self._moved(v, right * pitch, down * pitch)
            known = not shapely.dwithin(self.variants.all[u].shape, moved, self._gap_mm)
            self._clear[v, u, down, right] = self._clear[u, v, -down, -right] = known
            self.work += _MEASURING_WORK
            if not known:
                self._bar(u, v, down, right)
                self._bar(v, u, -down, -right)
        return known

    def _is_far_from_ground(self, copy: Copy) -> bool:
        v, row, column = copy
        return not self._hard[v, row - 1 : row + 2, column - 1 : column + 2].any()

    def _is_far(self, v: int, u: int, down: int, right: int) -> bool:
        """Whether the offset is at least a step from any barred one, more than masks can be wrong by."""
        columns, rows = self.masks.reach(u)
        row, column = down + rows, right + columns
        return not self.masks.stack(u)[v, max(row - 1, 0) : row + 2, max(column - 1, 0) : column + 2].any()

    def _bar(self, fixed: int, moved: int, down: int, right: int) -> None:
        """From now on `moved` is barred at that offset from every copy of `fixed`."""
        columns, rows = self.masks.reach(fixed)
        stack = self.masks.stack(fixed)
        if stack[moved, down + rows, right + columns]:
            return
        stack[moved, down + rows, right + columns] = 1
        _, height, width = self.counts.shape
        for copy in self.copies:
            row, column = copy.row + down, copy.column + right
            if copy.variant == fixed and 0 <= row < height and 0 <= column < width:
                self.counts[moved, row, column] += 1


def _barring_most(variants: VariantSet, gap_mm: float) -> float:
    """How many copies at most can bar one spot: those whose ink and half a gap lie in reach of it."""
    if not variants.all:
        return 0.0
    half_mm = max(max(v.half_w_mm, v.half_h_mm) for v in variants.all)
    least_mm2 = min(v.shape.buffer(gap_mm / 2.0).area for v in variants.all)
    return float((6.0 * half_mm + 2.0 * gap_mm) ** 2 / max(least_mm2, 1e-9))
