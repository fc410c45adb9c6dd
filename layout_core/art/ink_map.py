"""Which colours of an art print in the one ink, and which are knocked out."""

import math
import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from layout_core.art.lab import Rgb, difference, hex_of, lab_of, rgb_of
from layout_core.errors import InkMapError

MOST_SWATCHES = 12
LEAST_THRESHOLD, MOST_THRESHOLD = 0.05, 0.95
USUAL_THRESHOLD = 0.5
_COLOUR = re.compile(r"#[0-9a-f]{6}", re.ASCII)
_WHITE_LIGHTNESS, _WHITE_CHROMA = 96.0, 4.0
"""From where on a colour may be the paper; our own choice, #f4f4f4 just counts."""


@dataclass(frozen=True, slots=True)
class Swatch:
    """One colour of the art, "#rrggbb"; `area_share` is its part (0 to 1) of all that is seen of the art."""

    colour: str
    area_share: float
    prints: bool


@dataclass(frozen=True, slots=True)
class InkMap:
    """The colours of an art, largest area first, and how opaque (0 to 1) paint must be to count at all.

    One opaque ink cannot print 40 %: paint from `threshold` on prints solid, fainter paint not at all.
    """

    swatches: tuple[Swatch, ...]
    threshold: float = USUAL_THRESHOLD

    @property
    def has_knock_out(self) -> bool:
        return not all(swatch.prints for swatch in self.swatches)


InkChoice = InkMap | Literal["sensible", "everything"]
"""What a reader is asked for: a person's map, the sensible default, or all that is painted as ink."""


def checked_ink_map(ink_map: InkMap) -> InkMap:
    """The map itself. Raises InkMapError for one that no art could have: colours, shares, threshold, ink."""
    swatches = ink_map.swatches
    if not 1 <= len(swatches) <= MOST_SWATCHES:
        raise InkMapError(f"an ink map has 1 to {MOST_SWATCHES} colours, this one {len(swatches)}")
    for swatch in swatches:
        if not _COLOUR.fullmatch(swatch.colour):
            raise InkMapError(f"{swatch.colour[:20]!r} is no colour; write it as #rrggbb")
        if not (math.isfinite(swatch.area_share) and 0.0 <= swatch.area_share <= 1.0):
            raise InkMapError(f"the share of {swatch.colour} must be from 0 to 1")
    if len({swatch.colour for swatch in swatches}) < len(swatches):
        raise InkMapError("an ink map names a colour twice")
    if not LEAST_THRESHOLD <= ink_map.threshold <= MOST_THRESHOLD:
        raise InkMapError(f"the threshold must be from {LEAST_THRESHOLD:.0%} to {MOST_THRESHOLD:.0%}")
    if not any(swatch.prints for swatch in swatches):
        raise InkMapError("no colour prints, so nothing of the art would be left")
    return ink_map


def with_prints(ink_map: InkMap, colour: str, prints: bool) -> InkMap:
    """The map with one of its colours printing or knocked out. Raises InkMapError for an unknown colour."""
    if all(swatch.colour != colour for swatch in ink_map.swatches):
        known = ", ".join(swatch.colour for swatch in ink_map.swatches)
        raise InkMapError(f"{colour} is no colour of this art; it has {known}")
    return replace(
        ink_map,
        swatches=tuple(
            replace(swatch, prints=prints) if swatch.colour == colour else swatch
            for swatch in ink_map.swatches
        ),
    )


def grouped(
    colours: Sequence[Rgb], weights: Sequence[float], alike: float
) -> tuple[tuple[Rgb, ...], list[int]]:
    """The seeds, at most `MOST_SWATCHES`, heaviest first, and for each colour the seed it belongs to.

    A colour joins the nearest heavier seed that differs by less than `alike` (CIEDE2000) or starts its own;
    beyond the most, the lightest seeds join their nearest.
    """
    order = np.argsort(-np.asarray(weights, dtype=np.float64), kind="stable")
    labs = lab_of(np.asarray(colours, dtype=np.float64).reshape(-1, 3))
    seeds: list[int] = []
    for index in order.tolist():
        if len(seeds) == MOST_SWATCHES:
            break
        if not seeds or float(difference(labs[seeds], labs[index]).min()) >= alike:
            seeds.append(index)
    members = [int(difference(labs[seeds], lab).argmin()) for lab in labs]
    return tuple(colours[index] for index in seeds), members


def prints_of(ink_map: InkMap, seeds: Sequence[Rgb]) -> list[bool]:
    """Whether each colour prints under a map made earlier: as the map's own nearest colour does."""
    known = lab_of([rgb_of(swatch.colour) for swatch in ink_map.swatches])
    return [ink_map.swatches[int(difference(known, lab_of(rgb)).argmin())].prints for rgb in seeds]


def is_white(rgb: Rgb) -> bool:
    """Whether the colour may be meant as the paper."""
    lightness, a, b = lab_of(rgb).tolist()
    return bool(lightness >= _WHITE_LIGHTNESS and math.hypot(a, b) <= _WHITE_CHROMA)


def sensible_prints(seeds: Sequence[Rgb], background: int | None, out: Collection[int]) -> list[bool]:
    """What prints unless a person says otherwise.

    The background's colour is knocked out and everything on it prints, be it dark on white or white on dark.
    Without one the colours of `out` are knocked out, see `white_ground`. Art of one colour always prints.
    """
    if len(seeds) == 1:
        return [True]
    if background is not None:
        return [index != background for index in range(len(seeds))]
    return [index not in out for index in range(len(seeds))]


def ink_map_of(
    seeds: Sequence[Rgb], areas: Sequence[float], prints: Sequence[bool], threshold: float
) -> InkMap:
    """The map of the seeds, largest area first."""
    total = sum(areas) or 1.0
    swatches = [
        Swatch(hex_of(rgb), min(1.0, area / total), prints_it)
        for rgb, area, prints_it in zip(seeds, areas, prints, strict=True)
    ]
    return InkMap(tuple(sorted(swatches, key=lambda swatch: -swatch.area_share)), threshold)
