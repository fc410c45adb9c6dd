"""The eye in the dark: what light it detects, what detail it resolves, how it weighs green light.

Angles are arcmin, solid angles sr, luminances cd/m². All functions take and give arrays or single numbers.
"""

import math
from functools import cache, lru_cache
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

DARKEST_CD_M2 = 1e-5
"""Below this a background is as good as black. Source: Crumey (2014), eq. 71 and the text there."""

_A: Final = (5.949e-8, -2.389e-7, 2.459e-7, 4.120e-4, -4.225e-4)
_B: Final = (9.606e-6, -6.337e-5, 1.092e-4, 5.791e-3, -6.177e-3)
_Q_LOW, _Q_MIDDLE, _Q_HIGH = 0.6, (0.8861, 0.4), (1.146, -0.0885)
_Q_STEPS = (0.193, 3.426)

ARCMIN = math.pi / 10800.0
"""Radians to the minute of arc."""

MES_A, MES_B, MES_V0 = 0.7670, 0.3334, 683.0 / 1699.0
"""Source: CIE 191:2010, recommended system for mesopic photometry (MES2)."""
_ALL_SCOTOPIC_CD_M2, _ALL_PHOTOPIC_CD_M2 = 0.005, 5.0

LAMP_SP = 1.408
"""Scotopic to photopic ratio of the light that thresholds were measured in. Source: Crumey (2014), 1.3."""
GLOW_SP = 2.919
"""The same of green afterglow, a Gaussian band at 520 nm, 80 nm wide at half its height (computed)."""

_ADAPT_START, _ADAPT_PER_MIN, _ADAPT_MOST = 3.0, 0.24, 2.0


def _background(background_cd_m2: ArrayLike) -> Floats:
    return np.maximum(np.asarray(background_cd_m2, dtype=np.float64), DARKEST_CD_M2)


_DIP_FROM_CD_M2 = 0.02159
"""Where the fitted threshold of points begins a dip of 2.6 %, up to 0.065; no eye gains by it."""


def fitted_point_term_sr(background_cd_m2: ArrayLike) -> Floats:
    """R: the threshold contrast of a target so small that only its light counts, times its solid angle.

    Source: Crumey, A. (2014), "Human contrast threshold and astronomical visibility", MNRAS 442, 2600,
    eq. 28.
    """
    x = _background(background_cd_m2) ** -0.25
    a1, a2, a3, a4, a5 = _A
    return np.square(np.sqrt(a1 * x * x + a2 * x + a3) + a4 * x + a5)


def point_term_sr(background_cd_m2: ArrayLike) -> Floats:
    """R as fitted, but the threshold B R never falls while the background brightens."""
    b = _background(background_cd_m2)
    fitted = fitted_point_term_sr(b)
    top = _DIP_FROM_CD_M2 * fitted_point_term_sr(_DIP_FROM_CD_M2)
    return np.where(b > _DIP_FROM_CD_M2, np.maximum(fitted, top / b), fitted)


def field_term(background_cd_m2: ArrayLike) -> Floats:
    """Cinf: the threshold contrast of a target so large that size counts no more. Source: ibid., eq. 39."""
    x = _background(background_cd_m2) ** -0.25
    b1, b2, b3, b4, b5 = _B
    return np.sqrt(b1 * x * x + b2 * x + b3) + b4 * x + b5


def blend_exponent(background_cd_m2: ArrayLike) -> Floats:
    """q: how sharply the threshold turns from one term to the other. Source: ibid., eq. 42 to 44."""
    b = _background(background_cd_m2)
    lg = np.log10(b)
    middle, high = _Q_MIDDLE[0] + _Q_MIDDLE[1] * lg, _Q_HIGH[0] + _Q_HIGH[1] * lg
    return np.where(b < _Q_STEPS[0], _Q_LOW, np.where(b <= _Q_STEPS[1], middle, high))


def threshold_cd_m2(background_cd_m2: ArrayLike, solid_angle_sr: ArrayLike) -> Floats:
    """The least increment over the background that half of young observers detect (field factor 1).

    In the lamp light of the experiments: see `glow_factor`. Positive contrast, uniform target, unlimited
    time. Source: Crumey (2014), eq. 41.
    """
    b, q = _background(background_cd_m2), blend_exponent(background_cd_m2)
    small = point_term_sr(b) / np.asarray(solid_angle_sr, dtype=np.float64)
    return np.asarray(b * (small**q + field_term(b) ** q) ** (1.0 / q))


def required_solid_angle_sr(background_cd_m2: ArrayLike, increment_cd_m2: ArrayLike) -> Floats:
    """The least solid angle at which the increment is detected (field factor 1); infinite if none will do."""
    b, q = _background(background_cd_m2), blend_exponent(background_cd_m2)
    room = (np.asarray(increment_cd_m2, dtype=np.float64) / b) ** q - field_term(b) ** q
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(room > 0.0, point_term_sr(b) / np.abs(room) ** (1.0 / q), np.inf)


def ricco_radius_arcmin(background_cd_m2: ArrayLike) -> Floats:
    """The radius of the disc that light is pooled in: its solid angle is R / Cinf. Source: ibid., eq. 63."""
    return np.sqrt(point_term_sr(background_cd_m2) / field_term(background_cd_m2) / math.pi) / ARCMIN


def smallest_angle_arcmin(adapting_cd_m2: ArrayLike) -> Floats:
    """The minimum angle of resolution of an eye adapted to the luminance; from 0.6 by day to 10 in the dark.

    Source: Larson, Rushmeier & Piatko (1997), IEEE TVCG 3(4), 291: a fit to Shlaer (1937), cycles per degree.
    Fitted from 1e-4 cd/m² up; darker than that it is held at 1e-4, which is too kind to the eye.
    """
    lg = np.log10(np.maximum(np.asarray(adapting_cd_m2, dtype=np.float64), 1e-4))
    return np.asarray(30.0 / (17.25 * np.arctan(1.4 * lg + 0.35) + 25.72))


@lru_cache(maxsize=4096)
def photopic_share(photopic_cd_m2: float, sp_ratio: float) -> float:
    """m of the MES2 system: 0 where rods alone see (below 0.005), 1 where cones alone do (from 5 cd/m² up).

    Source: CIE 191:2010. Found by bisection: the rule m = f(m) has one solution.
    """
    scotopic = photopic_cd_m2 * sp_ratio
    if scotopic <= _ALL_SCOTOPIC_CD_M2:
        return 0.0
    if photopic_cd_m2 >= _ALL_PHOTOPIC_CD_M2:
        return 1.0
    low, high = 0.0, 1.0
    while high - low > 1e-9:
        middle = (low + high) / 2.0
        wanted = MES_A + MES_B * math.log10(mesopic_cd_m2(photopic_cd_m2, sp_ratio, middle))
        low, high = (middle, high) if wanted > middle else (low, middle)
    return low


def mesopic_cd_m2(photopic_cd_m2: float, sp_ratio: float, share: float) -> float:
    """The luminance that an eye with that photopic share works with. Source: CIE 191:2010."""
    cones, rods = share, (1.0 - share) * MES_V0
    return photopic_cd_m2 * (cones + rods * sp_ratio) / (cones + rods)


def weight_of_glow(share: ArrayLike) -> Floats:
    """How much more green afterglow counts than as much lamp light, for an eye of that photopic share.

    2.07 for rods alone (source: Crumey (2014), eq. 6), 1 for cones; between them a construction of ours.
    """
    rods = (1.0 - np.asarray(share, dtype=np.float64)) * MES_V0
    return np.asarray((1.0 - rods / MES_V0 + rods * GLOW_SP) / (1.0 - rods / MES_V0 + rods * LAMP_SP))


def glow_factor(background_cd_m2: float) -> float:
    """The weight of glow for an eye at home in the background: 2.07 in the dark, 1.44 at 0.1, 1 by day."""
    return float(weight_of_glow(photopic_share(max(background_cd_m2, DARKEST_CD_M2), LAMP_SP)))


@cache
def _own_weights() -> tuple[Floats, Floats]:
    lg = np.linspace(-3.0, 1.0, 1601)
    return lg, weight_of_glow([photopic_share(float(10.0**x), GLOW_SP) for x in lg])


def adapting_cd_m2(background_cd_m2: ArrayLike, luminance_cd_m2: ArrayLike) -> Floats:
    """What the eye that looks at a print adapts to: the background and half the print's light.

    The half, the mean of bright strokes and dark gaps, is assumed; the glow counts as the rods and cones take
    it at that light.
    """
    half = np.asarray(luminance_cd_m2, dtype=np.float64) / 2.0
    weight = np.interp(np.log10(np.maximum(half, 1e-9)), *_own_weights())
    return np.asarray(np.asarray(background_cd_m2, dtype=np.float64) + half * weight)


def unadapted_factor(minutes: ArrayLike) -> Floats:
    """How many times more light the darkest visible thing needs so long after the lights went out.

    100 at first, 1 from 12.5 minutes on. From memory, provisional: rods gain 0.24 log units a minute, and
    cones take over above two log units.
    """
    exponent = _ADAPT_START - _ADAPT_PER_MIN * np.asarray(minutes, dtype=np.float64)
    return np.asarray(10.0 ** np.clip(exponent, 0.0, _ADAPT_MOST))
