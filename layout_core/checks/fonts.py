"""Whether words of the art were left out because their font is not on this computer."""

import re

from layout_core.art.artwork import Artwork
from layout_core.art.font_words import missing_fonts
from layout_core.checks.findings import Finding, Severity


def font_findings(artwork: Artwork) -> tuple[Finding, ...]:
    """One stop for each font that text of the art asks for and that is not here; its rule names the font."""
    return tuple(
        Finding(_rule(name), Severity.STOP, f"Words in the font “{name}”, which is not here, were left out")
        for name in missing_fonts(artwork.notes)
    )


def _rule(name: str) -> str:
    return f"font_missing_{re.sub(r'[^a-z0-9]+', '_', name.casefold()).strip('_')[:40]}"
