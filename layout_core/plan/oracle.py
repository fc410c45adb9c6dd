"""Answers whether copies fit on one sheet together, by laying them: the packing oracle of the run plan."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Protocol

from layout_core.packing.boxes import fill_with_boxes
from layout_core.packing.covers import steps_up
from layout_core.packing.crates import Spot, crates_of, laid_of
from layout_core.packing.fill import FillEngine, FillSheet, Laid, MenuItem
from layout_core.packing.skyline import LaidBox, skyline_fit
from layout_core.plan.box_proof import verdict
from layout_core.plan.clock import Clock
from layout_core.plan.cuts import Box, steps_of
from layout_core.plan.problem import Counts

USUAL_EFFORT_S = 0.1
PROOF_S = 0.4
BOXES_FILL_S = 0.03
_QUICK_TRIES = 12
_SOON_TRIES = 40
_TRIES = 1000
_SECONDS_PER_BOX = 2e-5
"""What laying one box on the skyline takes on a common desktop core (measured on one)."""


class PackingOracle(Protocol):
    """Lays a sheet's worth of copies, or says that it cannot.

    A no is a proof only where `is_impossible` says so of the same counts afterwards. `follows_cuts`: what
    keeps the problem's cuts can always be laid.
    """

    follows_cuts: bool

    def laid(self, counts: Counts, clock: Clock) -> tuple[Laid, ...] | None: ...

    def laid_soon(self, counts: Counts, clock: Clock) -> tuple[Laid, ...] | None:
        """As `laid`, after a short search; a no means little."""
        ...

    def is_impossible(self, counts: Counts) -> bool: ...

    def filled(self, counts: Counts, clock: Clock) -> tuple[Laid, ...]:
        """As much of these copies as it can lay on one sheet; nothing where it cannot tell."""
        ...


class SlotOracle:
    """Sheets divided into equal slots: whatever keeps the cuts fits, and there is nothing to lay."""

    follows_cuts = True

    def laid(self, counts: Counts, clock: Clock) -> tuple[Laid, ...] | None:
        return ()

    def laid_soon(self, counts: Counts, clock: Clock) -> tuple[Laid, ...] | None:
        return ()

    def is_impossible(self, counts: Counts) -> bool:
        return False

    def filled(self, counts: Counts, clock: Clock) -> tuple[Laid, ...]:
        return ()


class SheetOracle:
    """Lays copies on an empty sheet: as boxes on a skyline, as boxes by proof, then by a filling engine.

    `menu` stands in the order of the problem's designs; how many and what they are worth does not matter
    here. Any engine will do: with one that knows true shapes more fits than boxes allow. Answers are
    remembered; what is part of a sheet that fits also fits, what holds more than one that failed fails too.
    What is impossible is so for layouts of upright boxes; without `counts_boxes` nothing is. With a `proof_s`
    of 0 no time goes into proving. With `engine_alone` nothing else lays, for layouts that only it can make.
    """

    follows_cuts = False

    def __init__(
        self,
        sheet: FillSheet,
        menu: Sequence[MenuItem],
        engine: FillEngine = fill_with_boxes,
        *,
        effort_s: float = USUAL_EFFORT_S,
        fill_s: float | None = None,
        counts_boxes: bool = True,
        proof_s: float = PROOF_S,
        engine_alone: bool = False,
    ) -> None:
        self._sheet = sheet
        self._menu = tuple(menu)
        self._engine = engine
        self._effort_s = effort_s
        self._fill_s = effort_s if fill_s is None else fill_s
        self._proof_s = proof_s
        self._is_engines_alone = engine_alone
        crates = crates_of(self._menu, sheet.gap_mm)
        gap = steps_up(sheet.gap_mm)
        self._boxes = [(crate.width + gap, crate.height + gap) for crate in crates]
        self._barred = {at for at, crate in enumerate(crates) if not crate.may_turn}
        _, self._film = steps_of((), sheet)
        self._fits: dict[Counts, tuple[Laid, ...]] = {}
        self._fails: set[Counts] = set()
        self._impossible: set[Counts] = set()
        self._fails_soon: set[Counts] = set()
        self._counts_boxes = counts_boxes
        self._has_hollows = any(crate.has_hollows for crate in crates)

    @property
    def has_hollows(self) -> bool:
        """Whether true outlines leave room that boxes do not."""
        return self._has_hollows

    def laid(self, counts: Counts, clock: Clock) -> tuple[Laid, ...] | None:
        """Poses for exactly these copies, None when none were found. Lets `Cancelled` through."""
        known = next((fit for fit in self._fits if _within(counts, fit)), None)
        if known is not None:
            return self._part(self._fits[known], counts)
        if any(_within(failed, counts) for failed in self._fails):
            return None
        clock.tick()
        layout = None if self._is_engines_alone else self._as_boxes(counts, clock)
        if layout is None and (self._has_hollows or counts not in self._impossible):
            layout = self._by_engine(counts, self._effort_s, clock)
        if layout is None:
            self._fails.add(counts)
        else:
            self._fits[counts] = layout
        return layout

    def laid_soon(self, counts: Counts, clock: Clock) -> tuple[Laid, ...] | None:
        """As `laid`, by a few tries on the skyline, or of the engine where it lays alone."""
        known = next((fit for fit in self._fits if _within(counts, fit)), None)
        if known is not None:
            return self._part(self._fits[known], counts)
        if any(_within(failed, counts) for failed in self._fails_soon):
            return None
        if self._is_engines_alone:
            layout = self._by_engine(counts, self._fill_s, clock)
        else:
            layout = self._in_spots(counts, self._on_skyline(*self._boxes_of(counts), _SOON_TRIES, clock))
        if layout is None:
            self._fails_soon.add(counts)
        else:
            self._fits[counts] = layout
        return layout

    def is_impossible(self, counts: Counts) -> bool:
        return any(_within(bad, counts) for bad in self._impossible)

    def filled(self, counts: Counts, clock: Clock) -> tuple[Laid, ...]:
        """As much of these copies as the engine lays on one sheet, by the area of their boxes."""
        known = next((fit for fit in self._fits if _within(counts, fit)), None)
        if known is not None:
            return self._part(self._fits[known], counts)
        menu = [replace(item, most=count) for item, count in zip(self._menu, counts, strict=True) if count]
        laid = self._engine(
            self._sheet, menu, effort_s=self._fill_s, progress=clock.inside(self._fill_s)
        ).laid
        clock.tick()  # the engine hears Stop, but answers it with what it has
        self._fits[self.counts_of(laid)] = laid
        return laid

    def counts_of(self, laid: Sequence[Laid]) -> Counts:
        """How often each design lies in a layout."""
        return tuple(sum(one.key == item.key for one in laid) for item in self._menu)

    def _as_boxes(self, counts: Counts, clock: Clock) -> tuple[Laid, ...] | None:
        sizes, barred = self._boxes_of(counts)
        found = self._on_skyline(sizes, barred, _QUICK_TRIES, clock)
        if found is None:
            found = self._proven(counts, sizes, barred, clock)
        if found is None and counts not in self._impossible:
            found = self._on_skyline(sizes, barred, _TRIES, clock)
        return self._in_spots(counts, found)

    def _boxes_of(self, counts: Counts) -> tuple[list[Box], set[int]]:
        """The boxes of all copies, design after design, and which of them may not be turned."""
        owners = _owners(counts)
        barred = {at for at, owner in enumerate(owners) if owner in self._barred}
        return [self._boxes[owner] for owner in owners], barred

    def _in_spots(self, counts: Counts, found: tuple[LaidBox, ...] | None) -> tuple[Laid, ...] | None:
        if found is None:
            return None
        owners = _owners(counts)
        spots = [Spot(owners[box.at], box.is_turned, box.x, box.y) for box in found]
        return laid_of(spots, self._menu, self._sheet)

    def _on_skyline(
        self, sizes: Sequence[Box], barred: set[int], tries: int, clock: Clock
    ) -> tuple[LaidBox, ...] | None:
        def spend(boxes: int) -> None:
            clock.spend(boxes * _SECONDS_PER_BOX)
            clock.tick()

        found = skyline_fit(sizes, *self._film, tries=tries, spend=spend)
        if found is not None and any(box.is_turned and box.at in barred for box in found):
            return None
        return found

    def _proven(
        self, counts: Counts, sizes: Sequence[Box], barred: set[int], clock: Clock
    ) -> tuple[LaidBox, ...] | None:
        if self._proof_s <= 0.0:
            return None
        proof = verdict(sizes, self._film, seconds=self._proof_s, clock=clock, barred=barred)
        if proof.is_impossible and self._counts_boxes:
            self._impossible.add(counts)
        return proof.laid

    def _by_engine(self, counts: Counts, effort_s: float, clock: Clock) -> tuple[Laid, ...] | None:
        menu = [replace(item, most=count) for item, count in zip(self._menu, counts, strict=True) if count]
        filling = self._engine(self._sheet, menu, effort_s=effort_s, progress=clock.inside(effort_s))
        clock.tick()  # the engine hears Stop, but answers it with what it has
        return filling.laid if len(filling.laid) == sum(counts) else None

    def _part(self, layout: Sequence[Laid], counts: Counts) -> tuple[Laid, ...]:
        """As many copies of each piece out of a layout as wanted."""
        left = {item.key: count for item, count in zip(self._menu, counts, strict=True)}
        kept = []
        for one in layout:
            if left[one.key]:
                left[one.key] -= 1
                kept.append(one)
        return tuple(kept)


def _owners(counts: Counts) -> list[int]:
    """The design of each copy."""
    return [at for at, count in enumerate(counts) for _ in range(count)]


def _within(small: Counts, large: Counts) -> bool:
    return all(a <= b for a, b in zip(small, large, strict=True))
