"""The check shapes of line weight: constructed shapes with analytic answers, and what we measure on them."""

import csv
import math
from dataclasses import dataclass
from pathlib import Path

import shapely
from shapely import MultiPolygon

from layout_core.geometry.outline import valid_union
from layout_core.geometry.thickness import (
    Spot,
    narrow_gaps,
    sustained_gap_mm,
    sustained_width_mm,
    thin_spots,
)
from layout_core.units import mm

SHAPES_CSV = Path(__file__).parents[2] / "data" / "line_weight_shapes.csv"

_CLASS_OF = {"line": "line", "sliver": "line", "neck": "neck", "bridge": "neck", "speck": "speck",
             "pinhole": "speck"}  # fmt: skip
_GRAVEST_FIRST = ("line", "neck", "speck")


@dataclass(frozen=True, slots=True)
class WeightShape:
    """One check shape, in mm. `expected` is line, neck, speck or ok; the width is NaN where none is known."""

    name: str
    outline: MultiPolygon
    is_ink: bool
    limit_mm: float
    expected: str
    expected_width_mm: float

    def spots(self) -> tuple[Spot, ...]:
        return (thin_spots if self.is_ink else narrow_gaps)(self.outline, self.limit_mm)

    def sustained_mm(self) -> float | None:
        return (sustained_width_mm if self.is_ink else sustained_gap_mm)(self.outline, self.limit_mm)


def load_weight_shapes(path: Path = SHAPES_CSV) -> tuple[WeightShape, ...]:
    """The shapes of the table, turned from inches into mm; a corner, never reported, counts as ok."""
    usual = csv.field_size_limit(10_000_000)
    try:
        with path.open(newline="", encoding="utf-8") as lines:
            return tuple(_shape_of(row) for row in csv.DictReader(lines))
    finally:
        csv.field_size_limit(usual)


def _shape_of(row: dict[str, str]) -> WeightShape:
    outline = shapely.transform(shapely.from_wkt(row["wkt"]), lambda xy: xy * mm(1.0))
    return WeightShape(
        name=row["name"],
        outline=valid_union(outline),
        is_ink=row["measure"] == "width",
        limit_mm=mm(float(row["threshold_in"])),
        expected="ok" if row["expected_class"] == "tip" else row["expected_class"],
        expected_width_mm=mm(float(row["expected_sustained_width_in"] or math.nan)),
    )


def gravest_class(spots: tuple[Spot, ...]) -> str:
    """The gravest of line, neck and speck among the spots; ok if there is none."""
    classes = {_CLASS_OF[spot.kind] for spot in spots}
    return next((name for name in _GRAVEST_FIRST if name in classes), "ok")


def measured_width_mm(shape: WeightShape, spots: tuple[Spot, ...]) -> float | None:
    """The sustained width, or for what sustains none the least width of its necks and specks."""
    sustained = shape.sustained_mm()
    return sustained if sustained is not None else min((spot.width_mm for spot in spots), default=None)
