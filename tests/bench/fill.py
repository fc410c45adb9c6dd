"""Fills sheets round locked pieces and prints value, pieces and smallest gap as one JSON document.

python -m tests.bench.fill [--scenarios JSON] [--engine boxes|shapes] [--seconds S] [--out LAYOUT.json]

Scenarios are in inches: {name: {"W", "L", "margin", "gap", "locked": [polygon], "menu": [{"name", "poly",
"value", "max"}]}} with GeoJSON polygons. The default file is invented.
"""

import argparse
import json
import time
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path
from typing import Any

import shapely
from shapely import MultiPolygon, Polygon
from shapely.geometry import mapping, shape
from shapely.geometry.base import BaseGeometry

from layout_core.errors import Cancelled
from layout_core.packing.audit import breaches
from layout_core.packing.engines import ENGINE_NAMES, engine_named
from layout_core.packing.fill import FillSheet, Laid, MenuItem, laid_outline, value_of
from layout_core.units import MM_PER_IN

SCENARIOS = Path(__file__).parents[1] / "data" / "fill_scenarios.json"


@dataclass
class Watch:
    """CPU seconds since the start, until the first layout, and the allowance after which it stops."""

    allowed_s: float
    first_s: float | None = None

    def __post_init__(self) -> None:
        self._start_s = time.process_time()

    @property
    def now_s(self) -> float:
        return time.process_time() - self._start_s

    def tick(self, fraction: float, label: str) -> None:
        if self.now_s > self.allowed_s:
            raise Cancelled

    def hear(self, laid: tuple[Laid, ...]) -> None:
        if self.first_s is None:
            self.first_s = self.now_s


def main() -> None:
    options = _options()
    scenarios = json.loads(options.scenarios.read_text(encoding="utf-8"))
    figures: dict[str, dict[str, Any]] = {}
    layouts: dict[str, list[dict[str, Any]]] = {}
    for name, scenario in scenarios.items():
        figures[name], layouts[name] = run(scenario, options.engine, options.seconds)
    if options.out:
        options.out.write_text(json.dumps(layouts), encoding="utf-8")
    print(json.dumps({"bench": "fill", "engine": options.engine, "scenarios": figures}, indent=1))


def run(
    scenario: dict[str, Any], engine_name: str, seconds: float
) -> tuple[dict[str, Any], list[dict[str, Any]]]:
    """The figures and the layout of one scenario."""
    sheet, menu = sheet_of(scenario), menu_of(scenario)
    engine = engine_named(engine_name)
    watch = Watch(seconds)
    filling = engine(sheet, menu, effort_s=seconds, progress=watch.tick, on_better=watch.hear)
    cpu_s = watch.now_s
    if breaches(sheet, filling.laid, menu):
        raise SystemExit(f"{engine_name} broke gap or margin")
    inch = [_in_inches(laid_outline(menu[one.key], one.pose)) for one in filling.laid]
    figures = {
        "value": round(value_of(filling.laid, menu), 2),
        "pieces": len(filling.laid),
        "ink_fraction": round(_ink_fraction(scenario, inch), 4),
        "smallest_gap_in": _smallest_gap(inch, [shape(locked) for locked in scenario["locked"]]),
        "first_cpu_s": round(watch.first_s if watch.first_s is not None else cpu_s, 3),
        "cpu_s": round(cpu_s, 3),
    }
    layout = [
        {"menu": scenario["menu"][one.key]["name"], "polygon": mapping(_single(outline))}
        for one, outline in zip(filling.laid, inch, strict=True)
    ]
    return figures, layout


def sheet_of(scenario: dict[str, Any]) -> FillSheet:
    """The scenario's sheet in mm."""
    return FillSheet(
        width_mm=scenario["W"] * MM_PER_IN,
        length_mm=scenario["L"] * MM_PER_IN,
        margin_mm=scenario["margin"] * MM_PER_IN,
        gap_mm=scenario["gap"] * MM_PER_IN,
        obstacles=tuple(_in_mm(shape(locked)) for locked in scenario["locked"]),
    )


def menu_of(scenario: dict[str, Any]) -> list[MenuItem]:
    """The scenario's menu in mm; a key is the position in the menu."""
    return [
        MenuItem(key, _at_origin(_in_mm(shape(entry["poly"]))), entry["value"], entry["max"])
        for key, entry in enumerate(scenario["menu"])
    ]


def _in_mm(outline: BaseGeometry) -> BaseGeometry:
    return shapely.transform(outline, lambda xy: xy * MM_PER_IN)


def _in_inches(outline: MultiPolygon) -> MultiPolygon:
    return shapely.transform(outline, lambda xy: xy / MM_PER_IN)


def _at_origin(outline: BaseGeometry) -> MultiPolygon:
    min_x, min_y, _, _ = outline.bounds
    moved = shapely.transform(outline, lambda xy: xy - (min_x, min_y))
    return MultiPolygon([part for part in shapely.get_parts(moved) if isinstance(part, Polygon)])


def _single(outline: MultiPolygon) -> BaseGeometry:
    return outline.geoms[0] if len(outline.geoms) == 1 else outline


def _ink_fraction(scenario: dict[str, Any], laid: list[MultiPolygon]) -> float:
    """Ink of everything on the sheet, the locked included, as a share of the film within the margins."""
    width, length, margin = scenario["W"], scenario["L"], scenario["margin"]
    usable = shapely.box(margin, margin, width - margin, length - margin)
    ink = shapely.union_all([*laid, *(shape(locked) for locked in scenario["locked"])])
    return float(ink.intersection(usable).area / usable.area)


def _smallest_gap(laid: list[MultiPolygon], locked: list[BaseGeometry]) -> float | None:
    """Smallest distance in inches between two laid copies, or between one and a locked piece."""
    pairs = [*combinations(laid, 2), *((a, b) for a in laid for b in locked)]
    gap = min((first.distance(second) for first, second in pairs), default=None)
    return None if gap is None else round(gap, 9)


def _options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.bench.fill")
    parser.add_argument("--scenarios", type=Path, default=SCENARIOS)
    parser.add_argument("--engine", choices=ENGINE_NAMES, default="boxes")
    parser.add_argument(
        "--seconds", type=float, default=1.0, help="search effort and most CPU seconds a scenario"
    )
    parser.add_argument("--out", type=Path, default=None)
    return parser.parse_args()


if __name__ == "__main__":
    main()
