"""Whether each element of the art keeps the promise: reads, or is seen, from so far so long after dark.

An element misses it for one of two reasons, told apart: too fine (its stroke, gap or counter spans less than
the eye reads with ease) or too small (its light does not reach the threshold). Everything grows in
proportion, so the size that would do is known exactly.
"""

import math
from dataclasses import replace

import numpy as np
import shapely
from shapely import MultiPolygon, Polygon

from layout_core.art.artwork import Artwork
from layout_core.checks.cache import CheckCache
from layout_core.checks.findings import Finding, Severity
from layout_core.checks.misses import Cause, Miss, PromiseFix
from layout_core.geometry.pose import at_width
from layout_core.geometry.residue import strip_mm
from layout_core.geometry.thickness import thin_spots
from layout_core.glow.bands import element_bands, garment_colours, natural_elements
from layout_core.glow.elements import Elements
from layout_core.glow.promise_text import promise_words
from layout_core.glow.scene import Scene, scene_of
from layout_core.glow.visibility import detected_m, legible_m, shown_m, sight
from layout_core.glow.words import too_bright_words
from layout_core.job.lighting import Lighting, Promise
from layout_core.job.model import Job, Piece
from layout_core.progress import Progress, no_progress, within
from layout_core.units import write_area, write_length

RULE = "promise"
WORST_SHOWN = 12
"""Elements of a piece that are told one by one; more would bury the rest. Invented."""


def promise_findings(
    job: Job, piece: Piece, cache: CheckCache | None = None, progress: Progress = no_progress
) -> tuple[Finding, ...]:
    """The findings of the rule promise of one piece; none where the job promises nothing.

    Raises GlowError when the job's lighting names a lamp nobody knows.
    """
    lighting = job.lighting
    if lighting is None or lighting.promise is None:
        return ()
    colour = garment_colours(job, piece)[0]
    artwork = job.artwork_of(piece)
    findings = artwork_promise_findings(artwork, piece.width_mm, lighting, colour, cache, progress)
    return tuple(replace(finding, piece_id=piece.piece_id) for finding in findings)


def artwork_promise_findings(
    artwork: Artwork,
    width_mm: float,
    lighting: Lighting,
    garment_colour: str,
    cache: CheckCache | None = None,
    progress: Progress = no_progress,
) -> tuple[Finding, ...]:
    """The findings of art printed so wide; the lighting must hold a promise."""
    promise = _promise_of(lighting)
    misses = promise_misses(artwork, width_mm, lighting, garment_colour, cache, progress)
    words = promise_words(promise, lighting.venue)
    whole = [miss for miss in misses if not miss.is_part]
    parts = [miss for miss in misses if miss.is_part]
    return (
        *(_finding(miss, words, Severity.CAUTION) for miss in whole[:WORST_SHOWN]),
        *_rest(whole[WORST_SHOWN:], words, Severity.CAUTION, "elements miss it"),
        *(_finding(miss, words, Severity.NOTE) for miss in parts[:WORST_SHOWN]),
        *_rest(parts[WORST_SHOWN:], words, Severity.NOTE, "fine parts are lost"),
    )


def promise_misses(
    artwork: Artwork,
    width_mm: float,
    lighting: Lighting,
    garment_colour: str,
    cache: CheckCache | None = None,
    progress: Progress = no_progress,
) -> tuple[Miss, ...]:
    """Everything that misses the promise of the lighting at that width, worst first, whole elements first."""
    cache = CheckCache() if cache is None else cache
    key = (artwork.digest, width_mm, lighting, garment_colour)
    return cache.misses.get(
        key, lambda: _misses(artwork, width_mm, lighting, garment_colour, cache, progress)
    )


def elements_of(artwork: Artwork, width_mm: float) -> Elements:
    """The elements of art at a width, measured once for all widths."""
    return natural_elements(artwork).scaled(width_mm / artwork.width_mm)


def _misses(
    artwork: Artwork,
    width_mm: float,
    lighting: Lighting,
    garment_colour: str,
    cache: CheckCache,
    progress: Progress,
) -> tuple[Miss, ...]:
    promise, scene = _promise_of(lighting), scene_of(lighting, garment_colour)
    progress(0.0, "Measuring elements")
    elements = elements_of(artwork, width_mm)
    outline = at_width(artwork.outline, width_mm)
    judge = _Judge(promise, scene)
    if judge.read_m_per_mm <= 0.0 or (promise.level == "shape" and judge.is_too_dim):
        return (_too_dim(outline, scene, float(judge.eye.luminance_cd_m2[0])),)
    bands = element_bands(elements, scene, [promise.minutes])
    got = (bands.reads_m if promise.level == "reads" else bands.seen_m)[:, 0]
    missing = np.flatnonzero(got < promise.distance_m * (1.0 - 1e-9))
    order = missing[np.argsort(got[missing], kind="stable")].tolist()
    whole = [judge.miss(n, elements, outline, float(got[n]), float(bands.seen_m[n, 0])) for n in order]
    if promise.level == "shape":
        return tuple(whole)
    return (*whole, *_lost_parts(outline, missing, judge, within(progress, 0.3, 1.0)))


class _Judge:
    """What one moment and distance ask of an element."""

    def __init__(self, promise: Promise, scene: Scene) -> None:
        self.promise = promise
        self.eye = sight(scene, promise.minutes)
        self.read_m_per_mm = float(legible_m(1.0, self.eye)[0])
        self.is_too_dim = not float(detected_m(1.0, 1.0, self.eye)[0]) > 0.0

    @property
    def detail_mm(self) -> float:
        """The stroke, gap or counter that is read with ease from the promised distance."""
        return self.promise.distance_m / self.read_m_per_mm

    def miss(self, n: int, elements: Elements, outline: MultiPolygon, got_m: float, seen_m: float) -> Miss:
        part = outline.geoms[n]
        stroke, detail = float(elements.stroke_mm[n]), float(elements.detail_mm[n])
        fixes = self._fixes(part, stroke, detail, float(elements.near_mm[n]), got_m)
        shape = MultiPolygon([part])
        if seen_m < self.promise.distance_m * (1.0 - 1e-9):
            area = float(elements.area_mm2[n])
            needed = area * (self.promise.distance_m / seen_m) ** 2 if seen_m > 0.0 else math.inf
            return Miss(n, "too small", got_m, area, needed, "mm2", shape, fixes)
        cause: Cause = "gap too fine" if detail < stroke else "too fine"
        return Miss(n, cause, got_m, detail, self.detail_mm, "mm", shape, fixes)

    def _fixes(
        self, part: Polygon, stroke: float, detail: float, near: float, got_m: float
    ) -> tuple[PromiseFix, ...]:
        """Reading asks for wide strokes and gaps, being seen only for size; a solid form may do for both."""
        fixes: list[PromiseFix] = []
        needed_mm = math.ceil(self.detail_mm * 10.0) / 10.0
        reads = self.promise.level == "reads"
        if reads and stroke < self.detail_mm and detail >= stroke:
            fixes.append(PromiseFix("thicken", needed_mm))
        stands_free = near >= self.detail_mm or not reads
        if part.interiors and stands_free and self._would_keep(Polygon(part.exterior)):
            fixes.append(PromiseFix("solid"))
        if reads and detail < stroke:
            fixes.append(PromiseFix("open", needed_mm))
        if got_m > 0.0:
            fixes.append(PromiseFix("enlarge", math.ceil(100.0 * self.promise.distance_m / got_m - 1e-9)))
        return tuple(fixes)

    def _would_keep(self, solid: Polygon) -> bool:
        filled = np.array([solid], dtype=object)
        stroke = strip_mm(filled)[1]
        seen_m = float(detected_m(shapely.area(filled), stroke, self.eye)[0])
        read_m = float(legible_m(stroke, self.eye)[0]) if self.promise.level == "reads" else seen_m
        return min(seen_m, read_m) >= self.promise.distance_m


def _lost_parts(outline: MultiPolygon, missing: np.ndarray, judge: _Judge, progress: Progress) -> list[Miss]:
    """The lines thinner than the promise asks for, in elements that keep it as a whole."""
    keeps = np.setdiff1d(np.arange(len(outline.geoms)), missing)
    if not len(keeps):
        return []
    parts = MultiPolygon([outline.geoms[n] for n in keeps.tolist()])
    needed_mm = judge.detail_mm
    spots = [spot for spot in thin_spots(parts, needed_mm, progress) if spot.kind == "line"]
    shapes = np.array(parts.geoms, dtype=object)
    tree = shapely.STRtree(shapes)
    lost: list[Miss] = []
    for spot in spots:
        at = int(tree.nearest(shapely.Point(spot.where_mm)))
        fixes = (
            PromiseFix("thicken", math.ceil(needed_mm * 10.0) / 10.0),
            PromiseFix("enlarge", math.ceil(100.0 * needed_mm / spot.width_mm - 1e-9)),
        )
        shape = MultiPolygon([p for p in shapely.get_parts(spot.shape) if isinstance(p, Polygon)])
        reached = spot.width_mm * judge.read_m_per_mm
        lost.append(
            Miss(int(keeps[at]), "too fine", reached, spot.width_mm, needed_mm, "mm", shape, fixes, True)
        )
    return lost


def _too_dim(outline: MultiPolygon, scene: Scene, luminance_cd_m2: float) -> Miss:
    return Miss(0, "too dim", 0.0, luminance_cd_m2, scene.background_cd_m2, "cd/m²", outline, ())


def _promise_of(lighting: Lighting) -> Promise:
    if lighting.promise is None:
        raise ValueError("the lighting holds no promise")
    return lighting.promise


def _finding(miss: Miss, promised: str, severity: Severity) -> Finding:
    point = None if miss.shape.is_empty else shapely.point_on_surface(miss.shape)
    is_known = miss.cause != "too dim" and math.isfinite(miss.needed)
    return Finding(
        RULE,
        severity,
        f"{_subject(miss)}{_remedy(miss)} (promised: {promised})",
        measured=miss.measured if is_known else None,
        limit=miss.needed if is_known else None,
        unit=miss.unit,
        where_mm=None if point is None or miss.cause == "too dim" else (point.x, point.y),
        highlight=miss.shape,
    )


def _subject(miss: Miss) -> str:
    if miss.cause == "too dim":
        return f"The venue: {too_bright_words(miss.needed, miss.measured)}"
    reached = shown_m(miss.reached_m)
    if miss.cause == "too small":
        return f"Too small to see: {write_area(miss.measured)} of ink gets to {reached}"
    thing = "Fine part" if miss.is_part else "Gap" if miss.cause == "gap too fine" else "Stroke"
    return f"Too fine to read: {thing.lower()} of {write_length(miss.measured)} gets to {reached}"


def _remedy(miss: Miss) -> str:
    if miss.cause == "too dim":
        return "; a darker venue, an earlier moment or a brighter ink would"
    words = [fix.words for fix in miss.fixes]
    return f"; {' or '.join(words)}" if words else "; no size of it alone would do"


def _rest(left: list[Miss], promised: str, severity: Severity, what: str) -> tuple[Finding, ...]:
    if not left:
        return ()
    most = max((fix.amount for miss in left for fix in miss.fixes if fix.kind == "enlarge"), default=0.0)
    all_of_them = f"; enlarge to {most:.0f} % for all of them" if most else ""
    return (Finding(RULE, severity, f"{len(left)} more {what}{all_of_them} (promised: {promised})"),)
