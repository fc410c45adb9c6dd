"""Turns what was seen on a printed swatch card into the shop's own ink.

Each sighting is solved for the luminance at which the model gives the distance that was seen. Sightings of
dots tell more than those of detail, whose distance hardly follows the light; each counts by the inverse
square of how strongly its luminance follows an error of distance.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from layout_core.art.swatch_card import Kind
from layout_core.errors import GlowError
from layout_core.glow.scene import Scene
from layout_core.glow.visibility import detected_m, resolved_m, sight
from layout_core.job.lighting import Ink

_DIMMEST_MCD, _BRIGHTEST_MCD = 0.02, 5_000.0
_MOST_SPREAD = 30.0
"""Sightings that differ by more than this factor in luminance are no sightings of one print; invented."""
_NEAREST_M, _FARTHEST_M = 0.05, 200.0


@dataclass(frozen=True, slots=True)
class Sighting:
    """The farthest place (m) from which an item of the card was just read (a dot: just seen) at a minute."""

    kind: Kind
    size_mm: float
    distance_m: float
    minutes: float

    @property
    def words(self) -> str:
        return f"the {self.size_mm:g} mm {self.kind} from {self.distance_m:g} m after {self.minutes:g} min"


@dataclass(frozen=True, slots=True)
class Calibration:
    """The ink that the sightings speak for, the luminance after 10 min of each, and how far they disagree.

    `spread` is the factor, 1 or more, within which they typically lie of the ink's luminance.
    """

    ink: Ink
    each_mcd_m2: tuple[float, ...]
    spread: float


def calibrated(name: str, scene: Scene, sightings: Sequence[Sighting]) -> Calibration:
    """The ink of the scene, made as bright as the sightings in that scene say, under a name of its own.

    The decay stays that of the scene's ink. Raises GlowError that says which sighting cannot be, or that
    they contradict each other.
    """
    if not sightings:
        raise GlowError(f"{name}: nothing was entered; one sighting of the swatch card is the least")
    each = [_luminance(scene, sighting) for sighting in sightings]
    weights = np.array([_weight(scene, s, l10) for s, l10 in zip(sightings, each, strict=True)])
    logs = np.log(each)
    mean = float((weights * logs).sum() / weights.sum())
    spread = math.exp(math.sqrt(float((weights * (logs - mean) ** 2).sum() / weights.sum())))
    low, high = int(np.argmin(logs)), int(np.argmax(logs))
    if each[high] > _MOST_SPREAD * each[low]:
        raise GlowError(
            f"{name}: {sightings[low].words} speaks for {each[low]:.2g} mcd/m², {sightings[high].words} for "
            f"{each[high]:.2g}; they are not of one print, look again"
        )
    ink = replace(scene.ink, name=name, l10_mcd_m2=math.exp(mean), basis="swatch")
    if scene.under_reflectance is not None:
        ink = replace(ink, under_reflectance=scene.under_reflectance)
    return Calibration(ink, tuple(each), spread)


def _luminance(scene: Scene, sighting: Sighting) -> float:
    """The ink's luminance after 10 min (mcd/m²) at which the model agrees with the sighting."""
    for value, what, least, most in (
        (sighting.size_mm, "mm is no size on the card", 0.05, 100.0),
        (sighting.distance_m, "m is no distance to look from", _NEAREST_M, _FARTHEST_M),
        (sighting.minutes, "min is no time to look at", 0.0, 2100.0),
    ):
        if not (math.isfinite(value) and least <= value <= most):
            raise GlowError(f"{value:g} {what}; it must be from {least:g} to {most:g}")
    low, high = math.log(_DIMMEST_MCD), math.log(_BRIGHTEST_MCD)
    if _distance_m(scene, sighting, math.exp(low)) >= sighting.distance_m:
        raise GlowError(
            f"{sighting.words}: even a print of {_DIMMEST_MCD:g} mcd/m² is {_done(sighting)} from further "
            "away; was it the farthest place?"
        )
    if _distance_m(scene, sighting, math.exp(high)) < sighting.distance_m:
        raise GlowError(
            f"{sighting.words}: not even a print of {_BRIGHTEST_MCD:,.0f} mcd/m² is {_done(sighting)} from "
            "there; check the distance, the size and the venue"
        )
    while high - low > 1e-6:
        middle = (low + high) / 2.0
        near = _distance_m(scene, sighting, math.exp(middle)) < sighting.distance_m
        low, high = (middle, high) if near else (low, middle)
    return math.exp(high)


def _done(sighting: Sighting) -> str:
    return "seen" if sighting.kind == "dot" else "read"


def _weight(scene: Scene, sighting: Sighting, l10: float) -> float:
    nearer, farther = (math.log(max(_distance_m(scene, sighting, l10 * f), 1e-9)) for f in (1 / 1.05, 1.05))
    slope = (farther - nearer) / (2.0 * math.log(1.05))
    return max(slope, 1e-3) ** 2


def _distance_m(scene: Scene, sighting: Sighting, l10: float) -> float:
    eye = sight(replace(scene, ink=_as_bright(scene, l10)), sighting.minutes)
    size = sighting.size_mm
    if sighting.kind == "dot":
        return float(detected_m(math.pi / 4.0 * size**2, math.pi / 4.0 * size, eye)[0])
    return float(resolved_m(size, eye)[0])


def _as_bright(scene: Scene, l10: float) -> Ink:
    """The scene's ink with another luminance, which is that over the ground of the scene itself."""
    under = scene.ink.under_reflectance if scene.under_reflectance is None else scene.under_reflectance
    return replace(scene.ink, l10_mcd_m2=l10, under_reflectance=under)
