"""What `check --promise` adds: how far the art is seen, whether the promise holds, and what that assumes."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from app.reports import finding_document
from layout_core.art.artwork import Artwork
from layout_core.checks.cache import CheckCache
from layout_core.checks.findings import Finding
from layout_core.checks.promise import artwork_promise_findings, elements_of
from layout_core.glow.bands import scene_bands
from layout_core.glow.promise_text import parse_promise, promise_words
from layout_core.glow.scene import scene_of, usual_lighting
from layout_core.glow.venue import load_venues
from layout_core.glow.visibility import shown_m
from layout_core.glow.words import DECORATION_ONLY, LIMITS_OF_THE_FIGURES, assumed_words
from layout_core.job.lighting import Lighting
from layout_core.progress import Progress, no_progress

GARMENT_COLOUR = "black"
"""The cloth that `check` takes the print to be on, as nobody said."""


def promised_lighting(text: str) -> Lighting:
    """The usual lighting with the promise and venue of the text.

    Raises GlowError for a promise that is none, TableError when a table has a mistake.
    """
    promise, venue = parse_promise(text, load_venues())
    return replace(usual_lighting(), venue=venue, promise=promise)


class PromiseReport:
    """The art at a width under a promise. `findings` are those that miss it; none if it is kept."""

    def __init__(
        self, artwork: Artwork, width_mm: float, lighting: Lighting, progress: Progress = no_progress
    ) -> None:
        if lighting.promise is None:
            raise ValueError("the lighting holds no promise")
        cache = CheckCache()
        self.lighting, self.promise = lighting, lighting.promise
        self.findings: Sequence[Finding] = artwork_promise_findings(
            artwork, width_mm, lighting, GARMENT_COLOUR, cache, progress
        )
        elements = elements_of(artwork, width_mm)
        bands = scene_bands(elements, scene_of(lighting, GARMENT_COLOUR), [self.promise.minutes])
        self.luminance_mcd_m2 = float(bands.luminance_mcd_m2[0])
        self.reads_m, self.shape_m = float(bands.reads_m[0]), float(bands.shape_m[0])

    @property
    def is_kept(self) -> bool:
        return not any(finding.severity == "caution" for finding in self.findings)

    def document(self) -> dict[str, Any]:
        """The JSON object, whose keys carry the units; distances are the model's, not rounded for show."""
        lighting, promise = self.lighting, self.promise
        return {
            "distance_m": promise.distance_m,
            "minutes": promise.minutes,
            "level": promise.level,
            "venue": lighting.venue.name,
            "background_cd_m2": lighting.venue.background_cd_m2,
            "ink": lighting.ink.name,
            "ink_basis": lighting.ink.basis,
            "luminance_mcd_m2": round(self.luminance_mcd_m2, 4),
            "reads_m": round(self.reads_m, 4),
            "shape_m": round(self.shape_m, 4),
            "is_kept": self.is_kept,
            "findings": [finding_document(finding) for finding in self.findings],
            "assumes": assumed_words(lighting, GARMENT_COLOUR),
            "caution": f"{DECORATION_ONLY} {LIMITS_OF_THE_FIGURES}",
        }

    def lines(self) -> list[str]:
        """The same for a person."""
        kept = "kept" if self.is_kept else "missed"
        return [
            f"  promise  {kept}: {promise_words(self.promise, self.lighting.venue)}",
            *(f"  {finding.severity!s:<8} {finding.message}" for finding in self.findings),
            f"  glow     most of it reads to {shown_m(self.reads_m)}, "
            f"seen as a shape to {shown_m(self.shape_m)}",
            f"           {assumed_words(self.lighting, GARMENT_COLOUR)}",
            f"           {DECORATION_ONLY} {LIMITS_OF_THE_FIGURES}",
        ]
