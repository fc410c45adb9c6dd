"""How much of a picture is soft: shaded, blurred or photographed, told from flat colours, noise and lines.

A transition between flat colours takes a few pixels, however a picture is smoothed, packed or noisy. So means
of small blocks are looked at: where a block's surroundings hold a sharp transition it is crisp and says
nothing; where they hold none, a colour that wanders far within one area, or light that changes more over 24
px than over any 6 of them, is soft.
"""

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

Bytes = NDArray[np.uint8]
Flags = NDArray[np.bool_]
Means = NDArray[np.float32]

SEEN = 26
"""Pixels fainter than a tenth are not seen."""
_MOST_PX = 2_000_000
_CRISP_LEVELS = 64
"""How far (0 to 255 a channel) colours lie apart across the sharp border of two flat ones, within 6 px."""
_CALM_LEVELS = 9.5
"""Means of neighbouring blocks of one colour do not lie further apart for what JPEG does to them,"""
_CALM_SIGMAS = 5.0
"""nor by more of the noise that is left in them. That of 27 means is expected to span 4.0 (normal law)."""
_MOST_NOISE = 4.0
_WANDER_LIGHT, _WANDER_COLOUR = 24.0, 34.0
"""How far luma or alpha, or any one channel, of an area wanders before it counts as shading; JPEG shifts
colours more than luma."""
_SIDES_PX = (2, 4, 8)
_LEAST_BLOCKS = 10
_SLOPE_LEVELS = 20.0
_SLOPE_RATIO = 1.2
"""What a sharp border changes within 6 px is all that it changes within 24; a slope goes on."""
_BORDERED = 0.2
"""Where more of the 24 px is crisp, small flat pieces may pass for a slope."""
_NEAR_BLOCKS = 17
_OFTEN = 0.03
"""Blocks are shaded where so many of those within reach are on a slope; a few are by chance."""
_TAIL = 1.0
_WINDOW = 8
_PLATEAU = 3.0
"""A colour that has so many times its share of an area is flat in it."""


def soft_share(rgba: Bytes) -> float:
    """The part (0 to 1) of what is seen that is neither flat nor the border of something flat."""
    skip = max(1, int(np.ceil(np.sqrt(rgba.shape[0] * rgba.shape[1] / _MOST_PX))))
    picture = rgba[::skip, ::skip]
    if min(picture.shape[:2]) < 3 * _SIDES_PX[-1]:
        return 0.0
    channels = _premultiplied(picture)
    crisp = _crisp(channels)
    seen = picture[..., 3] >= SEEN
    found = np.zeros(seen.shape, dtype=bool)
    noise = _noise(channels)
    for side in _SIDES_PX:
        means = _means(channels, side)
        calm = _range(means) <= _CALM_LEVELS + _CALM_SIGMAS * noise / side
        _mark(found, _wandering(means, calm & ~_coarser(crisp, side)), side)
    _mark(found, _sloping(channels, crisp), _SIDES_PX[-1])
    return float((found & seen).sum() / max(1, seen.sum()))


def _premultiplied(rgba: Bytes) -> Bytes:
    """Colours as they count: what nobody sees has none."""
    alpha = rgba[..., 3]
    if alpha.min() == 255:
        return np.ascontiguousarray(rgba[..., :3])
    shown = rgba[..., :3].astype(np.uint16) * alpha[..., None] // 255
    return np.dstack((shown.astype(np.uint8), alpha))


def _noise(channels: Bytes) -> float:
    """The standard deviation of the noise, told from how unlike the middle of its neighbours a pixel is."""
    plane = channels[..., 1].astype(np.int16)
    bend = np.abs(plane[:, 2:] + plane[:, :-2] - 2 * plane[:, 1:-1])
    return min(_MOST_NOISE, float(np.median(bend)) / (0.6745 * 6**0.5))


def _blocks(values: NDArray, side: int) -> NDArray:  # type: ignore[type-arg]
    rows, columns = values.shape[0] // side, values.shape[1] // side
    kept = values[: rows * side, : columns * side]
    return kept.reshape(rows, side, columns, side, *values.shape[2:])


def _means(channels: Bytes | Means, side: int) -> Means:
    means: Means = _blocks(channels, side).mean(axis=(1, 3), dtype=np.float32)
    return means


def _range(means: Means) -> Means:
    """How far the means of each 3 x 3 blocks lie apart."""
    high = ndimage.maximum_filter(means, size=(3, 3, 1))
    low = ndimage.minimum_filter(means, size=(3, 3, 1))
    apart: Means = (high - low).max(axis=-1)
    return apart


def _crisp(channels: Bytes) -> Flags:
    """Blocks of 2 x 2 px with a sharp transition in the 6 x 6 px round them."""
    blocks = _blocks(channels, 2)
    high = ndimage.maximum_filter(blocks.max(axis=(1, 3)), size=(3, 3, 1))
    low = ndimage.minimum_filter(blocks.min(axis=(1, 3)), size=(3, 3, 1))
    crisp: Flags = np.any((high - low) >= _CRISP_LEVELS, axis=-1)
    return crisp


def _coarser(fine: NDArray, side: int) -> NDArray:  # type: ignore[type-arg]
    """The most of the blocks of 2 x 2 px in each of the side."""
    most: NDArray = _blocks(fine, side // 2).max(axis=(1, 3))  # type: ignore[type-arg]
    return most


def _coarser_share(fine: Flags, side: int) -> Means:
    """The share of the blocks of 2 x 2 px in each of the side."""
    return _means(fine.astype(np.float32), side // 2)


def _sloping(channels: Bytes, crisp: Flags) -> Flags:
    """Blocks among many in whose surroundings light lies further apart than in any small part of them."""
    side = _SIDES_PX[-1]
    light = _light(channels)
    apart = _range(_means(light, side))
    sharpest = ndimage.maximum_filter(_coarser(_range(_means(light, 2)), side), size=3)
    slopes = (apart > _SLOPE_LEVELS) & (apart > _SLOPE_RATIO * sharpest)
    bordered = ndimage.uniform_filter(_coarser_share(crisp, side), 3)
    slopes &= bordered < _BORDERED
    often: Flags = ndimage.uniform_filter(slopes.astype(np.float32), _NEAR_BLOCKS) >= _OFTEN
    return often


def _light(channels: NDArray[np.generic]) -> Means:
    """Luma and alpha; JPEG smears colour far beyond a border, but not luma. Source: ITU-R BT.601."""
    luma = channels[..., :3] @ np.array([0.299, 0.587, 0.114], dtype=np.float32)
    return np.concatenate((luma[..., None], channels[..., 3:]), axis=-1, dtype=np.float32)


def _mark(found: Flags, blocks: Flags, side: int) -> None:
    whole = np.repeat(np.repeat(blocks, side, axis=0), side, axis=1)
    found[: whole.shape[0], : whole.shape[1]] |= whole


def _wandering(means: Means, calm: Flags) -> Flags:
    """Blocks of calm areas whose colour wanders, without those of a colour that is flat in them."""
    areas, _ = ndimage.label(calm)
    soft = np.zeros(calm.shape, dtype=bool)
    for number, where in enumerate(ndimage.find_objects(areas), 1):
        inside = areas[where] == number
        colours = means[where][inside]
        if len(colours) < _LEAST_BLOCKS:
            continue
        levels = np.hstack((_light(colours), colours[:, :3]))
        low, high = np.percentile(levels, (_TAIL, 100 - _TAIL), axis=0)
        least = np.full(levels.shape[1], _WANDER_LIGHT)
        least[-3:] = _WANDER_COLOUR
        furthest = int(((high - low) / least).argmax())
        extent = float((high - low)[furthest])
        if extent >= least[furthest]:
            soft[where][inside] = ~_is_flat(levels[:, furthest], extent)
    return soft


def _is_flat(levels: NDArray[np.float32], extent: float) -> Flags:
    """Which levels belong to a colour that many others share."""
    counts = np.bincount(np.rint(levels).astype(np.int64), minlength=256).astype(np.float64)
    near = ndimage.uniform_filter1d(counts, _WINDOW, mode="constant") * _WINDOW
    flat = near > max(0.25, min(0.9, _PLATEAU * _WINDOW / extent)) * len(levels)
    found: Flags = flat[np.rint(levels).astype(np.int64)]
    return found
