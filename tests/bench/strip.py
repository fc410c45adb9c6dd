"""Shortest strips for published irregular pieces; prints densities in percent as one JSON document.

python -m tests.bench.strip [--instances DIR] [--seconds S]

For each instance: "ours" (boxes, true shapes and the strip solver together, S seconds), "spyrrow" (the
solver alone, S seconds), "boxes" (boxes alone, S seconds) and "record" (the best ever published). Density is
the area of the pieces over that of the strip.
"""

import argparse
import json
import math
from pathlib import Path
from typing import Any

import shapely
from shapely import MultiPolygon, Polygon, affinity

from layout_core.packing.fill import FillSheet, MenuItem
from layout_core.packing.strip import Way, shortest_strip
from layout_core.packing.strip_process import StripItem, StripSolver

INSTANCES = Path(__file__).parents[1] / "data" / "irregular"
_LEAST_ACROSS_MM = 150.0
"""Instances are scaled by a power of two, which rounds nothing, to a strip of 150 to 300 mm."""


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.bench.strip")
    parser.add_argument(
        "--instances", type=Path, default=INSTANCES, help="folder of instances, one JSON each"
    )
    parser.add_argument("--seconds", type=float, default=5.0, help="by the clock, for each instance and way")
    options = parser.parse_args()
    instances = [json.loads(path.read_text("utf-8")) for path in sorted(options.instances.glob("*.json"))]
    figures = {instance["name"]: densities(instance, options.seconds) for instance in instances}
    print(json.dumps({"bench": "strip", "instances": figures}, indent=1))


def densities(instance: dict[str, Any], seconds: float) -> dict[str, float]:
    """The four densities of one instance."""
    return {
        "ours": _percent(instance, _length(instance, seconds, ("boxes", "shapes", "solver"))),
        "spyrrow": _percent(instance, _solver_length(instance, seconds)),
        "boxes": _percent(instance, _length(instance, seconds, ("boxes",))),
        "record": round(100.0 * instance["record_density"], 2),
    }


def _length(instance: dict[str, Any], seconds: float, ways: tuple[Way, ...]) -> float:
    sheet = FillSheet(_scale(instance) * instance["strip_height"], 1.0, margin_mm=0.0, gap_mm=0.0)
    return shortest_strip(sheet, menu_of(instance), seconds=seconds, ways=ways).length_mm


def _solver_length(instance: dict[str, Any], seconds: float) -> float:
    """The solver as it comes, given the instance as it is."""
    items = [
        StripItem([(x, y) for x, y in item["polygon"]], item["demand"], item["allowed_orientations"])
        for item in instance["items"]
    ]
    best = float("inf")
    solver = StripSolver(items, instance["strip_height"], 0.0, seconds)
    for spots in solver.layouts():
        laid = [
            affinity.translate(
                affinity.rotate(Polygon(items[s.item].points), s.turn_deg, origin=(0, 0)), s.x, s.y
            )
            for s in spots
        ]
        x0, _, x1, _ = shapely.total_bounds(laid)
        best = min(best, float(x1 - x0))
    solver.close()
    return best * _scale(instance)


def menu_of(instance: dict[str, Any]) -> list[MenuItem]:
    """The instance's pieces, scaled; a strip on its side is our sheet after a quarter turn."""
    return [_item(key, item, _scale(instance)) for key, item in enumerate(instance["items"])]


def _item(key: int, item: dict[str, Any], scale: float) -> MenuItem:
    across = affinity.rotate(Polygon(item["polygon"]), 90.0, origin=(0, 0))
    x0, y0, _, _ = across.bounds
    outline = shapely.transform(across, lambda xy: (xy - (x0, y0)) * scale)
    return MenuItem(
        key,
        MultiPolygon([outline]),
        outline.area,
        item["demand"],
        turns_deg=tuple(item["allowed_orientations"]),
    )


def _scale(instance: dict[str, Any]) -> float:
    return float(2.0 ** math.ceil(math.log2(_LEAST_ACROSS_MM / instance["strip_height"])))


def _percent(instance: dict[str, Any], length_mm: float) -> float:
    area_mm2 = sum(item.most * item.outline.area for item in menu_of(instance))
    return round(100.0 * area_mm2 / (_scale(instance) * instance["strip_height"] * length_mm), 2)


if __name__ == "__main__":
    main()
