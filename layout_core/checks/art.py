"""Checks art at a size, before or without any sheet."""

from collections.abc import Callable

import shapely
from shapely import MultiPolygon

from layout_core.art.artwork import Artwork
from layout_core.art.font_words import missing_fonts
from layout_core.checks.cache import CheckCache
from layout_core.checks.dots import pinhole_findings, speck_findings
from layout_core.checks.element_area import element_areas_mm2, element_findings, ink_area_mm2
from layout_core.checks.findings import Finding
from layout_core.checks.fonts import font_findings
from layout_core.checks.gaps import gap_findings
from layout_core.checks.line_weight import line_findings
from layout_core.checks.report import ArtReport
from layout_core.checks.resolution import resolution_dpi, resolution_findings
from layout_core.checks.size_unknown import size_findings
from layout_core.geometry.pose import at_width, size_mm
from layout_core.geometry.thickness import firm_limit_mm, sustained_gap_mm, sustained_width_mm
from layout_core.job.limits import PrintLimits
from layout_core.progress import Progress, no_progress, within

WIDER_STEPS = (1.5, 2.25, 3.5, 5.0)
"""Multiples of a limit up to which the finest line and gap are measured; bolder art has no figure."""

HEAVY_VERTICES, HEAVY_RINGS = 40_000, 400
"""Beyond these, measuring what passes anyway would keep a person waiting for seconds."""


def check_artwork(
    artwork: Artwork,
    width_mm: float,
    limits: PrintLimits,
    cache: CheckCache | None = None,
    progress: Progress = no_progress,
) -> ArtReport:
    """The measures and findings of the art printed so wide (mm), worst first within each rule.

    A cache that has seen the same art, width and limits answers at once.
    """
    if cache is None:
        return _report(artwork, width_mm, limits, progress)
    fonts = missing_fonts(artwork.notes)
    key = (artwork.digest, fonts, artwork.size_known, artwork.ink_width_px, width_mm, limits)
    return cache.reports.get(key, lambda: _report(artwork, width_mm, limits, progress))


def _report(artwork: Artwork, width_mm: float, limits: PrintLimits, progress: Progress) -> ArtReport:
    outline = at_width(artwork.outline, width_mm)
    lines = line_findings(outline, limits, within(progress, 0.0, 0.4))
    gaps = gap_findings(outline, limits, within(progress, 0.4, 0.7))
    progress(0.7, "Measuring specks")
    findings = (
        *lines,
        *gaps,
        *speck_findings(outline, limits, lines),
        *pinhole_findings(outline, limits, gaps),
        *element_findings(outline, limits),
        *resolution_findings(artwork, width_mm, limits),
        *size_findings(artwork, width_mm),
        *font_findings(artwork),
    )
    progress(0.8, "Measuring the thinnest place")
    return ArtReport(
        size_mm=size_mm(outline),
        ink_area_mm2=ink_area_mm2(outline),
        elements=len(outline.geoms),
        smallest_element_mm2=min(element_areas_mm2(outline)),
        line_weight_mm=_finest_mm(sustained_width_mm, outline, limits.line_caution_mm, lines, "line_weight"),
        gap_mm=_finest_mm(sustained_gap_mm, outline, limits.gap_mm, gaps, "gap"),
        resolution_dpi=resolution_dpi(artwork, width_mm),
        findings=findings,
    )


def _finest_mm(
    measure: Callable[[MultiPolygon, float, float], float | None],
    outline: MultiPolygon,
    limit_mm: float,
    told: tuple[Finding, ...],
    rule: str,
) -> float | None:
    """The least width below the limit, else the least below the first wider step that shows one.

    A width counts when it goes on for twice the step it was looked for at, so each step is tried in turn.
    Heavy art is not measured above the limit.
    """
    if any(finding.rule == rule for finding in told):
        return measure(outline, firm_limit_mm(limit_mm), 0.0)
    if _is_heavy(outline):
        return None
    least_mm = limit_mm
    for step in WIDER_STEPS:
        width_mm = measure(outline, limit_mm * step, least_mm)
        if width_mm is not None:
            return width_mm
        least_mm = limit_mm * step
    return None


def _is_heavy(outline: MultiPolygon) -> bool:
    rings = sum(1 + len(part.interiors) for part in outline.geoms)
    return rings > HEAVY_RINGS or int(shapely.get_num_coordinates(outline)) > HEAVY_VERTICES
