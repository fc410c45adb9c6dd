"""Line weight against an edge-pair rule check: `python -m tests.bench.weight [--shapes CSV]`.

Prints one JSON document. `ours_ms` is the CPU time of every spot found, told apart and measured on a page of
lettering and on the check shapes, `klayout_ms` that of klayout's bare width (or space) check on the same
shapes, built beforehand, in the same run; `ratio` is the one over the other, `plain_ratio` the same on a page
in which no letter repeats another. `classes_right` counts the check shapes whose class is as expected.
"""

import argparse
import json
import math
import os
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import shapely
from shapely import MultiPolygon
from shapely.affinity import scale

from layout_core.geometry.outline import valid_union
from layout_core.geometry.thickness import thin_spots
from layout_core.units import inches, mm
from tests.core.geometry.rule_check import region_of, violations
from tests.core.geometry.weight_shapes import (
    SHAPES_CSV,
    WeightShape,
    gravest_class,
    load_weight_shapes,
    measured_width_mm,
)

LIMIT_MM = mm(0.014)
VERTICES = 50_000
RUNS = 3
SIZES_PT = (9, 11, 12, 14, 18)
FONTS = ("Manrope-Light.ttf", "Manrope-Regular.ttf", "Manrope-Bold.ttf")
LINES = (
    "Bring a lantern, a jar and warm boots: we walk at low water.",
    "Hawk moths, lappets & footmen came to the white sheet by ten.",
    "Quiet, please. 27 limpets, 6 blennies and 1 very cross crab!",
    "Vexed glow-worms jumped over the buzzing lamp (twice, at 0:45).",
)


def lettering(vertices: int = VERTICES) -> MultiPolygon:
    """A page of text in mm, of about so many vertices, in weights and sizes on both sides of the limit."""
    parts: list[shapely.Polygon] = []
    count, y_mm, row = 0, 0.0, 0
    while count < vertices:
        font, size_pt = FONTS[row % len(FONTS)], SIZES_PT[row % len(SIZES_PT)]
        line = _line_of_text(LINES[row % len(LINES)], font, size_pt, y_mm)
        parts += line
        count += int(shapely.get_num_coordinates(line).sum())
        y_mm += 1.4 * size_pt / 72.0 * 25.4
        row += 1
    return valid_union(MultiPolygon(parts))


def _line_of_text(text: str, font: str, size_pt: float, y_mm: float) -> list[shapely.Polygon]:
    """The letters of one line, in mm, their curves flattened by Qt at 1000 units to the em."""
    import font_manrope
    from PySide6.QtGui import QRawFont

    face = QRawFont(str(Path(font_manrope.__file__).parent / "files" / font), 1000.0)
    glyphs = face.glyphIndexesForString(text)
    unit_mm = size_pt / 72.0 * 25.4 / 1000.0
    letters: list[shapely.Polygon] = []
    x = 0.0
    for glyph, advance in zip(glyphs, face.advancesForGlyphIndexes(glyphs), strict=True):
        rings = [
            [(point.x() + x, point.y()) for point in ring]
            for ring in face.pathForGlyph(glyph).toSubpathPolygons()
            if len(ring) > 3
        ]
        shape = shapely.build_area(shapely.GeometryCollection([shapely.LinearRing(ring) for ring in rings]))
        sound = valid_union(shapely.transform(shape, lambda xy: xy * unit_mm + (0.0, y_mm)))
        letters += sound.geoms
        x += advance.x()
    return letters


def cpu_ms(work: Callable[[], object]) -> float:
    """Median CPU time of a few runs, in ms."""
    times = []
    for _ in range(RUNS):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return float(np.median(times)) * 1000.0


def without_repeats(page: MultiPolygon) -> MultiPolygon:
    """The page with every letter a little larger than the one before, so that no two are alike."""
    letters = zip(np.linspace(1.0, 1.05, len(page.geoms)), page.geoms, strict=True)
    grown = [scale(part, by, by, origin=(0.0, 0.0)) for by, part in letters]
    return valid_union(MultiPolygon(grown))


def page_times(page: MultiPolygon) -> tuple[float, float]:
    """CPU times (ms) of our measure and of klayout's check on a page of ink."""
    region = region_of(page)
    ours = cpu_ms(lambda: thin_spots(page, LIMIT_MM))
    return ours, cpu_ms(lambda: violations(region, LIMIT_MM, True).count())


def shape_times(shapes: tuple[WeightShape, ...]) -> tuple[float, float]:
    """CPU times (ms) of our measure and of klayout's check on all check shapes."""
    regions = [(region_of(shape.outline), shape.limit_mm, shape.is_ink) for shape in shapes]
    ours = cpu_ms(lambda: [shape.spots() for shape in shapes])
    return ours, cpu_ms(lambda: [violations(*region).count() for region in regions])


def judged(shapes: tuple[WeightShape, ...]) -> tuple[int, float]:
    """How many classes are right, and the worst error of a width (in)."""
    right, worst_in = 0, 0.0
    for shape in shapes:
        spots = shape.spots()
        right += gravest_class(spots) == shape.expected
        measured = measured_width_mm(shape, spots)
        if shape.expected != "ok" and not math.isnan(shape.expected_width_mm):
            error_in = inches(abs((measured or 0.0) - shape.expected_width_mm))
            worst_in = max(worst_in, error_in)
    return right, worst_in


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--shapes", type=Path, default=SHAPES_CSV, help="table of check shapes in inches")
    shapes = load_weight_shapes(parser.parse_args().shapes)
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from PySide6.QtGui import QGuiApplication

    application = QGuiApplication([])
    page = lettering()
    application.quit()
    on_page, on_shapes, on_plain = page_times(page), shape_times(shapes), page_times(without_repeats(page))
    ours, theirs = on_page[0] + on_shapes[0], on_page[1] + on_shapes[1]
    right, worst_in = judged(shapes)
    report = {
        "bench": "weight",
        "ours_ms": round(ours, 1),
        "klayout_ms": round(theirs, 1),
        "ratio": round(ours / theirs, 3),
        "classes": len(shapes),
        "classes_right": right,
        "worst_width_error_in": round(worst_in, 6),
        "plain_ratio": round(on_plain[0] / on_plain[1], 3),
        "vertices": int(shapely.get_num_coordinates(page)),
        "parts": len(page.geoms),
    }
    print(json.dumps(report))


if __name__ == "__main__":
    main()
