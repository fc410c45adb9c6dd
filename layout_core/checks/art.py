"""Checks art at a size, before or without any sheet."""

from shapely import MultiPolygon

from layout_core.art.artwork import Artwork
from layout_core.checks.cache import CheckCache
from layout_core.checks.dots import pinhole_findings, speck_findings
from layout_core.checks.element_area import element_areas_mm2, element_findings, ink_area_mm2
from layout_core.checks.findings import Finding
from layout_core.checks.gaps import gap_findings
from layout_core.checks.line_weight import line_findings
from layout_core.checks.report import ArtReport
from layout_core.checks.resolution import resolution_dpi, resolution_findings
from layout_core.checks.size_unknown import size_findings
from layout_core.checks.spots import firm_limit_mm
from layout_core.geometry.pose import at_width, size_mm
from layout_core.geometry.thickness import sustained_gap_mm, sustained_width_mm
from layout_core.job.limits import PrintLimits
from layout_core.progress import Progress, no_progress, within


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
    key = (artwork.digest, artwork.size_known, artwork.ink_width_px, width_mm, limits)
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
    )
    progress(0.8, "Measuring the thinnest place")
    return ArtReport(
        size_mm=size_mm(outline),
        ink_area_mm2=ink_area_mm2(outline),
        elements=len(outline.geoms),
        smallest_element_mm2=min(element_areas_mm2(outline)),
        line_weight_mm=_line_weight_mm(outline, limits, lines),
        gap_mm=_gap_mm(outline, limits, gaps),
        resolution_dpi=resolution_dpi(artwork, width_mm),
        findings=findings,
    )


def _line_weight_mm(outline: MultiPolygon, limits: PrintLimits, told: tuple[Finding, ...]) -> float | None:
    if not any(finding.rule == "line_weight" for finding in told):
        return None
    return sustained_width_mm(outline, firm_limit_mm(limits.line_caution_mm))


def _gap_mm(outline: MultiPolygon, limits: PrintLimits, told: tuple[Finding, ...]) -> float | None:
    if not any(finding.rule == "gap" for finding in told):
        return None
    return sustained_gap_mm(outline, firm_limit_mm(limits.gap_mm))
