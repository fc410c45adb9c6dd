"""The flat colours of a picture, and how much of each pixel prints when some of them are knocked out."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy import ndimage

from layout_core.art.ink_layers import InkLayers
from layout_core.art.ink_map import (
    InkChoice,
    InkMap,
    grouped,
    ink_map_of,
    is_white,
    prints_of,
    sensible_prints,
)
from layout_core.art.lab import Rgb, hex_of, rgb_of
from layout_core.art.soft_shading import SEEN, soft_share
from layout_core.art.trace import LEVEL, traced
from layout_core.art.white_ground import NO_WHITE, WhiteFacts, knocked_out
from layout_core.geometry.outline import valid_union

Bytes = NDArray[np.uint8]
Flags = NDArray[np.bool_]
Places = NDArray[np.intp]

ALIKE = 12.0
"""Flat colours that differ by less (CIEDE2000) are one: leaves room for what JPEG does to a flat colour."""
_FLAT_RANGE = 10
"""How far apart (0 to 255 a channel) the colours of a 3 x 3 block may lie to count as flat."""
_LEAST_SHARE = 0.002
_FRINGE_PX = 5
"""A pixel that is not flat takes after the flat colours in the square of this side round it."""
_SAMPLE_PX = 3_000_000
_BAND_PX = 2_000_000
_LAYER_PX = 2_000_000
_SEAM_PX = 1.2


@dataclass(frozen=True, slots=True)
class PictureInks:
    """The seeds of a picture's colours; `background` is one of them when the picture is opaque all over.

    `soft_share` is the part (0 to 1) of what is seen that is neither flat nor the edge of something flat.
    """

    seeds: tuple[Rgb, ...]
    areas: tuple[float, ...]
    background: int | None
    soft_share: float
    white: WhiteFacts

    def ink_map(self, choice: InkChoice, threshold: float) -> InkMap:
        """The map for these colours that the choice asks for."""
        if isinstance(choice, InkMap):
            prints = prints_of(choice, self.seeds)
        elif choice == "everything":
            prints = [index != self.background for index in range(len(self.seeds))]
        else:
            prints = sensible_prints(self.seeds, self.background, knocked_out(self.white))
        return ink_map_of(self.seeds, self.areas, prints, threshold)

    @property
    def ground(self) -> str | None:
        return None if self.background is None else hex_of(self.seeds[self.background])


def picture_inks(rgba: Bytes, is_cut_out: bool) -> PictureInks:
    """What colours the picture has. One that is not cut out has its border's colour for a background."""
    sample = _sampled(rgba)
    seen = sample[..., 3] >= SEEN
    flat = _flat(sample) & seen
    ground = None if is_cut_out else _border(rgba)
    seeds = _seeds(sample, flat if flat.any() else seen, ground)
    labels = _labels(sample, seeds)
    areas = np.bincount(labels[seen], minlength=len(seeds)).astype(np.float64)
    background = None
    if ground is not None and len(seeds) > 1:
        background = int(_distances(np.array([[ground]]), seeds)[0, 0].argmin())
    return PictureInks(
        seeds, tuple(areas.tolist()), background, soft_share(rgba),
        _white_facts(labels, seen, seeds, areas) if is_cut_out else NO_WHITE,
    )  # fmt: skip


def printing(rgba: Bytes, seeds: Sequence[Rgb], prints: Sequence[bool]) -> Bytes:
    """How much of each pixel (0 to 255) prints.

    Along an edge a pixel is a mix of the flat colours beside it: its share of ink is its distance, in sRGB as
    pictures are smoothed in it, from the knocked-out one over the sum of both distances.
    """
    field = np.empty(rgba.shape[:2], dtype=np.uint8)
    for rows, kept in _bands(rgba.shape, _FRINGE_PX):
        field[rows.start + kept.start : rows.start + kept.stop] = _printing(rgba[rows], seeds, prints)[kept]
    return field


def picture_layers(rgba: Bytes, inks: PictureInks, ink_map: InkMap) -> InkLayers:
    """The area of each swatch of the map in pixels, traced on a smaller copy when the picture is large."""
    step = max(1, int(np.ceil(np.sqrt(rgba.shape[0] * rgba.shape[1] / _LAYER_PX))))
    small = np.ascontiguousarray(rgba[::step, ::step])
    shapes = []
    for swatch in ink_map.swatches:
        alone = [seed == rgb_of(swatch.colour) for seed in inks.seeds]
        shape, _ = traced(printing(small, inks.seeds, alone), level=LEVEL)
        shapes.append(valid_union(shapely.transform(shape, lambda xy: xy * step)))
    return InkLayers(ink_map, tuple(shapes), _SEAM_PX * step, inks.ground)


def _printing(rgba: Bytes, seeds: Sequence[Rgb], prints: Sequence[bool]) -> Bytes:
    flat = _flat(rgba) & (rgba[..., 3] >= SEEN)
    flat_label = np.where(flat, _labels(rgba, seeds) + 1, 0).astype(np.uint8)
    most = ndimage.maximum_filter(flat_label, size=_FRINGE_PX)
    least = ndimage.minimum_filter(np.where(flat, flat_label, 255).astype(np.uint8), size=_FRINGE_PX)
    chosen = np.asarray(prints, dtype=bool)
    share = np.concatenate(([0.0], chosen.astype(np.float32)))[most].astype(np.float32)
    rows, columns = np.nonzero(most != least)
    share[rows, columns] = _mixed(
        rgba[rows, columns], _beside(flat_label, rows, columns, len(seeds)), seeds, chosen
    )
    field: Bytes = (share * rgba[..., 3]).round().astype(np.uint8)
    return field


def _beside(flat_label: Bytes, rows: Places, columns: Places, count: int) -> Flags:
    """Which seeds lie flat near each place; all of them where none does."""
    reach = _FRINGE_PX // 2
    padded = np.pad(flat_label, reach)
    near = np.zeros((len(rows), count + 1), dtype=bool)
    everyone = np.arange(len(rows))
    for down in range(_FRINGE_PX):
        for across in range(_FRINGE_PX):
            near[everyone, padded[rows + down, columns + across]] = True
    found: Flags = near[:, 1:]
    found[~found.any(axis=1)] = True
    return found


def _mixed(pixels: Bytes, near: Flags, seeds: Sequence[Rgb], chosen: Flags) -> NDArray[np.float32]:
    """The share of ink in pixels that are mixes of the seeds near them."""
    apart = np.where(near, _distances(pixels, seeds), np.float32(np.inf))
    to_ink = apart[:, chosen].min(axis=1, initial=np.inf)
    to_ground = apart[:, ~chosen].min(axis=1, initial=np.inf)
    share = np.where(np.isinf(to_ground), np.float32(1.0), np.float32(0.0))
    both = np.isfinite(to_ink) & np.isfinite(to_ground)
    total = to_ink[both] + to_ground[both]
    share[both] = to_ground[both] / np.maximum(total, np.float32(1e-9))
    return share


def _sampled(rgba: Bytes) -> Bytes:
    """Strips of whole rows, evenly spread, of a picture too large to look at all of it."""
    rows, columns = rgba.shape[:2]
    if rows * columns <= _SAMPLE_PX:
        return rgba
    strip = 48
    count = max(1, _SAMPLE_PX // (columns * strip))
    starts = np.linspace(0, rows - strip, min(count, rows // strip)).astype(np.int64)
    return np.concatenate([rgba[start : start + strip] for start in np.unique(starts)])


def _flat(rgba: Bytes) -> Flags:
    """Whether the 3 x 3 block round each pixel has one colour, alpha included."""
    flat = np.ones(rgba.shape[:2], dtype=bool)
    for channel in range(4):
        plane = rgba[..., channel]
        high = ndimage.maximum_filter(plane, size=3)
        low = ndimage.minimum_filter(plane, size=3)
        flat &= (high - low) <= _FLAT_RANGE
    return flat


def _seeds(sample: Bytes, flat: Flags, ground: Rgb | None) -> tuple[Rgb, ...]:
    """The colours of flat places, those alike merged, each with its share of the area; the ground is one."""
    pixels = sample[flat][:, :3].astype(np.int64)
    if len(pixels) == 0:
        return ((0, 0, 0),)
    cell = (pixels[:, 0] >> 3 << 10) | (pixels[:, 1] >> 3 << 5) | pixels[:, 2] >> 3
    counts = np.bincount(cell, minlength=1 << 15)
    used = np.flatnonzero(counts)
    sums = [np.bincount(cell, weights=pixels[:, c], minlength=1 << 15)[used] for c in range(3)]
    means = np.rint(np.stack(sums, axis=-1) / counts[used, None]).astype(np.int64)
    colours: list[Rgb] = [(r, g, b) for r, g, b in means.tolist()]
    weights = counts[used].astype(np.float64)
    if ground is not None:
        colours.append(ground)
        weights = np.append(weights, float(weights.sum()))
    seeds, members = grouped(colours, weights.tolist(), ALIKE)
    shares = np.bincount(members, weights=weights, minlength=len(seeds)) / weights.sum()
    kept = [seed for seed, share in zip(seeds, shares.tolist(), strict=True) if share >= _LEAST_SHARE]
    return tuple(dict.fromkeys(kept)) or seeds[:1]


def _distances(rgba: NDArray[np.integer], seeds: Sequence[Rgb]) -> NDArray[np.float32]:
    colours = rgba[..., :3].astype(np.float32)
    parts = [np.sqrt(((colours - np.array(seed, dtype=np.float32)) ** 2).sum(axis=-1)) for seed in seeds]
    return np.stack(parts, axis=-1)


def _labels(rgba: Bytes, seeds: Sequence[Rgb]) -> NDArray[np.intp]:
    """The nearest seed of each pixel, told from the upper five bits of each channel."""
    steps = np.arange(32, dtype=np.uint8) * 8 + 4
    cells = np.stack(np.meshgrid(steps, steps, steps, indexing="ij"), axis=-1).reshape(-1, 3)
    nearest = _distances(cells, seeds).argmin(axis=-1)
    upper = rgba[..., :3].astype(np.uint16) >> 3
    found: NDArray[np.intp] = nearest[upper[..., 0] << 10 | upper[..., 1] << 5 | upper[..., 2]]
    return found


def _bands(shape: tuple[int, ...], overlap: int) -> Iterator[tuple[slice, slice]]:
    """Rows to look at together, and which of them count; neighbours overlap."""
    rows, columns = shape[:2]
    height = max(1, _BAND_PX // columns)
    for top in range(0, rows, height):
        start, stop = max(0, top - overlap), min(rows, top + height + overlap)
        yield slice(start, stop), slice(top - start, min(rows, top + height) - start)


def _border(rgba: Bytes) -> Rgb:
    """The middle colour of the picture's border."""
    edge = np.concatenate((rgba[0], rgba[-1], rgba[:, 0], rgba[:, -1]))[:, :3]
    red, green, blue = np.median(edge, axis=0).astype(np.int64).tolist()
    return red, green, blue


def _white_facts(
    labels: NDArray[np.intp], seen: Flags, seeds: Sequence[Rgb], areas: NDArray[np.float64]
) -> WhiteFacts:
    whites = tuple(index for index, seed in enumerate(seeds) if is_white(seed))
    white = np.isin(labels, whites) & seen
    others = ndimage.binary_opening(seen & ~white, np.ones((3, 3), dtype=bool))
    if not white.any() or not others.any():
        return NO_WHITE
    filled = ndimage.binary_fill_holes(white)
    on_white = np.bincount(labels[filled & others], minlength=len(seeds))
    edge = filled & ~ndimage.binary_erosion(filled)
    near = ndimage.binary_dilation(others & ~filled, np.ones((5, 5), dtype=bool))[edge]
    return WhiteFacts(
        whites, tuple(areas.tolist()), tuple(on_white.astype(np.float64).tolist()), 1.0 - float(near.mean())
    )
