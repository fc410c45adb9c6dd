"""Small artworks and jobs for tests, built from shapely shapes without any file."""

from collections.abc import Sequence

import shapely
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from layout_core.art.artwork import Artwork, outline_digest, source_digest
from layout_core.geometry.pose import Pose
from layout_core.job.limits import PrintLimits
from layout_core.job.model import Art, Job, Piece, PlacedPiece, Sheet
from layout_core.units import mm

GLOW = PrintLimits(
    name="glow", line_caution_mm=mm(0.020), line_stop_mm=mm(0.018), gap_mm=mm(0.028), dot_mm=mm(0.030),
    pinhole_mm=mm(0.035), element_mm2=10.0, piece_gap_mm=mm(0.25), piece_gap_least_mm=mm(0.125),
    margin_mm=0.0,
    sheet_width_mm=mm(11.25), sheet_length_least_mm=mm(12), sheet_length_most_mm=mm(60),
    resolution_wanted_dpi=300.0, resolution_stop_dpi=150.0, smallest_run=6,
)  # fmt: skip


def make_artwork(shape: BaseGeometry | None = None, name: str = "block") -> Artwork:
    """A vector artwork whose outline is the shape, moved to the origin; a 50 x 40 mm block by default."""
    shape = shapely.box(0, 0, 50, 40) if shape is None else shape
    min_x, min_y, _, _ = shape.bounds
    moved = shapely.transform(shape, lambda xy: xy - (min_x, min_y))
    parts = [part for part in shapely.get_parts(moved) if isinstance(part, Polygon)]
    outline = MultiPolygon(parts)
    source = svg_of(outline)
    return Artwork(
        name, source, "svg", source_digest(source), outline, outline_digest(outline), True, "vector"
    )


def svg_of(outline: MultiPolygon) -> bytes:
    """The outline as a plain SVG file at true size."""
    _, _, width, height = outline.bounds
    rings = [ring for part in outline.geoms for ring in (part.exterior, *part.interiors)]
    path = " ".join("M" + " L".join(f"{x:.4f} {y:.4f}" for x, y in ring.coords[:-1]) + " Z" for ring in rings)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}"><path fill-rule="evenodd" d="{path}"/></svg>'
    ).encode()


def make_job(
    artworks: Sequence[Artwork] = (),
    *,
    poses: Sequence[tuple[int, Pose]] = (),
    width_mm: float = mm(11.25),
    length_mm: float = mm(19),
    copies: int = 1,
) -> Job:
    """A job with one piece an artwork at its natural size (ids 101, 102, …), one sheet (id 1)."""
    arts = tuple(Art(201 + i, artwork) for i, artwork in enumerate(artworks))
    pieces = tuple(
        Piece(
            101 + i, art.art_id, art.artwork.name, "full front", "adult", art.artwork.width_mm, copies=copies
        )
        for i, art in enumerate(arts)
    )
    placed = tuple(PlacedPiece(301 + n, 101 + index, pose) for n, (index, pose) in enumerate(poses))
    sheet = Sheet(1, "Sheet A", width_mm, length_mm, GLOW.margin_mm, GLOW.piece_gap_mm, placed=placed)
    return Job("Test job", GLOW, arts=arts, pieces=pieces, sheets=(sheet,), next_id=1000)
