"""The most and the least that the values of a job's lighting may be; each refusal says which value and why.

The bounds are invented: they hold every figure of a real print and keep out slips of the unit.
"""

import math
from dataclasses import replace

from layout_core.errors import LayoutError
from layout_core.job.bounds import checked_text
from layout_core.job.lighting import Charge, Ink, Lighting, Promise, Venue

INK_BASES = ("assumed", "readings", "swatch")
PROMISE_LEVELS = ("reads", "shape")
LEAST_PROMISE_M, MOST_PROMISE_M = 0.1, 100.0
MOST_MINUTES = 2100.0


def checked_lighting(lighting: Lighting) -> Lighting:
    """The lighting with tidy names. Raises LayoutError about the first value that cannot be."""
    promise = lighting.promise
    return replace(
        lighting,
        ink=checked_ink(lighting.ink),
        charge=checked_charge(lighting.charge),
        venue=checked_venue(lighting.venue),
        promise=None if promise is None else checked_promise(promise),
    )


def checked_ink(ink: Ink) -> Ink:
    """The ink with a tidy name."""
    name = checked_text(ink.name, "the name of the ink")
    _between(ink.l10_mcd_m2, f"{name}: the luminance after 10 min", "mcd/m²", 0.01, 10_000.0)
    _between(ink.tau_min, f"{name}: the time constant", "min", 0.0, 10.0)
    _between(ink.exponent, f"{name}: the exponent of the decay", "", 0.3, 3.0)
    _between(ink.film_um, f"{name}: the film", "µm", 1.0, 2_000.0)
    _between(ink.under_reflectance, f"{name}: the reflectance under the film", "", 0.0, 1.0)
    if ink.basis not in INK_BASES:
        raise LayoutError(f"{name}: the basis must be one of {', '.join(INK_BASES)}")
    return replace(ink, name=name)


def checked_charge(charge: Charge) -> Charge:
    """The charge with a tidy lamp name; whether the lamp is known is for glow.afterglow to say."""
    lamp = checked_text(charge.lamp, "the lamp")
    _between(charge.illuminance_lx, "the illuminance of the charge", "lx", 0.1, 200_000.0)
    _between(charge.minutes, "the time of the charge", "min", 0.01, 10_000.0)
    return replace(charge, lamp=lamp)


def checked_venue(venue: Venue) -> Venue:
    """The venue with a tidy name."""
    name = checked_text(venue.name, "the name of the venue")
    _between(venue.background_cd_m2, f"{name}: the background", "cd/m²", 1e-7, 10_000.0)
    return replace(venue, name=name)


def checked_promise(promise: Promise) -> Promise:
    """The promise as it is."""
    _between(promise.distance_m, "the promised distance", "m", LEAST_PROMISE_M, MOST_PROMISE_M)
    _between(promise.minutes, "the promised time after lights-out", "min", 0.0, MOST_MINUTES)
    if promise.level not in PROMISE_LEVELS:
        raise LayoutError(f"a promise is one of {', '.join(PROMISE_LEVELS)}")
    return promise


def _between(value: float, what: str, unit: str, least: float, most: float) -> None:
    if not (math.isfinite(value) and least <= value <= most):
        unit = f" {unit}" if unit else ""
        raise LayoutError(f"{what} is {value:g}{unit}; it must be from {least:g} to {most:,g}{unit}")
