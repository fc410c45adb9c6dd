"""What is said beside every figure of visibility: what it assumes, and what it must not be used for."""

from layout_core.glow.inks import BASIS_WORDS
from layout_core.glow.scene import scene_of
from layout_core.job.lighting import Lighting

DECORATION_ONLY = "Decoration only, never safety marking."
"""Stands wherever a distance is told."""

LIMITS_OF_THE_FIGURES = (
    "Estimates for normal, young eyes: detail is good to 30 %, being seen to a factor of two from person to "
    "person. Print a swatch and look."
)


def too_bright_words(background_cd_m2: float, luminance_cd_m2: float) -> str:
    """Why nothing of a print stands out: the luminances (cd/m²) of the surroundings and of the print."""
    return (
        f"{_figure(background_cd_m2)} cd/m² round it is too bright for this print, "
        f"{_figure(luminance_cd_m2)} cd/m² by then: no size of it stands out"
    )


def _figure(value: float) -> str:
    """Two figures, never as a power of ten: "0.014", "30", "0.00041"."""
    return f"{float(f'{value:.1e}'):.10f}".rstrip("0").rstrip(".")


def assumed_words(lighting: Lighting, garment_colour: str) -> str:
    """The lighting as one sentence: ink and where its figure comes from, charge, venue, cloth, eyes.

    Raises GlowError for a lamp nobody knows.
    """
    ink, charge, venue = lighting.ink, lighting.charge, lighting.venue
    light = float(scene_of(lighting, garment_colour).luminance_cd_m2(10.0)) * 1000.0
    looking = "seen without being looked for" if lighting.at_a_glance else "looked for"
    ground = f"{garment_colour} with a white underbase" if lighting.has_underbase else garment_colour
    return (
        f"Assumes {ink.name} ({BASIS_WORDS[ink.basis]}) at {light:.2g} mcd/m² ten minutes after lights-out, "
        f"charged for {charge.minutes:g} min by {charge.illuminance_lx:,.0f} lx of {charge.lamp}; "
        f"{venue.name} ({venue.background_cd_m2:g} cd/m²); on {ground}; {looking}, by eyes that were in the "
        "light until then."
    )
