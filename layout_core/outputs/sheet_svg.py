"""A sheet as SVG at true size: one group for the ink, one path a copy, whole micrometres.

Distances between points are written, not points; they are taken between rounded points, so that no error adds
up and every point stands within half a micrometre of where it is.
"""

from xml.sax.saxutils import quoteattr

import numpy as np
import shapely
from shapely import MultiPolygon
from shapely.geometry.base import BaseGeometry

from layout_core.job.model import Job, Sheet
from layout_core.outputs.sheet_ink import printed_shapes
from layout_core.outputs.spots import checked_spot

_PER_MM = 1000


def sheet_svg(job: Job, sheet: Sheet, spot: str = "GLOW") -> bytes:
    """The sheet as UTF-8 SVG, one user unit to the mm; the same sheet gives the same bytes.

    No style sheet, transform or text. Raises HandOffError for a spot name that a press could misread.
    """
    group = checked_spot(spot, "the ink's spot name").replace(" ", "_")
    paths = []
    for placed_id, outline in printed_shapes(job, sheet).items():
        name = quoteattr(f"copy-{placed_id}")
        paths.append(f'<path id={name} fill-rule="evenodd" d="{outline_path(outline)}"/>\n')
    body = f'<g id="{group}" fill="#000000">\n{"".join(paths)}</g>\n'
    return page_svg(body, sheet.width_mm, sheet.length_mm)


def page_svg(body: str, width_mm: float, length_mm: float) -> bytes:
    """An SVG document of that size in mm round the body."""
    width, length = _number(round(width_mm * _PER_MM)), _number(round(length_mm * _PER_MM))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{length}mm" '
        f'viewBox="0 0 {width} {length}">\n{body}</svg>\n'
    ).encode()


def outline_path(outline: MultiPolygon) -> str:
    """The path data of every ring, in mm."""
    rings = [ring for part in outline.geoms for ring in (part.exterior, *part.interiors)]
    return "".join(f"{line_path(ring)}z" for ring in rings)


def line_path(line: BaseGeometry) -> str:
    """The path data of one line, in mm; of a ring without its last point, which is its first."""
    points = np.rint(shapely.get_coordinates(line) * _PER_MM).astype(np.int64)
    if len(points) > 3 and (points[0] == points[-1]).all():
        points = points[:-1]
    steps = np.diff(points, axis=0).ravel().tolist()
    x, y = points[0].tolist()
    return f"M{_number(x)} {_number(y)}l{' '.join(map(_number, steps))}"


def _number(thousandths: int) -> str:
    whole, rest = divmod(abs(thousandths), _PER_MM)
    text = f"{whole}.{rest:03d}".rstrip("0").rstrip(".") if rest else str(whole)
    return f"-{text}" if thousandths < 0 else text
