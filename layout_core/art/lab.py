"""How different two colours look: CIELAB of sRGB, and the CIEDE2000 difference, on arrays."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Rgb = tuple[int, int, int]

_TO_XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
"""Linear sRGB to XYZ. Source: IEC 61966-2-1:1999."""
_FAR = 25.0**7


def lab_of(rgb: ArrayLike) -> Floats:
    """L*, a*, b* of sRGB bytes, the last axis; white is the one that sRGB itself makes of three full bytes.

    Source: IEC 61966-2-1:1999 (sRGB), CIE 15:2004 section 8.2.1 (CIELAB).
    """
    value = np.asarray(rgb, dtype=np.float64) / 255.0
    linear = np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)
    ratio = linear @ _TO_XYZ.T / _TO_XYZ.sum(axis=1)
    root = np.where(ratio > (6 / 29) ** 3, np.cbrt(ratio), ratio * (29 / 6) ** 2 / 3 + 4 / 29)
    x, y, z = root[..., 0], root[..., 1], root[..., 2]
    return np.stack((116 * y - 16, 500 * (x - y), 200 * (y - z)), axis=-1)


def difference(first: ArrayLike, second: ArrayLike) -> Floats:
    """The CIEDE2000 difference of CIELAB colours (last axis), kL = kC = kH = 1.

    Source: Sharma, Wu & Dalal 2005, "The CIEDE2000 color-difference formula: implementation notes,
    supplementary test data, and mathematical observations", Color Res. Appl. 30(1), equations 2 to 22.
    """
    one, two = np.asarray(first, dtype=np.float64), np.asarray(second, dtype=np.float64)
    mean_c = (np.hypot(one[..., 1], one[..., 2]) + np.hypot(two[..., 1], two[..., 2])) / 2
    stretch = 1.5 - 0.5 * np.sqrt(mean_c**7 / (mean_c**7 + _FAR))
    chroma1, hue1 = _polar(one, stretch)
    chroma2, hue2 = _polar(two, stretch)
    is_grey = chroma1 * chroma2 == 0
    turn = np.where(is_grey, 0.0, (hue2 - hue1 + 180.0) % 360.0 - 180.0)
    # exactly opposite hues count as +180 where the second lies ahead
    turn = np.where((turn == -180.0) & (hue2 > hue1), 180.0, turn)
    half = (hue1 + hue2) / 2
    across = half + np.where(hue1 + hue2 < 360.0, 180.0, -180.0)
    hue = np.where(is_grey, hue1 + hue2, np.where(np.abs(hue1 - hue2) > 180.0, across, half))
    light = (one[..., 0] + two[..., 0]) / 2
    chroma = (chroma1 + chroma2) / 2
    by_light = (two[..., 0] - one[..., 0]) / (1 + 0.015 * (light - 50) ** 2 / np.sqrt(20 + (light - 50) ** 2))
    by_chroma = (chroma2 - chroma1) / (1 + 0.045 * chroma)
    tone = 1 - 0.17 * _cos(hue - 30) + 0.24 * _cos(2 * hue)
    tone += 0.32 * _cos(3 * hue + 6) - 0.20 * _cos(4 * hue - 63)
    by_hue = 2 * np.sqrt(chroma1 * chroma2) * np.sin(np.radians(turn / 2)) / (1 + 0.015 * chroma * tone)
    twist = 60.0 * np.exp(-(((hue - 275.0) / 25.0) ** 2))
    coupling = -np.sin(np.radians(twist)) * 2 * np.sqrt(chroma**7 / (chroma**7 + _FAR))
    square = by_light**2 + by_chroma**2 + by_hue**2 + coupling * by_chroma * by_hue
    return np.sqrt(np.maximum(square, 0.0))


def _polar(lab: Floats, stretch: Floats) -> tuple[Floats, Floats]:
    a = lab[..., 1] * stretch
    hue = np.degrees(np.arctan2(lab[..., 2], a)) % 360.0
    return np.hypot(a, lab[..., 2]), np.where((a == 0) & (lab[..., 2] == 0), 0.0, hue)


def _cos(degrees: Floats) -> Floats:
    return np.cos(np.radians(degrees))


def hex_of(rgb: Rgb) -> str:
    """#rrggbb of three bytes."""
    return "#{:02x}{:02x}{:02x}".format(*rgb)


def rgb_of(colour: str) -> Rgb:
    """The three bytes of #rrggbb."""
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)
