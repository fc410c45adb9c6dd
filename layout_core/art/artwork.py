"""The value every imported file becomes: one-ink shapes at natural size."""

import hashlib
from dataclasses import dataclass
from typing import Literal

import shapely
from shapely import MultiPolygon

Route = Literal["vector", "raster"]


@dataclass(frozen=True, slots=True, eq=False)
class Artwork:
    """One-ink art. Compared by identity of content: same source and same outline digest are equal.

    `outline` is a valid MultiPolygon in mm at natural size; the top-left corner of its bounds is (0, 0).
    `source` holds the file as it came (SVGZ unpacked), `suffix` one of "svg", "png", "jpg".
    `size_known` is False when the file states no physical size; then the natural size assumes
    96 px to the inch and a person must choose the width.
    `ink_width_px` is how many source pixels span the ink's width, None for vector sources.
    `notes` are sentences for people: what was dropped, repaired or assumed.
    """

    name: str
    source: bytes
    suffix: str
    source_digest: str
    outline: MultiPolygon
    outline_digest: str
    size_known: bool
    route: Route
    ink_width_px: float | None = None
    notes: tuple[str, ...] = ()

    @property
    def width_mm(self) -> float:
        return float(self.outline.bounds[2])

    @property
    def height_mm(self) -> float:
        return float(self.outline.bounds[3])

    @property
    def aspect(self) -> float:
        """Height over width of the ink."""
        return self.height_mm / self.width_mm

    @property
    def digest(self) -> str:
        """Identifies source and outline together (hex)."""
        return f"{self.source_digest[:32]}{self.outline_digest[:32]}"

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Artwork):
            return NotImplemented
        return self is other or (
            self.digest == other.digest
            and (self.name, self.suffix, self.size_known, self.route, self.ink_width_px, self.notes)
            == (other.name, other.suffix, other.size_known, other.route, other.ink_width_px, other.notes)
        )

    def __hash__(self) -> int:
        return hash((self.name, self.digest))


def source_digest(source: bytes) -> str:
    """SHA-256 of the file as it came (hex)."""
    return hashlib.sha256(source).hexdigest()


def outline_digest(outline: MultiPolygon) -> str:
    """SHA-256 of the outline's little-endian WKB (hex)."""
    return hashlib.sha256(shapely.to_wkb(outline, byte_order=1)).hexdigest()
