"""How bright a print is: charge, film, and the decay of the afterglow.

Minutes count from lights-out, which is taken to be the end of charging.
"""

import math
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from layout_core.errors import GlowError
from layout_core.job.lighting import Charge, Ink

Floats = NDArray[np.float64]

TAU_MIN, EXPONENT = 1.207, 1.175
"""Fitted to eleven luminance classes, 2 to 60 min: rms 3.4 %, at most 8.7 % off; holds to 2100 min.

Source: least squares in ln L over PSPA classes A to G and JIS Z 9107:2008 classes JA to JD.
"""
REFERENCE_MIN = 10.0

LAMPS: Final[dict[str, float]] = {
    "daylight lamp": 1.0,
    "open sky": 1.0,
    "window": 0.64,
    "cool white tube": 0.35,
    "white tube": 0.27,
    "cool LED": 0.21,
    "bulb": 0.19,
    "neutral LED": 0.13,
    "warm LED": 0.06,
}
"""Charging to the lux, relative to daylight (D65), either way good to a factor of two.

Source: computed from the CIE illuminants D65, D65 cut below 380 nm, FL2, FL11, LED-B5, A, LED-B3 and LED-B1
with an assumed excitation band (logistic, half at 430 nm, 12 nm wide). Lux alone says little: a warm LED
charges a sixteenth of daylight.
"""

FULL_CHARGE: Final = Charge("daylight lamp", 1000.0, 5.0)
"""The laboratory charge that luminance classes are stated for. Source: PSPA: 1000 lx xenon D75, 5 min."""

_SATURATION_LX_MIN, _CHARGE_TAU_MIN = 3800.0, 20.0
"""Provisional: the half-saturation illuminance lies anywhere from 240 to 900 lx."""

FILM_TAU_UM = 150.0
"""Assumed: the dry film that takes up 63 % of what falls on it once."""
WHITE_UNDERBASE = 0.8
"""Reflectance of a white underbase; assumed."""

_LEAST_EXPONENT, _MOST_EXPONENT, _MOST_TAU_MIN = 0.4, 2.5, 6.0


def decay(minutes: ArrayLike, tau_min: float = TAU_MIN, exponent: float = EXPONENT) -> Floats:
    """The luminance after so many minutes as a share of that after ten (Becquerel's law)."""
    t = np.asarray(minutes, dtype=np.float64)
    return np.asarray(((REFERENCE_MIN + tau_min) / (t + tau_min)) ** exponent)


def charged_share(charge: Charge) -> float:
    """How full the charge makes the pigment, from 0 to 1. The form is assumed, the constants provisional."""
    k = LAMPS[charge.lamp]
    dose = k * charge.illuminance_lx * _CHARGE_TAU_MIN * -math.expm1(-charge.minutes / _CHARGE_TAU_MIN)
    return dose / (dose + _SATURATION_LX_MIN)


def film_share(film_um: float, under_reflectance: float) -> float:
    """How much of its most a dry film of that thickness glows over a ground of that reflectance, 0 to 1."""
    return -math.expm1(-film_um * (1.0 + under_reflectance) ** 2 / FILM_TAU_UM)


def luminance_cd_m2(
    ink: Ink, minutes: ArrayLike, charge: Charge = FULL_CHARGE, under_reflectance: float | None = None
) -> Floats:
    """The luminance (cd/m²) of a solid print so many minutes after lights-out.

    `under_reflectance` is that of what lies under the print; None is the ground the ink's own figure is for.
    """
    gain = charged_share(charge) / charged_share(FULL_CHARGE)
    if under_reflectance is not None:
        gain *= film_share(ink.film_um, under_reflectance) / film_share(ink.film_um, ink.under_reflectance)
    return np.asarray(ink.l10_mcd_m2 / 1000.0 * gain * decay(minutes, ink.tau_min, ink.exponent))


def ink_from_readings(
    name: str, readings: tuple[tuple[float, float], ...], *, film_um: float, under_reflectance: float
) -> Ink:
    """The shop's own ink from two or more (minutes, mcd/m²) of a data sheet, taken after the full charge.

    Least squares in ln L: two readings give the luminance and the exponent, three or more the time constant
    too. Raises GlowError that names the reading at fault.
    """
    ordered = _checked_readings(name, readings)
    t = np.array([minutes for minutes, _ in ordered])
    ln_l = np.log([value for _, value in ordered])
    taus = np.linspace(0.0, _MOST_TAU_MIN, 241) if len(ordered) > 2 else np.array([TAU_MIN])
    best = min((_line(t, ln_l, float(tau)) for tau in taus if t[0] + tau > 0.0), key=lambda fit: fit[0])
    _, tau_min, exponent, l10 = best
    if not _LEAST_EXPONENT <= exponent <= _MOST_EXPONENT:
        pace = "hardly fades" if exponent < _LEAST_EXPONENT else "fades far faster than any glow ink"
        (t0, first), (t1, last) = ordered[0], ordered[-1]
        raise GlowError(
            f"{name}: from {first:g} at {t0:g} min to {last:g} mcd/m² at {t1:g} min it {pace}; "
            "check the readings and their units"
        )
    return Ink(name, l10, tau_min, exponent, film_um, under_reflectance, "readings")


def _line(t: Floats, ln_l: Floats, tau_min: float) -> tuple[float, float, float, float]:
    """Squared error, tau, exponent and L10 of the best straight line in ln(t + tau)."""
    x = np.log((REFERENCE_MIN + tau_min) / (t + tau_min))
    mean_x, mean_y = float(x.mean()), float(ln_l.mean())
    slope = float(((x - mean_x) * (ln_l - mean_y)).sum() / ((x - mean_x) ** 2).sum())
    error = float(((ln_l - mean_y - slope * (x - mean_x)) ** 2).sum())
    return error, tau_min, slope, math.exp(mean_y - slope * mean_x)


def _checked_readings(name: str, readings: tuple[tuple[float, float], ...]) -> list[tuple[float, float]]:
    if len(readings) < 2:
        raise GlowError(f"{name}: has {len(readings)} reading; two or more at different minutes are needed")
    for minutes, value in readings:
        if not (math.isfinite(minutes) and 0.5 <= minutes <= 2100.0):
            raise GlowError(f"{name}: a reading at {minutes:g} min; it must lie from 0.5 to 2100 min")
        if not (math.isfinite(value) and 0.0 < value <= 1e5):
            raise GlowError(f"{name}: {value:g} mcd/m² at {minutes:g} min is no light that can be measured")
    ordered = sorted(readings)
    for (t0, first), (t1, last) in pairwise(ordered):
        if t0 == t1:
            raise GlowError(f"{name}: has two readings at {t0:g} min")
        if last >= first:
            raise GlowError(
                f"{name}: rises from {first:g} at {t0:g} min to {last:g} mcd/m² at {t1:g} min; "
                "an afterglow only falls"
            )
    return ordered
