"""From how far one element of a print is detected, resolved and comfortably read.

Two separate causes limit it: too small to see (its light does not reach the threshold), and too fine to read
(its stroke spans less than the eye resolves). Sizes are mm and mm², distances m; arrays go together as in
numpy. Everything grows in proportion: twice the size is seen from twice as far.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from layout_core.glow.eye import (
    ARCMIN,
    DARKEST_CD_M2,
    adapting_cd_m2,
    glow_factor,
    required_solid_angle_sr,
    ricco_radius_arcmin,
    smallest_angle_arcmin,
    unadapted_factor,
)
from layout_core.glow.scene import Scene

Floats = NDArray[np.float64]

COMFORT = 2.0
"""k: how many times the just resolved angle a stroke spans when it is read with ease; assumed."""
STROKE_RATIO = 5.0
"""A stroke is detected as a piece five times as long as wide: that of a letter on a grid of five."""


@dataclass(frozen=True, slots=True)
class Sight:
    """What the eye can do at some moments, one entry a moment.

    A target is seen if its solid angle reaches `least_sr` on the background `ricco_rad` belongs to, and
    `least_dark_sr` where the eye is not yet adapted. `angle_rad` is the smallest angle it resolves.
    """

    minutes: Floats
    luminance_cd_m2: Floats
    angle_rad: Floats
    least_sr: Floats
    ricco_rad: float
    least_dark_sr: Floats
    ricco_dark_rad: float


def sight(scene: Scene, minutes: ArrayLike) -> Sight:
    """What the eye can do in the scene at each of the minutes after lights-out."""
    t = np.atleast_1d(np.asarray(minutes, dtype=np.float64))
    light = scene.luminance_cd_m2(t)
    factor = 1.0 if scene.is_adapted else unadapted_factor(t)
    return sight_of(light, scene.background_cd_m2, scene.field_factor, t, factor)


def sight_of(
    luminance_cd_m2: Floats,
    background_cd_m2: float,
    field_factor: float,
    minutes: Floats,
    unadapted: Floats | float = 1.0,
) -> Sight:
    """The same for known luminances. An eye that is not adapted needs `unadapted` times more in the dark.

    What the venue's own light demands is not raised by that: the greater of the two counts (a construction of
    ours; the formula for the dark alone is from memory).
    """
    seen = luminance_cd_m2 * glow_factor(background_cd_m2) / field_factor
    adapting = adapting_cd_m2(background_cd_m2, luminance_cd_m2)
    return Sight(
        minutes,
        luminance_cd_m2,
        smallest_angle_arcmin(adapting) * ARCMIN,
        required_solid_angle_sr(background_cd_m2, seen),
        2.0 * float(ricco_radius_arcmin(background_cd_m2)) * ARCMIN,
        required_solid_angle_sr(DARKEST_CD_M2, seen / unadapted),
        2.0 * float(ricco_radius_arcmin(DARKEST_CD_M2)) * ARCMIN,
    )


def detected_m(area_mm2: ArrayLike, breadth_mm: ArrayLike, eye: Sight) -> Floats:
    """From how far (m) a patch of ink is seen at all; 0 where it never is.

    `breadth_mm` is its area over its greatest extent: of a long shape only what lies in one Ricco disc
    counts, while it is narrower than the disc (an extension of Crumey's law, ours).
    """
    area, breadth = np.asarray(area_mm2) / 1e6, np.asarray(breadth_mm) / 1e3
    return np.minimum(
        _detected(area, breadth, eye.least_sr, eye.ricco_rad),
        _detected(area, breadth, eye.least_dark_sr, eye.ricco_dark_rad),
    )


def _detected(area_m2: Floats, breadth_m: Floats, least_sr: Floats, ricco_rad: float) -> Floats:
    pooled_whole = np.sqrt(area_m2 / least_sr)
    pooled_part = np.minimum(pooled_whole, breadth_m * ricco_rad / least_sr)
    wider_than_disc = np.minimum(pooled_whole, breadth_m / ricco_rad)
    return np.asarray(np.maximum(pooled_part, wider_than_disc))


def resolved_m(stroke_mm: ArrayLike, eye: Sight, comfort: float = 1.0) -> Floats:
    """From how far (m) a stroke or gap of that width is resolved, and its stroke detected on its own."""
    stroke = np.asarray(stroke_mm, dtype=np.float64)
    by_detail = stroke / 1e3 / (comfort * eye.angle_rad)
    return np.minimum(by_detail, detected_m(STROKE_RATIO * stroke**2, stroke, eye))


def legible_m(stroke_mm: ArrayLike, eye: Sight) -> Floats:
    """From how far (m) detail of that width is read with ease."""
    return resolved_m(stroke_mm, eye, COMFORT)


def solid_angle_sr(area_mm2: ArrayLike, breadth_mm: ArrayLike, distance_m: float, ricco_rad: float) -> Floats:
    """The solid angle (sr) of the part of a patch that the eye pools from that distance (m)."""
    area, breadth = np.asarray(area_mm2) / 1e6, np.asarray(breadth_mm) / 1e3
    part = np.where(breadth < ricco_rad * distance_m, breadth * ricco_rad * distance_m, area)
    return np.asarray(np.minimum(area, part) / distance_m**2)


def shown_m(distance_m: float) -> str:
    """The distance as honestly as the model knows it: two figures, “> 30 m” beyond, “not at all” for none."""
    if not distance_m > 0.0:
        return "not at all"
    if distance_m > FARTHEST_SHOWN_M:
        return f"> {FARTHEST_SHOWN_M:.0f} m"
    if distance_m < 0.1:
        return "< 0.1 m"
    rounded = float(f"{distance_m:.1e}")
    places = 1 - math.floor(math.log10(rounded))
    return f"{rounded:.{max(places, 0)}f} m"


FARTHEST_SHOWN_M = 30.0
"""What lies beyond is the mathematics of a perfectly dark scene."""
