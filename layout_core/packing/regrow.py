"""Makes a fill better by taking a few neighbours out and filling their place anew, again and again."""

from collections import Counter
from collections.abc import Iterator, Sequence
from random import Random

from layout_core.packing.covers import GridBox
from layout_core.packing.crates import Crate, Spot
from layout_core.packing.effort import Effort
from layout_core.packing.free_space import Field, RoomyMaxRects
from layout_core.packing.portfolio import HEURISTICS, Fill, fill_of

_TAKEN_MOST = 6
_SEED = 20


def regrown(
    start: Fill, field: Field, crates: Sequence[Crate], gap: int, effort: Effort, *, hollows: bool
) -> Iterator[Fill]:
    """Each fill that is better than the one before, until the effort is spent or nothing is left to lay.

    With `hollows` a copy takes up its true outline, so that others may lie in its hollows and holes;
    without, its box. The search is seeded, so the same input gives the same fills.
    """
    random = Random(_SEED)
    best = start
    while best.spots and not effort.is_spent and not _is_everything_laid(best, crates):
        kept, window = _thinned(best, crates, random)
        packer = _packer_round(kept, window, field, crates, gap, random, hollows)
        spots = kept + _refilled(packer, kept, crates, gap, random, hollows)
        effort.spend(packer.work + len(spots) + len(crates))
        fill = fill_of(spots, crates)
        if fill.value > best.value - 1e-9:
            if fill.value > best.value + 1e-9:
                yield fill
            best = fill


def _is_everything_laid(fill: Fill, crates: Sequence[Crate]) -> bool:
    return len(fill.spots) >= sum(crate.most for crate in crates)


def _thinned(fill: Fill, crates: Sequence[Crate], random: Random) -> tuple[list[Spot], GridBox]:
    """The copies left after a few neighbours are taken out, and the window in which to fill anew."""
    spots = list(fill.spots)
    middle = spots[int(random.random() * len(spots))]
    spots.sort(key=lambda s: (max(abs(s.x - middle.x), abs(s.y - middle.y)), s))
    count = 1 + int(random.random() * _TAKEN_MOST)
    taken, kept = spots[:count], spots[count:]
    reach = max(max(crate.width, crate.height) for crate in crates)
    return kept, GridBox(
        min(s.x for s in taken) - reach,
        min(s.y for s in taken) - reach,
        max(s.x + crates[s.crate].size(s.is_turned)[0] for s in taken) + reach,
        max(s.y + crates[s.crate].size(s.is_turned)[1] for s in taken) + reach,
    )


def _packer_round(
    kept: Sequence[Spot],
    window: GridBox,
    field: Field,
    crates: Sequence[Crate],
    gap: int,
    random: Random,
    hollows: bool,
) -> RoomyMaxRects:
    """A packer whose free space is the window without the kept copies."""
    grow = 0 if hollows else gap
    sizes = [(crate.width + grow, crate.height + grow) for crate in crates]
    clipped = {
        GridBox(
            max(box.x0, window.x0),
            max(box.y0, window.y0),
            min(box.x1 + grow, window.x1),
            min(box.y1 + grow, window.y1),
        )
        for box in field.free
    }
    free = sorted(box for box in clipped if box.x1 > box.x0 and box.y1 > box.y0)
    kind = HEURISTICS[int(random.random() * len(HEURISTICS))]
    packer = kind(1, 1, sizes, True, free)
    for spot in kept:
        _take(packer, spot, crates[spot.crate], gap, hollows)
    return packer


def _take(packer: RoomyMaxRects, spot: Spot, crate: Crate, gap: int, hollows: bool) -> None:
    if hollows:
        for cover in crate.covers(spot.is_turned):
            packer.cut(cover.shifted(spot.x, spot.y))
    else:
        width, height = crate.size(spot.is_turned)
        packer.cut(GridBox(spot.x, spot.y, spot.x + width + gap, spot.y + height + gap))


def _refilled(
    packer: RoomyMaxRects,
    kept: Sequence[Spot],
    crates: Sequence[Crate],
    gap: int,
    random: Random,
    hollows: bool,
) -> list[Spot]:
    grow = 0 if hollows else gap
    noise = 0.4 if random.random() < 0.5 else 4.0
    order = sorted(range(len(crates)), key=lambda i: -crates[i].value * (1.0 + noise * random.random()))
    laid = Counter(spot.crate for spot in kept)
    added: list[Spot] = []
    for index in order:
        crate = crates[index]
        left = crate.most - laid[index]
        size = (crate.width + grow, crate.height + grow)
        packer.rot = crate.may_turn
        while left > 0 and (rect := packer.place(*size)) is not None:
            spot = Spot(index, (rect.width, rect.height) != size, rect.x, rect.y)
            _take(packer, spot, crate, gap, hollows)
            added.append(spot)
            left -= 1
    return added
