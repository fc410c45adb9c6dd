"""The dark look of a piece as pixels: light in linear units, blurred by what the eye resolves, then encoded.

The blur comes before the encoding: the other way round it would inflate every shape.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter

from layout_core.glow.appearance import DarkLook
from layout_core.glow.colour import decoded, encoded

Bytes = NDArray[np.uint8]

_SIGMA_PX = 2.0
"""A blur wider than this is drawn in coarser pixels: nothing finer is left to be seen."""
_REACH = 3.0
"""Sigmas beyond which nothing of a blur is drawn."""
_STEPS = 4096


@dataclass(frozen=True, slots=True, eq=False)
class Plate:
    """A piece drawn once: how much of each pixel is ink (0 to 1), and which element the ink belongs to.

    Rows run down. `px_per_mm` is the scale; the first pixel's corner is the piece's top left.
    """

    coverage: NDArray[np.float32]
    element: NDArray[np.intp]
    px_per_mm: float


@dataclass(frozen=True, slots=True, eq=False)
class DarkPicture:
    """Pixels (rows, columns, RGB and a byte of 255) with `room_px` of blur on every side of the piece.

    Made to be added to what lies beneath: black adds nothing.
    """

    rgbx: Bytes
    px_per_mm: float
    room_px: int


def dark_picture(plate: Plate, look: DarkLook) -> DarkPicture | None:
    """What the eye sees of the piece; None when nothing of it reaches the threshold or the least grey."""
    brightest = int(np.argmax(look.value))
    if not (look.value[brightest] > 0.0 and look.rgb[brightest][1] > 0):
        return None
    decode, encode = _tables()
    light_of = decode[np.array([rgb[1] for rgb in look.rgb], dtype=np.intp)]
    light = light_of[plate.element] * plate.coverage
    sigma_px = look.sigma_mm * plate.px_per_mm
    step = max(1, 2 ** int(np.log2(max(sigma_px / _SIGMA_PX, 1.0))))
    room = int(np.ceil(_REACH * sigma_px / step)) + 1
    light = np.pad(_pooled(light, step), room)
    if sigma_px / step > 0.2:
        light = gaussian_filter(light, sigma_px / step, mode="constant", truncate=_REACH)
    steps = (light * (_STEPS - 1)).astype(np.intp)
    np.clip(steps, 0, _STEPS - 1, out=steps)
    # green is the strongest part of every colour of the glow, so the others follow it
    red, green, blue = (decoded(part) for part in look.rgb[brightest])
    shades = np.full((_STEPS, 4), 255, dtype=np.uint8)
    ramp = np.arange(_STEPS)
    for at, share in enumerate((red / green, 1.0, blue / green)):
        shades[:, at] = encode[(ramp * min(share, 1.0)).astype(np.intp)]
    return DarkPicture(shades[steps], plate.px_per_mm / step, room)


def _pooled(light: NDArray[np.float32], step: int) -> NDArray[np.float32]:
    """The mean of each square of `step` pixels; black beyond the edge."""
    if step == 1:
        return light
    rows, columns = light.shape
    light = np.pad(light, ((0, -rows % step), (0, -columns % step)))
    squares = light.reshape(light.shape[0] // step, step, light.shape[1] // step, step)
    pooled: NDArray[np.float32] = squares.mean(axis=(1, 3), dtype=np.float32)
    return pooled


@cache
def _tables() -> tuple[NDArray[np.float32], Bytes]:
    """Linear light of every sRGB byte, and the sRGB byte of every step of linear light."""
    decode = np.array([decoded(byte) for byte in range(256)], dtype=np.float32)
    encode = np.array([encoded(step / (_STEPS - 1)) for step in range(_STEPS)], dtype=np.uint8)
    return decode, encode
