"""How a print looks: on the carrier, on the garment by day, and in the dark to an eye at a distance.

Colours are sRGB bytes. In the dark a region's brightness follows its visibility level (how many times over
the threshold it is), edges blur by what the eye resolves, and green fades to grey as cones fall silent.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from layout_core.glow.cloth import cloth
from layout_core.glow.colour import (
    Rgb,
    colour_difference,
    contrast_ratio,
    decoded,
    encoded,
    lab_of_rgb,
    luminance_of,
    rgb_of,
    rgb_of_lab,
)
from layout_core.glow.elements import Elements, Patches
from layout_core.glow.eye import (
    ARCMIN,
    DARKEST_CD_M2,
    GLOW_SP,
    glow_factor,
    photopic_share,
    threshold_cd_m2,
    unadapted_factor,
)
from layout_core.glow.scene import Scene
from layout_core.glow.visibility import Sight, sight, solid_angle_sr

Floats = NDArray[np.float64]

INK_BY_DAY: Final = (90.0, -9.0, 16.0)
"""CIELAB of the ink's own body by day: a pale green off-white; assumed."""
CARRIER_FILM: Final[Rgb] = (126, 135, 143)
"""The grey that stands for the translucent film; ours."""

GREENEST: Final[Rgb] = (0, 255, 170)
"""The emission as green as a screen shows it: 520 nm, 80 nm wide, and a third of white (computed)."""
_GREY: Final = (0.80, 1.0, 0.92)
"""Linear light of what rods alone report, as a grey with a trace of green; assumed."""
_LUMA: Final = (0.2126, 0.7152, 0.0722)

LEVELS = 4.5
"""Powers of ten of visibility between black and full brightness."""
_GAMMA = 2.2
BLUR_SHARE = 0.75
"""Sigma of the blur as a share of the smallest angle the eye resolves."""


@dataclass(frozen=True, slots=True)
class DarkLook:
    """What the eye sees of a piece at one moment, from one distance.

    One entry an element: `value` is its display brightness from 0 (black, below the threshold) to 1, `rgb`
    its colour. `sigma_mm` is the blur to draw with, on the print; `resolved_mm` the finest detail left.
    """

    minutes: float
    distance_m: float
    luminance_cd_m2: float
    value: Floats
    rgb: tuple[Rgb, ...]
    sigma_mm: float
    resolved_mm: float


@dataclass(frozen=True, slots=True)
class DayLook:
    """Ink on its ground by day: colours, contrast (1 to 21) and difference (CIEDE2000)."""

    ground: Rgb
    ink: Rgb
    contrast: float
    difference: float


def carrier_look() -> DayLook:
    """The print on the carrier film."""
    return _day_look(CARRIER_FILM)


def garment_look(garment_colour: str) -> DayLook:
    """The print by day on cloth of that colour."""
    return _day_look(rgb_of(cloth(garment_colour)))


def _day_look(ground: Rgb) -> DayLook:
    ink = rgb_of_lab(INK_BY_DAY)
    return DayLook(
        ground,
        ink,
        contrast_ratio(luminance_of(ground), luminance_of(ink)),
        colour_difference(INK_BY_DAY, lab_of_rgb(ground)),
    )


def dark_look(elements: Elements, scene: Scene, minutes: float, distance_m: float) -> DarkLook:
    """The look of a piece in the scene; a thousand elements take about a millisecond.

    Raises ValueError for a distance that is not above 0.
    """
    if not distance_m > 0.0:
        raise ValueError(f"distance_m must be above 0, not {distance_m}")
    eye = sight(scene, minutes)
    light, angle = float(eye.luminance_cd_m2[0]), float(eye.angle_rad[0])
    value = display_value(visibility_level(elements, scene, eye, distance_m))
    distinct, at = np.unique(value.round(3), return_inverse=True)
    shades = [dark_colour(light, float(v)) for v in distinct]
    resolved_mm = angle * distance_m * 1e3
    return DarkLook(
        minutes,
        distance_m,
        light,
        value,
        tuple(shades[n] for n in at.tolist()),
        BLUR_SHARE * resolved_mm,
        resolved_mm,
    )


def visibility_level(elements: Elements, scene: Scene, eye: Sight, distance_m: float) -> Floats:
    """How many times over the laboratory's threshold each element is from that distance, merged if it is.

    `eye` is that of one moment.
    """
    shown = _merged_into(elements.patches, len(elements), float(eye.angle_rad[0]) * distance_m * 1e3)
    area, breadth = elements.patches.area_mm2[shown], elements.patches.breadth_mm[shown]
    background, unadapted = scene.background_cd_m2, 1.0
    if not scene.is_adapted:
        unadapted = float(unadapted_factor(eye.minutes[0]))
    needed = np.maximum(
        threshold_cd_m2(background, solid_angle_sr(area, breadth, distance_m, eye.ricco_rad)),
        threshold_cd_m2(DARKEST_CD_M2, solid_angle_sr(area, breadth, distance_m, eye.ricco_dark_rad))
        * unadapted,
    )
    return np.asarray(float(eye.luminance_cd_m2[0]) * glow_factor(background) / needed)


def display_value(level: ArrayLike) -> Floats:
    """The display brightness, 0 to 1, of a visibility level; 0 at the threshold and below."""
    lg = np.log10(np.maximum(np.asarray(level, dtype=np.float64), 1.0))
    return np.asarray(np.minimum(lg / LEVELS, 1.0))


def dark_colour(luminance_cd_m2: float, value: float) -> Rgb:
    """The colour of glow of that luminance drawn with a display value from 0 to 1.

    Green and grey are mixed in linear light by the photopic share of the print itself (CIE 191:2010) and
    drawn at equal luminance; the blue shift of rod vision is not drawn.
    """
    share = photopic_share(luminance_cd_m2, GLOW_SP)
    mixed = [share * a + (1.0 - share) * b for a, b in zip(map(decoded, GREENEST), _GREY, strict=True)]
    luminance = sum(weight * channel for weight, channel in zip(_LUMA, mixed, strict=True))
    # no brighter than the screen keeps its hue
    light = min(min(max(value, 0.0), 1.0) ** _GAMMA / luminance, 1.0 / max(mixed))
    red, green, blue = (encoded(light * channel) for channel in mixed)
    return red, green, blue


def blur_sigma_mm(angle_arcmin: float, distance_m: float) -> float:
    """The blur (mm on the print) of an eye that resolves that angle from that distance."""
    return BLUR_SHARE * angle_arcmin * ARCMIN * distance_m * 1e3


def _merged_into(patches: Patches, count: int, gap_mm: float) -> NDArray[np.int64]:
    """For each element the patch it is part of when gaps up to `gap_mm` have closed."""
    shown = np.arange(count)
    while True:
        parent = patches.parent[shown]
        joins = (parent >= 0) & (patches.born_gap_mm[parent] <= gap_mm) & (gap_mm > 0.0)
        if not joins.any():
            return shown
        shown = np.where(joins, parent, shown)
