"""Makes a fill better: takes neighbours out and lays their place anew, worse at times, less and less so."""

import math
from collections.abc import Iterator, Sequence
from random import Random

from layout_core.packing.board import Board, Copy
from layout_core.packing.effort import Effort
from layout_core.packing.fill import MenuItem
from layout_core.packing.patch import Manner, Patch

_GREEDY_SHARE = 0.12
_GREEDY_LEAST = 4
_HEMMED_SHARE = 0.6
_TRIES = 2
_TAKEN_MOST = 4
_NOISES = (0.1, 0.5, 2.0)
_WARM, _COLD = 0.3, 0.03
"""Of the mean value of an item: a fill worse by that much is kept in a third of all cases."""

_WORK_SCALE = 1 / 4600
"""Cells looked at are quicker than the free rectangles in which effort is counted."""

Found = tuple[float, tuple[Copy, ...]]


class Search:
    """One search on one board; `better` gives each fill that beats the one before."""

    def __init__(self, board: Board, menu: Sequence[MenuItem], effort: Effort, seed: int) -> None:
        self._board = board
        self._menu = menu
        self._effort = effort
        self._random = Random(seed)
        self._values = [menu[variant.item].value for variant in board.variants.all]
        self._most = sum(item.most for item in menu)

    def better(self) -> Iterator[Found]:
        """Fills with their values, from an empty board on until the effort is spent."""
        best: Found = (0.0, ())
        for value, copies in self._greedy_fills():
            if value > best[0]:
                best = value, copies
                yield best
            if len(copies) >= self._most:
                return
        for copy in best[1]:
            self._board.lay(copy)
        yield from self._annealed(best[0])

    def _greedy_fills(self) -> Iterator[Found]:
        patch = Patch(self._board, self._menu, (), self._board.everywhere)
        number = 0
        while number < _GREEDY_LEAST or self._effort.share < _GREEDY_SHARE:
            is_plain = number < 2
            copies = patch.filled(self._manner(0.0 if is_plain else 0.5, number % 2 == 0))
            number += 1
            self._spend()
            yield self._value(copies), tuple(copies)
            if self._effort.is_spent:
                return

    def _annealed(self, value: float) -> Iterator[Found]:
        best = value
        mean = sum(self._values) / len(self._values)
        while self._board.copies and not self._effort.is_spent:
            done = (self._effort.share - _GREEDY_SHARE) / (1.0 - _GREEDY_SHARE)
            warmth = mean * _WARM * (_COLD / _WARM) ** max(done, 0.0)
            taken = self._neighbours()
            gain, added = self._laid_anew(taken)
            self._spend()
            if set(added) == set(taken) or (gain < 0 and self._random.random() >= math.exp(gain / warmth)):
                continue
            for copy in taken:
                self._board.lift(copy)
            for copy in added:
                self._board.lay(copy)
            value += gain
            if value > best + 1e-9:
                best = value
                yield best, tuple(self._board.copies)
            if len(self._board.copies) >= self._most:
                return

    def _neighbours(self) -> list[Copy]:
        copies = self._board.copies
        middle = copies[int(self._random.random() * len(copies))]
        near = sorted(copies, key=lambda c: ((c.row - middle.row) ** 2 + (c.column - middle.column) ** 2, c))
        return near[: 1 + int(self._random.random() * _TAKEN_MOST)]

    def _laid_anew(self, taken: Sequence[Copy]) -> tuple[float, list[Copy]]:
        """The best of some tries, and what it is worth more than the taken."""
        patch = Patch(self._board, self._menu, taken, self._board.window(taken))
        before, gone = self._value(taken), set(taken)
        gain, best = -math.inf, list[Copy]()
        for _ in range(_TRIES):
            noise = _NOISES[int(self._random.random() * len(_NOISES))]
            added = patch.filled(self._manner(noise, self._random.random() < _HEMMED_SHARE))
            more = self._value(added) - before
            is_other = set(added) != gone
            if more > gain + 1e-9 or (more > gain - 1e-9 and is_other and self._random.random() < 0.5):
                gain, best = more, added
        return gain, best

    def _manner(self, noise: float, is_hemmed: bool) -> Manner:
        angle = self._random.random() * 2.0 * math.pi
        worth = [item.value * math.exp(noise * self._random.gauss(0.0, 1.0)) for item in self._menu]
        order = sorted(range(len(worth)), key=lambda i: -worth[i])
        return Manner(tuple(order), is_hemmed, math.sin(angle), math.cos(angle))

    def _value(self, copies: Sequence[Copy]) -> float:
        return sum(self._values[copy.variant] for copy in copies)

    def _spend(self) -> None:
        self._effort.spend(int(self._board.work * _WORK_SCALE) + 1)
        self._board.work = 0
