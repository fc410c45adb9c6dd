"""Greedy fills by rectpack's heuristics in many orders; none of them is the best for every sheet."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import permutations
from typing import Any, Literal, NamedTuple

from rectpack.guillotine import GuillotineBafSas, GuillotineBssfSas, GuillotineBssfSlas
from rectpack.maxrects import MaxRectsBaf, MaxRectsBl, MaxRectsBlsf, MaxRectsBssf
from rectpack.skyline import SkylineBl, SkylineBlWm

from layout_core.packing.covers import GridBox
from layout_core.packing.crates import Crate, Spot
from layout_core.packing.effort import Effort
from layout_core.packing.free_space import Field, RoomyMaxRects, disjoint

Style = Literal["either", "as wanted", "tall", "wide"]
Manner = Literal["one by one", "in turn", "best fit"]

_STYLES: tuple[Style, ...] = ("either", "as wanted", "tall", "wide")
_PERMUTED_MOST = 4
_BEST_FIT_MOST = 30
_BARE_WORK = 20


class RoomyBssf(RoomyMaxRects, MaxRectsBssf):  # type: ignore[misc]
    """Smallest short side left over."""


class RoomyBl(RoomyMaxRects, MaxRectsBl):  # type: ignore[misc]
    """Lowest upper edge."""


class RoomyBlsf(RoomyMaxRects, MaxRectsBlsf):  # type: ignore[misc]
    """Smallest long side left over."""


class RoomyBaf(RoomyMaxRects, MaxRectsBaf):  # type: ignore[misc]
    """Smallest free rectangle."""


HEURISTICS: tuple[type[RoomyMaxRects], ...] = (RoomyBssf, RoomyBl, RoomyBlsf, RoomyBaf)
_BARE_HEURISTICS: tuple[Any, ...] = (
    SkylineBlWm, GuillotineBssfSas, GuillotineBssfSlas, GuillotineBafSas, SkylineBl,
)  # fmt: skip


class Fill(NamedTuple):
    """A layout on the grid, its value, and how far down it reaches."""

    value: float
    spots: tuple[Spot, ...]
    reach: int

    def beats(self, other: "Fill | None") -> bool:
        """More value; at equal value, the shorter stretch of film."""
        if other is None or self.value > other.value + 1e-9:
            return True
        return self.value > other.value - 1e-9 and self.reach < other.reach


@dataclass(frozen=True, slots=True)
class Recipe:
    """One way to fill: which pieces first and how they may lie."""

    style: Style
    manner: Manner
    order: tuple[int, ...]


def fill_of(spots: Sequence[Spot], crates: Sequence[Crate]) -> Fill:
    """The layout with its value and reach."""
    value = sum(crates[spot.crate].value for spot in spots)
    reach = max((s.y + crates[s.crate].size(s.is_turned)[1] for s in spots), default=0)
    return Fill(value, tuple(spots), reach)


def greedy_fills(field: Field, crates: Sequence[Crate], gap: int, effort: Effort) -> Iterator[Fill]:
    """Greedy fills, the likely ones first, until the recipes or the effort run out.

    `gap` is in grid steps: it is added to each piece and to the high side of each free rectangle.
    """
    sizes = [(c.width + gap, c.height + gap) for c in crates]
    whole = tuple(_widened(box, gap) for box in field.free)
    parts = tuple(_widened(box, gap) for box in disjoint(field.free, [(c.width, c.height) for c in crates]))
    starts = (whole,) if len(whole) == len(parts) else (whole, parts)
    for recipe in _recipes(crates):
        turns = recipe.style == "either"
        makers: list[Callable[[], Any]] = [
            partial(kind, 1, 1, sizes, turns, free) for kind in HEURISTICS for free in starts
        ]
        if field.is_bare and recipe.manner != "best fit":
            makers += [
                partial(kind, field.width + gap, field.length + gap, turns) for kind in _BARE_HEURISTICS
            ]
        for make in makers:
            yield _greedy(make(), recipe, crates, gap, effort)
            if effort.is_spent:
                return


def _widened(box: GridBox, gap: int) -> GridBox:
    return GridBox(box.x0, box.y0, box.x1 + gap, box.y1 + gap)


def _recipes(crates: Sequence[Crate]) -> Iterator[Recipe]:
    by_worth = _orders(crates)
    seen: set[object] = set()
    for style in _STYLES:
        lie = tuple(_size(c, style, 0) for c in crates) if style != "either" else style
        if lie in seen:
            continue
        seen.add(lie)
        yield Recipe(style, "one by one", by_worth[0])
        if len(crates) <= _BEST_FIT_MOST:
            yield Recipe(style, "best fit", by_worth[0])
        yield Recipe(style, "in turn", by_worth[0])
        for order in by_worth[1:]:
            yield Recipe(style, "one by one", order)


def _orders(crates: Sequence[Crate]) -> list[tuple[int, ...]]:
    """Menu orders without repeats: most value, area, long side, short side, girth; then all, if few."""
    keys: tuple[Callable[[Crate], float], ...] = (
        lambda c: c.value,
        lambda c: c.width * c.height,
        lambda c: max(c.width, c.height),
        lambda c: min(c.width, c.height),
        lambda c: c.width + c.height,
        lambda c: abs(c.width - c.height),
        lambda c: c.value / (c.width * c.height),
    )
    everyone = range(len(crates))
    found = [tuple(sorted(everyone, key=partial(_rank, crates, key))) for key in keys]
    if len(crates) <= _PERMUTED_MOST:
        found += list(permutations(found[0]))
    return list(dict.fromkeys(found))


def _rank(crates: Sequence[Crate], key: Callable[[Crate], float], index: int) -> tuple[float, int]:
    return -key(crates[index]), index


def _size(crate: Crate, style: Style, gap: int) -> tuple[int, int]:
    width, height = crate.width + gap, crate.height + gap
    if not crate.may_turn:
        return width, height
    if (style == "tall" and width > height) or (style == "wide" and width < height):
        return height, width
    return width, height


def _greedy(packer: Any, recipe: Recipe, crates: Sequence[Crate], gap: int, effort: Effort) -> Fill:
    """One greedy fill; it ends early when the effort is spent, but not the first one, which is the answer."""
    spots: list[Spot] = []
    is_first = not effort.is_begun
    left = {i: crates[i].most for i in recipe.order if crates[i].most > 0}
    for index in _turns(packer, recipe, left, crates, gap):
        packer.rot = recipe.style == "either" and crates[index].may_turn
        rect = packer.add_rect(*_size(crates[index], recipe.style, gap))
        if rect is not None:
            is_turned = (rect.width, rect.height) != _size(crates[index], "as wanted", gap)
            spots.append(Spot(index, is_turned, rect.x, rect.y))
            left[index] -= 1
        if rect is None or not left[index]:
            del left[index]
        effort.spend(packer.spend() if isinstance(packer, RoomyMaxRects) else _BARE_WORK)
        if effort.is_exhausted if is_first else effort.is_spent:
            break
    return fill_of(spots, crates)


def _turns(
    packer: Any, recipe: Recipe, left: dict[int, int], crates: Sequence[Crate], gap: int
) -> Iterator[int]:
    """Which item to try next, as long as any is left; the caller takes out of `left` what is done with."""
    while left:
        if recipe.manner == "one by one":
            yield next(iter(left))
        elif recipe.manner == "in turn":
            yield from (index for index in tuple(left) if index in left)
        else:
            fits = {}
            for i in left:
                packer.rot = recipe.style == "either" and crates[i].may_turn
                fits[i] = packer.fitness(*_size(crates[i], recipe.style, gap))
            yield min(fits, key=lambda i: (fits[i] is None, fits[i] or 0, -crates[i].value, i))
