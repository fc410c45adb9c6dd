"""A part of a board with some copies taken out, on which ways to lay it anew are tried."""

import math
from collections import Counter
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from layout_core.packing.board import BORDER, Board, Copy, Window
from layout_core.packing.fill import MenuItem
from layout_core.packing.no_fit import Mask

Spots = npt.NDArray[np.intp]

_RINGS = ((3, 8), (6, 16))
"""Radius in cells, and points looked at on the ring, to tell how closely a spot is hemmed in."""

_WEIGHED_MOST = 3000
_CHOICE_WORK = 60_000


class Manner(NamedTuple):
    """One way to fill: which items first, and which spot of those open to an item.

    The spot most hemmed in, or the one furthest in the direction.
    """

    order: tuple[int, ...]
    is_hemmed: bool
    down: float
    right: float


class Patch:
    """The open spots of a window once the taken copies are out; the board itself is left as it is."""

    def __init__(self, board: Board, menu: Sequence[MenuItem], taken: Sequence[Copy], window: Window) -> None:
        self._board = board
        self._menu = menu
        gone = set(taken)
        self._kept = [copy for copy in board.copies if copy not in gone]
        self._row0, self._column0 = window.row0 - BORDER, window.column0 - BORDER
        self._counts = board.counts[
            :, self._row0 : window.row1 + BORDER, self._column0 : window.column1 + BORDER
        ].copy()
        for copy in taken:
            board.add(self._counts, self._row0, self._column0, copy, -1)
        _, self._height, self._width = self._counts.shape
        is_open = np.zeros(self._counts.shape, dtype=bool)
        within = np.s_[:, BORDER:-BORDER, BORDER:-BORDER]
        is_open[within] = self._counts[within] == 0
        self._open = np.flatnonzero(is_open)
        board.work += 2 * self._counts.size
        item_of = np.array([variant.item for variant in board.variants.all], dtype=np.intp)
        self._item_at = item_of[self._open // (self._height * self._width)]
        self._laid = Counter(int(item_of[copy.variant]) for copy in self._kept)
        self._rings = np.array(
            [
                round(r * math.sin(2 * math.pi * k / n)) * self._width
                + round(r * math.cos(2 * math.pi * k / n))
                for r, n in _RINGS
                for k in range(n)
            ],
            dtype=np.intp,
        )

    def filled(self, manner: Manner, first: Copy | None = None) -> list[Copy]:
        """New copies for the open spots, `first` before all, then item by item until nothing more fits."""
        counts = self._counts.copy()
        in_line = counts.reshape(-1)
        self._board.work += counts.size
        spots, items = self._open, self._item_at
        laid, added = self._laid.copy(), list[Copy]()
        if first is not None:
            added.append(first)
            laid[self._board.variants.all[first.variant].item] += 1
            self._board.add(counts, self._row0, self._column0, first, 1)
            still = in_line[spots] == 0
            spots, items = spots[still], items[still]
        for item in manner.order:
            while laid[item] < self._menu[item].most:
                mine = spots[items == item]
                if not len(mine):
                    break
                spot = self._chosen(mine, in_line, manner)
                copy = self._copy(spot)
                if self._board.is_sound(copy, self._kept + added):
                    added.append(copy)
                    laid[item] += 1
                    self._board.add(counts, self._row0, self._column0, copy, 1)
                    still = in_line[spots] == 0
                else:
                    still = spots != spot
                spots, items = spots[still], items[still]
        return added

    def _copy(self, spot: int) -> Copy:
        rest, column = divmod(spot, self._width)
        variant, row = divmod(rest, self._height)
        return Copy(variant, row + self._row0, column + self._column0)

    def _chosen(self, spots: Spots, in_line: Mask, manner: Manner) -> int:
        self._board.work += 8 * len(spots) + _CHOICE_WORK
        if not manner.is_hemmed:
            return int(spots[np.argmax(self._ahead(spots, manner))])
        if len(spots) > _WEIGHED_MOST:
            spots = spots[np.linspace(0, len(spots) - 1, _WEIGHED_MOST).astype(np.intp)]
        barred = in_line[spots[:, None] + self._rings] > 0
        self._board.work += 100 * len(spots)
        return int(spots[np.argmax(barred.sum(axis=1) + 0.01 * self._ahead(spots, manner))])

    def _ahead(self, spots: Spots, manner: Manner) -> npt.NDArray[np.float64]:
        rest, column = np.divmod(spots, self._width)
        return np.asarray(manner.down * (rest % self._height) + manner.right * column)
