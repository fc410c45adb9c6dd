"""What a glow print is seen in: the ink, how it was charged, the venue, and what the shop promises of it."""

from dataclasses import dataclass
from typing import Literal

InkBasis = Literal["assumed", "readings", "swatch"]
"""Where an ink's figures come from, weakest first: the model, a data sheet, a printed swatch looked at."""

PromiseLevel = Literal["reads", "shape"]


@dataclass(frozen=True, slots=True)
class Ink:
    """How bright a print is after the full charge, and how it fades.

    `l10_mcd_m2` is its luminance ten minutes after lights-out, `tau_min` and `exponent` belong to the decay
    law (glow.afterglow). The figure is for a dry film of `film_um` over a ground of `under_reflectance`.
    """

    name: str
    l10_mcd_m2: float
    tau_min: float
    exponent: float
    film_um: float
    under_reflectance: float
    basis: InkBasis


@dataclass(frozen=True, slots=True)
class Charge:
    """The light that the print takes up before lights-out: a lamp of glow.afterglow.LAMPS, lux, minutes."""

    lamp: str
    illuminance_lx: float
    minutes: float


@dataclass(frozen=True, slots=True)
class Venue:
    """Where the print is seen: the luminance (cd/m²) of what surrounds it."""

    name: str
    background_cd_m2: float


@dataclass(frozen=True, slots=True)
class Promise:
    """That every element reads (or is at least seen as a shape) from so far (m), so long after lights-out."""

    distance_m: float
    minutes: float
    level: PromiseLevel = "reads"


@dataclass(frozen=True, slots=True)
class Lighting:
    """The lighting that a job is judged in. `at_a_glance` asks that it is seen without being looked for."""

    ink: Ink
    charge: Charge
    venue: Venue
    has_underbase: bool = False
    at_a_glance: bool = False
    promise: Promise | None = None
