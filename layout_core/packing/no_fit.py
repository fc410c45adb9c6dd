"""Raster no-fit masks: at which lattice offsets one outline comes nearer than the gap to another."""

from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np
import numpy.typing as npt
import scipy.fft
from shapely.geometry.base import BaseGeometry

from layout_core.packing.raster import Cells, sampled
from layout_core.packing.variants import Turn, Variant, VariantSet

Mask: TypeAlias = npt.NDArray[Any]
Spectrum: TypeAlias = npt.NDArray[np.complex64]

_FINE = 2
"""Fine steps to one step of the lattice on which pieces are laid."""

_SLACK_STEPS = 0.35
"""Share of a fine step by which two outlines together are grown; errors stay within half a step either way.
What comes out too near is found by the exact check, what comes out too far costs that much film."""


@dataclass(frozen=True, slots=True)
class Lattice:
    """Centres of pieces lie at (x0 + column * pitch, y0 + row * pitch) inside a width x length stretch."""

    x0_mm: float
    y0_mm: float
    width_mm: float
    length_mm: float
    pitch_mm: float

    @property
    def columns(self) -> int:
        return int(self.width_mm / self.pitch_mm) + 1

    @property
    def rows(self) -> int:
        return int(self.length_mm / self.pitch_mm) + 1


class NoFitMasks:
    """Masks of every variant against every other, made when first asked for.

    `stack(v)[u, row, column]` is 1 where variant u may not lie at offset (column, row) minus `reach(v)`
    from a copy of variant v.
    """

    def __init__(self, variants: VariantSet, gap_mm: float, pitch_mm: float, dtype: type) -> None:
        self._variants = variants
        self.dtype = dtype
        self._gap_mm = gap_mm
        self._pitch_mm = pitch_mm
        self._step_mm = pitch_mm / _FINE
        self._slack_mm = _SLACK_STEPS * self._step_mm
        most_mm = max((max(v.half_w_mm, v.half_h_mm) for v in variants.all), default=0.0)
        self._coarse: int = scipy.fft.next_fast_len(4 * int((most_mm + gap_mm) / pitch_mm) + 10)
        self._thin: dict[Turn, Spectrum] = {}
        self._grown: dict[Turn, Spectrum] = {}
        self._squares: dict[tuple[Turn, Turn], Cells] = {}
        self._stacks: dict[int, Mask] = {}
        far_mm = gap_mm + self._step_mm
        wide_mm = max((v.half_w_mm for v in variants.all), default=0.0) + far_mm
        tall_mm = max((v.half_h_mm for v in variants.all), default=0.0) + far_mm
        self._reaches = [
            (int((wide_mm + v.half_w_mm) / pitch_mm) + 1, int((tall_mm + v.half_h_mm) / pitch_mm) + 1)
            for v in variants.all
        ]

    def reach(self, v: int) -> tuple[int, int]:
        """Columns and rows from the middle of the stack's masks to their edge."""
        return self._reaches[v]

    def stack(self, v: int) -> Mask:
        if v not in self._stacks:
            self._stacks[v] = self._stacked(v)
        return self._stacks[v]

    def _stacked(self, v: int) -> Mask:
        """Turning two pieces together turns their mask, so only masks of unturned pieces are worked out."""
        columns, rows = self.reach(v)
        mine = self._variants.all[v]
        mask: Mask = np.empty((len(self._variants.all), 2 * rows + 1, 2 * columns + 1), dtype=self.dtype)
        unturned = self._variants.lookalike(Turn(mine.item, mine.family, 0))
        for number, other in enumerate(self._variants.all):
            quarter = (other.quarter - mine.quarter) % 4
            partner = self._variants.lookalike(Turn(other.item, other.family, quarter))
            square = np.rot90(self._square(unturned, partner), -mine.quarter)
            middle = len(square) // 2
            mask[number] = square[middle - rows : middle + rows + 1, middle - columns : middle + columns + 1]
        return mask

    def _square(self, v: Turn, u: Turn) -> Cells:
        """The mask of u against v with the middle in the middle; odd sides."""
        if (v, u) not in self._squares:
            if v not in self._grown:
                far_mm = self._gap_mm + self._slack_mm / 2.0
                self._grown[v] = self._spectrum(self._variants.shape(v).buffer(far_mm, quad_segs=12))
            if u not in self._thin:
                self._thin[u] = self._spectrum(
                    self._variants.shape(u).buffer(self._slack_mm / 2.0, quad_segs=2)
                )
            hits = np.fft.fftshift(_folded_back(self._grown[v], self._thin[u]))
            odd = self._coarse % 2 == 0
            self._squares[v, u] = hits[int(odd) :, int(odd) :]
        return self._squares[v, u]

    def _spectrum(self, shape: BaseGeometry) -> Spectrum:
        side = self._coarse * _FINE
        low_mm = -(side // 2) * self._step_mm
        cells = sampled(shape, low_mm, low_mm, self._step_mm, side, side)
        return _transformed(np.fft.ifftshift(cells))


class Ground:
    """The sheet with its obstacles, asked where a variant may lie."""

    def __init__(self, lattice: Lattice, obstacles: BaseGeometry, gap_mm: float) -> None:
        self._lattice = lattice
        self._step_mm = lattice.pitch_mm / _FINE
        self._slack_mm = _SLACK_STEPS * self._step_mm
        self._columns = scipy.fft.next_fast_len(lattice.columns)
        self._rows = scipy.fft.next_fast_len(lattice.rows)
        grown = obstacles.buffer(gap_mm + self._slack_mm / 2.0, quad_segs=12)
        size = self._columns * _FINE, self._rows * _FINE
        cells = sampled(grown, lattice.x0_mm, lattice.y0_mm, self._step_mm, *size)
        self._spectrum = _transformed(cells) if cells.any() else None

    def barred(self, variant: Variant) -> Cells:
        """(rows, columns): where the variant would leave the lattice's stretch or meet an obstacle."""
        barred = self._outside(variant)
        if self._spectrum is not None and not barred.all():
            thin = variant.shape.buffer(self._slack_mm / 2.0, quad_segs=2)
            low = [-int(half / self._step_mm) - 2 for half in (variant.half_w_mm, variant.half_h_mm)]
            size = [1 - 2 * each for each in low]
            piece = sampled(thin, low[0] * self._step_mm, low[1] * self._step_mm, self._step_mm, *size)
            cells = np.zeros((self._rows * _FINE, self._columns * _FINE), dtype=np.bool_)
            cells[: size[1], : size[0]] = piece[: cells.shape[0], : cells.shape[1]]
            hits = _folded_back(self._spectrum, _transformed(np.roll(cells, low[::-1], axis=(0, 1))))
            barred |= hits[: self._lattice.rows, : self._lattice.columns]
        return barred

    def _outside(self, variant: Variant) -> Cells:
        at = self._lattice
        barred = np.ones((at.rows, at.columns), dtype=np.bool_)
        # A billionth of a millimetre is dust of floating point.
        wide, tall = variant.half_w_mm / at.pitch_mm - 1e-9, variant.half_h_mm / at.pitch_mm - 1e-9
        columns = slice(max(int(np.ceil(wide)), 0), int(np.floor(at.width_mm / at.pitch_mm - wide)) + 1)
        rows = slice(max(int(np.ceil(tall)), 0), int(np.floor(at.length_mm / at.pitch_mm - tall)) + 1)
        if columns.stop > 0 and rows.stop > 0:
            barred[rows, columns] = False
        return barred


def _transformed(cells: Cells) -> Spectrum:
    return np.asarray(scipy.fft.fft2(cells.astype(np.complex64), overwrite_x=True), dtype=np.complex64)


def _folded_back(fixed: Spectrum, moved: Spectrum) -> Cells:
    """Whether any cell is shared, at every offset of whole lattice steps."""
    product = fixed * np.conj(moved)
    rows, columns = product.shape[0] // _FINE, product.shape[1] // _FINE
    # Folding the spectrum keeps every _FINE-th sample of what it stands for.
    folded = product.reshape(_FINE, rows, _FINE, columns).sum(axis=(0, 2))
    hits = scipy.fft.ifft2(folded, overwrite_x=True).real
    return np.asarray(hits > 0.5 * _FINE**2, dtype=np.bool_)
