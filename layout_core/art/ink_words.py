"""Sentences for people on what one opaque ink does with colours, shading and see-through paint."""

from layout_core.art.ink_map import InkMap

NOTHING = "has nothing in it that prints"

SOFT = 0.05
"""From which share of soft shading on it is worth a sentence; our own choice."""


def ink_notes(ink_map: InkMap, background: str | None = None) -> list[str]:
    """Sentences for people on what is knocked out; empty when everything prints."""
    out = [swatch for swatch in ink_map.swatches if not swatch.prints]
    if not out:
        return []
    words = ", ".join(
        f"{swatch.colour} ({swatch.area_share:.0%} of the art"
        + (", its background)" if swatch.colour == background else ")")
        for swatch in out
    )
    return [f"Knocked out: {words}. Every other colour prints; the ink map can change that."]


def why_empty(ink_map: InkMap) -> str:
    """Why nothing prints of art that has something painted in it."""
    if ink_map.swatches and not any(swatch.prints for swatch in ink_map.swatches):
        return "every colour of it is knocked out"
    return f"its paint covers less than {ink_map.threshold:.0%}, and one opaque ink cannot print half a tone"


def see_through_note(threshold: float) -> str:
    """What becomes of paint that is neither opaque nor absent."""
    return (
        f"See-through paint prints solid where it covers {threshold:.0%} or more, and not at all below: "
        "one opaque ink cannot print half a tone."
    )


def soft_note(share: float, threshold: float) -> str:
    """What becomes of shadows, glows, photographs and gradients."""
    return (
        f"Soft shading (shadows, glows, gradients, photographs) is {share:.0%} of it: one opaque ink cannot "
        f"print half a tone; it prints solid where it covers {threshold:.0%} or more, and not at all below."
    )


def screen_note(dots: int) -> str:
    """What a dot screen is, and what to ask for instead."""
    return (
        f"A dot screen, it seems: {dots:,} small dots of varying size for half tones. Dots below the print "
        "limits will not hold on the cloth; ask for solid art, or for its shades made solid by a threshold."
    )
