"""How the window says how far something is seen, and with which cautions."""

from collections.abc import Sequence

from app.glow_watch import PieceGlow
from app.viewing import minutes_words
from layout_core.glow.inks import BASIS_WORDS
from layout_core.glow.visibility import shown_m
from layout_core.job.lighting import Charge, Lighting

CAUTION = "Estimates for dark-adapted eyes: print a swatch and look. Decoration only, never safety marking."
SHORT_CAUTION = "Estimates. Decoration only, never safety marking."
"""Where the whole sentence finds no room: what must never be cut off."""


def state_word(glow: PieceGlow, minutes: float, distance_m: float) -> str:
    """What a piece is at a distance: "reads", "seen as a shape" or "gone"."""
    if distance_m <= glow.reads_m(minutes):
        return "reads"
    return "seen as a shape" if distance_m <= glow.shape_m(minutes) else "gone"


def place_words(minutes: float, distance_m: float) -> str:
    """ "at 3.0 m after 20 min"."""
    return f"at {shown_m(distance_m)} after {minutes_words(minutes)}"


def reach_words(glow: PieceGlow, minutes: float) -> tuple[str, str]:
    """To which distance it reads, and is seen as a shape."""
    return shown_m(glow.reads_m(minutes)), shown_m(glow.shape_m(minutes))


def charge_words(charge: Charge) -> str:
    """ "charged 5 min under a daylight lamp at 1,000 lx"; open sky and windows take no article."""
    return f"charged {minutes_words(charge.minutes)}, {charge.lamp}, {charge.illuminance_lx:,.0f} lx"


def light_words(lighting: Lighting) -> str:
    """The light in one line: charge, venue, and what the ink's figures rest on."""
    return f"{charge_words(lighting.charge)} · {lighting.venue.name} · {ink_words(lighting)}"


def ink_words(lighting: Lighting) -> str:
    return f"{lighting.ink.name}, {BASIS_WORDS[lighting.ink.basis]}"


def tally_words(glows: Sequence[PieceGlow], minutes: float, distance_m: float) -> str:
    """How many pieces are what: "4 read, 2 seen as a shape, 1 gone"."""
    states = [state_word(glow, minutes, distance_m) for glow in glows]
    counts = (("reads", "read"), ("seen as a shape", "seen as a shape"), ("gone", "gone"))
    words = [f"{states.count(state)} {word}" for state, word in counts if states.count(state)]
    return ", ".join(words)
