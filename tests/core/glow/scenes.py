"""Scenes and pieces for tests of the glow model."""

import shapely
from shapely import MultiPolygon
from shapely.geometry.base import BaseGeometry

from layout_core.glow.afterglow import EXPONENT, FULL_CHARGE, TAU_MIN
from layout_core.glow.scene import LOOKED_FOR, Scene
from layout_core.job.lighting import Ink, Lighting, Promise, Venue

BLACKOUT, MOONLESS, FULL_MOON, PARTY = 1e-5, 1e-4, 3e-3, 0.1


def ink(l10_mcd_m2: float = 30.0) -> Ink:
    return Ink("test ink", l10_mcd_m2, TAU_MIN, EXPONENT, 50.0, 0.04, "assumed")


def scene(
    background_cd_m2: float = PARTY,
    l10_mcd_m2: float = 30.0,
    field_factor: float = LOOKED_FOR,
    *,
    is_adapted: bool = True,
) -> Scene:
    return Scene(
        ink(l10_mcd_m2), FULL_CHARGE, background_cd_m2, field_factor=field_factor, is_adapted=is_adapted
    )


def lighting(background_cd_m2: float = PARTY, promise: Promise | None = None) -> Lighting:
    """A job's lighting in a venue of that luminance."""
    return Lighting(ink(), FULL_CHARGE, Venue("test venue", background_cd_m2), promise=promise)


def outline(*shapes: BaseGeometry) -> MultiPolygon:
    return MultiPolygon([part for shape in shapes for part in shapely.get_parts(shape)])
