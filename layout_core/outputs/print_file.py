"""The print file: one sheet at true size as vectors in named spot colours, byte for byte repeatable.

Source: ISO 32000-1:2008, sections 8.5 (paths), 8.6.6.4 (Separation), 8.6.7 (overprint), 14.11.2 (page boxes).
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon
from shapely.geometry.base import BaseGeometry

from layout_core.errors import HandOffError
from layout_core.geometry.outline import valid_union
from layout_core.job.approvals import printable_digest
from layout_core.job.model import Job, Sheet
from layout_core.job.printing import PrintOptions
from layout_core.outputs import print_dress
from layout_core.outputs.cut_plan import CutPlan, plan_of
from layout_core.outputs.pdf_objects import PdfObjects, pdf_dictionary, pdf_number
from layout_core.outputs.print_marks import BLEED_MM, LINE_MM, MEDIA_MM, mark_lines, slug_outline
from layout_core.outputs.sheet_ink import printed_shapes, whole_ink
from layout_core.outputs.spots import LAB_SPACE, Spot, checked_spot, separation_space
from layout_core.progress import Progress, no_progress, within
from layout_core.units import MM_PER_IN, write_length, write_number

GRID_PER_IN = 14_400
"""Every coordinate is a whole number of these, 1.8 micrometres: rounded once, never again."""
_POINTS_PER_IN = 72.0
MOST_USER_UNITS = 14_400.0
"""A page side beyond this many units (200 in) needs a larger unit. Source: ISO 32000-1:2008, annex C.2."""

_INK_LAB = (88.0, -38.0, 30.0)
_CUT_LAB = (52.0, 78.0, -10.0)
_UNDER_LAB = (82.0, -2.0, -14.0)
"""How the plates look on a screen; the names alone count on a press. Invented."""


@dataclass(frozen=True, slots=True)
class _Page:
    """The sheet on its page: mm of the sheet frame to grid units of the page (y up)."""

    width_mm: float
    length_mm: float
    is_mirrored: bool

    def grid(self, xy: NDArray[np.float64]) -> NDArray[np.int64]:
        x = self.width_mm - xy[:, 0] if self.is_mirrored else xy[:, 0]
        placed = np.column_stack([x + MEDIA_MM, self.length_mm + MEDIA_MM - xy[:, 1]])
        return np.rint(placed * (GRID_PER_IN / MM_PER_IN)).astype(np.int64)

    @property
    def unit(self) -> int:
        """Points to the user unit, 1 for a page of ordinary size."""
        longest_mm = max(self.width_mm, self.length_mm) + 2 * MEDIA_MM
        return max(1, ceil(longest_mm / MM_PER_IN * _POINTS_PER_IN / MOST_USER_UNITS - 1e-9))

    def box(self, beyond_mm: float) -> str:
        """A page box that lies that far outside the trim, in user units."""
        near = (MEDIA_MM - beyond_mm) / MM_PER_IN * _POINTS_PER_IN
        sides = (
            near + (side_mm + 2 * beyond_mm) / MM_PER_IN * _POINTS_PER_IN
            for side_mm in (self.width_mm, self.length_mm)
        )
        return f"[{' '.join(pdf_number(round(value, 6) / self.unit) for value in (near, near, *sides))}]"


def print_pdf(
    job: Job,
    sheet: Sheet,
    options: PrintOptions | None = None,
    progress: Progress = no_progress,
    plan: CutPlan | None = None,
) -> bytes:
    """The sheet's print file as PDF bytes; the same sheet and options give the same bytes.

    The job's own options hold where none are given. `plan` saves working out the cut lines again when they
    are known.
    Raises HandOffError for a spot name that a press could misread, or two alike.
    """
    options = job.printing if options is None else options
    spots = _spots(options)
    progress(0.0, f"Gathering the ink of {sheet.name}")
    shapes = printed_shapes(job, sheet)
    page = _Page(sheet.width_mm, sheet.length_mm, options.is_mirrored)
    content = _content(job, sheet, shapes, page, options, plan, within(progress, 0.1, 0.8))
    progress(0.9, f"Writing the print file of {sheet.name}")
    return _file(content, page, spots, f"Print file: {job.name}, {sheet.name}")


def underbase(ink: MultiPolygon, choke_mm: float) -> MultiPolygon:
    """The area of the white plate: the ink without a rim of `choke_mm`; lines thinner than two get none."""
    return valid_union(shapely.buffer(ink, -choke_mm, join_style="mitre")) if choke_mm > 0 else ink


def require_spots(options: PrintOptions) -> None:
    """Raise HandOffError for spot names that `print_pdf` would refuse."""
    _spots(options)


def _spots(options: PrintOptions) -> dict[str, Spot]:
    """Resource name to spot. Never G, RGB, CMYK or I: some readers take those for inline colour spaces."""
    spots = {"CsInk": Spot(checked_spot(options.ink_spot, "the ink's spot name"), _INK_LAB)}
    if options.has_underbase:
        spots["CsUnder"] = Spot(checked_spot(options.under_spot, "the underbase's spot name"), _UNDER_LAB)
    if options.has_cut_lines:
        spots["CsCut"] = Spot(checked_spot(options.cut_spot, "the cut lines' spot name"), _CUT_LAB)
    names = [spot.name.lower() for spot in spots.values()]
    if len(set(names)) < len(names):
        raise HandOffError(f"two plates have the same spot name; they are {', '.join(names)}")
    return spots


def _content(
    job: Job,
    sheet: Sheet,
    shapes: dict[int, MultiPolygon],
    page: _Page,
    options: PrintOptions,
    plan: CutPlan | None,
    progress: Progress,
) -> bytes:
    scale = pdf_number(_POINTS_PER_IN / GRID_PER_IN / page.unit)
    parts: list[bytes] = [b"q", f"{scale} 0 0 {scale} 0 0 cm".encode("ascii"), b"/GsOver gs"]
    if options.has_underbase:
        progress(0.0, "Drawing the underbase")
        parts += [b"/CsUnder cs 1 scn", *_fills([underbase(whole_ink(shapes), options.choke_mm)], page)]
    parts += [b"/CsInk cs 1 scn", *_fills(shapes.values(), page)]
    if options.has_cut_lines:
        plan = plan_of(shapes, sheet, progress) if plan is None else plan
        parts += [b"/CsCut CS 1 SCN", _pen(LINE_MM * 2), *_strokes(_cut_lines(plan), page)]
    parts += _outside(job, sheet, page, options)
    return b"\n".join([*parts, b"Q\n"])


def _outside(job: Job, sheet: Sheet, page: _Page, options: PrintOptions) -> list[bytes]:
    """Marks on every plate that prints, and the slug on the ink's."""
    parts: list[bytes] = []
    if options.has_marks:
        lines = _strokes(mark_lines(sheet.width_mm, sheet.length_mm), page)
        plates = (b"CsInk", b"CsUnder") if options.has_underbase else (b"CsInk",)
        for plate in plates:
            parts += [b"/%b CS 1 SCN" % plate, _pen(LINE_MM), *lines]
    if options.has_slug:
        # the slug must read on the page whichever way the ink lies
        upright = _Page(page.width_mm, page.length_mm, is_mirrored=False)
        slug = slug_outline(slug_words(job, sheet, options), sheet.width_mm, sheet.length_mm)
        parts += [b"/CsInk cs 1 scn", *_fills([slug], upright)]
    return parts


def slug_words(job: Job, sheet: Sheet, options: PrintOptions) -> tuple[str, str]:
    """What the slug says, left and right of the middle mark."""
    size = f"{write_number(sheet.width_mm)} x {write_length(sheet.length_mm)}"
    plates = options.ink_spot
    if options.has_underbase:
        plates = f"{options.under_spot} (choke {write_length(options.choke_mm)}) under {plates}"
    side = "MIRRORED, ink seen through the film" if options.is_mirrored else "right-reading"
    digest = printable_digest(job)[:12]
    return f"{job.name} / {sheet.name} / {size} / run {sheet.run}", f"{plates} / {side} / 100% / {digest}"


def _pen(width_mm: float) -> bytes:
    return b"%d w" % max(1, round(width_mm / MM_PER_IN * GRID_PER_IN))


def _cut_lines(plan: CutPlan) -> list[BaseGeometry]:
    lines: list[BaseGeometry] = [shapely.LineString(cut.ends_mm) for cut in plan.cuts]
    return lines + [part.exterior for contour in plan.contours for part in contour.shape.geoms]


def _fills(outlines: Iterable[MultiPolygon], page: _Page) -> list[bytes]:
    """One even-odd fill a polygon."""
    parts: list[bytes] = []
    for outline in outlines:
        for polygon in outline.geoms:
            rings = [_path(ring, page) for ring in (polygon.exterior, *polygon.interiors)]
            parts += [*rings, b"f*"]
    return parts


def _strokes(lines: Sequence[BaseGeometry], page: _Page) -> list[bytes]:
    return [part for one in lines for part in (_path(one, page), b"S")]


def _path(line: BaseGeometry, page: _Page) -> bytes:
    """A ring as a closed path, an open line as an open one."""
    points = page.grid(shapely.get_coordinates(line))
    is_closed = len(points) > 3 and bool((points[0] == points[-1]).all())
    points = points[:-1] if is_closed else points
    text = "%d %d m\n" + "%d %d l\n" * (len(points) - 1)
    return (text % tuple(points.ravel().tolist()) + ("h" if is_closed else "")).rstrip().encode("ascii")


def _file(content: bytes, page: _Page, spots: dict[str, Spot], title: str) -> bytes:
    objects = PdfObjects()
    lab = objects.add(LAB_SPACE)
    spaces = {name: objects.add(separation_space(spot, lab)) for name, spot in spots.items()}
    overprint = objects.add("<< /Type /ExtGState /OP true /op true /OPM 1 >>")
    stream = objects.add_stream(content)
    resources = pdf_dictionary(
        {"ColorSpace": pdf_dictionary(spaces), "ExtGState": pdf_dictionary({"GsOver": overprint})}
    )
    pages_at = len(spaces) + 5  # the page tree follows its page, which must name it
    entries = {
        "Type": "/Page", "Parent": f"{pages_at} 0 R", "MediaBox": page.box(MEDIA_MM),
        "BleedBox": page.box(BLEED_MM), "TrimBox": page.box(0.0),
        "Resources": resources, "Contents": stream,
    }  # fmt: skip
    if page.unit > 1:
        entries["UserUnit"] = str(page.unit)
    leaf = objects.add(pdf_dictionary(entries))
    pages = objects.add(f"<< /Type /Pages /Kids [{leaf}] /Count 1 >>")
    metadata = print_dress.metadata(objects, title, content)
    intent = print_dress.output_intent(objects)
    root = objects.add(f"<< /Type /Catalog /Pages {pages} /Metadata {metadata} /OutputIntents [{intent}] >>")
    return objects.file_bytes(root, print_dress.information(objects, title))
