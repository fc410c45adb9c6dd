"""The light a print is seen in, worked out from a job's lighting and the cloth under the print."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from layout_core.errors import GlowError
from layout_core.glow.afterglow import FULL_CHARGE, LAMPS, WHITE_UNDERBASE, luminance_cd_m2
from layout_core.glow.cloth import cloth, reflectance
from layout_core.glow.inks import load_inks, preferred_ink
from layout_core.glow.venue import load_venues
from layout_core.job.lighting import Charge, Ink, Lighting
from layout_core.job.lighting_bounds import checked_charge

LOOKED_FOR, AT_A_GLANCE = 2.0, 10.0
"""Field factors: how many times the laboratory's threshold, that half of young observers reach, it takes.

Source: Crumey (2014), 3.1 gives 1.4 to 2.4 for people who look for a thing; ten for what is seen at a glance
is a tier of ours, assumed.
"""
DARK_SURROUND = 0.1
"""The reflectance of surroundings that the venues' backgrounds stand for."""


@dataclass(frozen=True, slots=True)
class Scene:
    """The light on and round a print.

    `under_reflectance` None takes the ink's figure as it is. An eye that is not `is_adapted` came in from the
    light when it went out.
    """

    ink: Ink
    charge: Charge
    background_cd_m2: float
    under_reflectance: float | None = None
    field_factor: float = LOOKED_FOR
    is_adapted: bool = False

    def luminance_cd_m2(self, minutes: ArrayLike) -> NDArray[np.float64]:
        """The luminance (cd/m²) of the solid print so many minutes after lights-out."""
        return luminance_cd_m2(self.ink, minutes, self.charge, self.under_reflectance)


def usual_lighting() -> Lighting:
    """The lighting of a job that states none: the preferred ink fully charged, in the table's first venue.

    Raises TableError when a table has a mistake.
    """
    return Lighting(preferred_ink(load_inks()), FULL_CHARGE, load_venues()[0])


def scene_of(lighting: Lighting, garment_colour: str) -> Scene:
    """The scene of a print on cloth of that colour. Raises GlowError for a lamp nobody knows.

    Light cloth throws back the venue's light and so brightens the background; dark cloth never makes it
    darker than the venue, since the eye takes in more than the garment.
    """
    require_lamp(lighting.charge)
    ground = reflectance(cloth(garment_colour))
    background = lighting.venue.background_cd_m2 * max(1.0, ground / DARK_SURROUND)
    return Scene(
        lighting.ink,
        lighting.charge,
        background,
        WHITE_UNDERBASE if lighting.has_underbase else ground,
        AT_A_GLANCE if lighting.at_a_glance else LOOKED_FOR,
    )


def require_lamp(charge: Charge) -> None:
    """Raise GlowError unless the lamp is one whose charging is known, LayoutError for impossible figures."""
    checked_charge(charge)
    if charge.lamp not in LAMPS:
        raise GlowError(f"there is no lamp “{charge.lamp[:40]}”; the lamps are {', '.join(LAMPS)}")
