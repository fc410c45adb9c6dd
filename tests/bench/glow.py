"""The glow model against published figures, its speed, and its answers to cases of one's own.

    python -m tests.bench.glow [--checks CSV] [--cases JSON]

prints one JSON document. `rows` counts the verified rows that state a figure of the model, `held` those that
it meets within their tolerance; rows of law and quotation are neither. `element_ms` is the time for every
distance of one element at one moment, `strip_s` that for the bands of a piece of 500 elements from lights-out
to two hours after, minute by minute, its elements measured beforehand as the program does; both are
processor time. A case names stroke_mm, length_mm, l10_mcd_m2, minutes, background_cd_m2 and field_factor;
its eye is adapted.
"""

import argparse
import json
import math
import sys
import time
import timeit
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
import shapely

from layout_core.glow.afterglow import EXPONENT, FULL_CHARGE, TAU_MIN
from layout_core.glow.bands import scene_bands
from layout_core.glow.elements import Elements, measured_elements
from layout_core.glow.scene import LOOKED_FOR, Scene
from layout_core.glow.visibility import detected_m, legible_m, resolved_m, sight
from layout_core.job.lighting import Ink
from tests.core.glow.rows import CHECKS_CSV, held, load_rows

STRIP_MIN = np.arange(0.0, 121.0)
CASE_KEYS = ("stroke_mm", "length_mm", "l10_mcd_m2", "minutes", "background_cd_m2", "field_factor")


def ink_of(l10_mcd_m2: float) -> Ink:
    return Ink("case", l10_mcd_m2, TAU_MIN, EXPONENT, 50.0, 0.04, "assumed")


def answer(case: Mapping[str, Any]) -> dict[str, float]:
    """The luminance and the three distances of one case."""
    stroke, length, l10, minutes, background, factor = (float(case[key]) for key in CASE_KEYS)
    scene = Scene(ink_of(l10), FULL_CHARGE, background, field_factor=factor, is_adapted=True)
    eye = sight(scene, minutes)
    return {
        "luminance_mcd_m2": float(eye.luminance_cd_m2[0]) * 1000.0,
        "detected_m": float(detected_m(stroke * length, min(stroke, length), eye)[0]),
        "resolved_m": float(resolved_m(stroke, eye)[0]),
        "legible_m": float(legible_m(stroke, eye)[0]),
    }


def case_fault(case: Any) -> str | None:
    """What is wrong with a case, or None."""
    if not isinstance(case, Mapping):
        return "is no set of named values"
    for key in CASE_KEYS:
        value = case.get(key)
        if isinstance(value, bool) or not isinstance(value, int | float):
            return f"has no number {key}"
        if (
            not math.isfinite(value)
            or value < 0
            or (value == 0 and key not in ("minutes", "background_cd_m2"))
        ):
            return f"has {key} = {value}; it must be more than 0"
    return None


def named_cases(path: Path) -> dict[str, Any]:
    """The cases of a file: an object of cases by name, or a list of cases that each hold their name."""
    read = json.loads(path.read_text("utf-8"))
    if isinstance(read, dict) and isinstance(read.get("cases"), dict | list):
        read = read["cases"]
    if isinstance(read, list):
        return {str(case.get("name", number)): case for number, case in enumerate(read, 1)}
    return dict(read)


def dotted_piece() -> Elements:
    """500 discs of 1 to 8 mm in rows, each a little off its place."""
    random = np.random.default_rng(20)
    middles = np.stack(np.meshgrid(np.arange(25), np.arange(20)), axis=-1).reshape(-1, 2) * 12.0
    middles += random.uniform(-1.0, 1.0, middles.shape)
    discs = shapely.buffer(shapely.points(middles), random.uniform(0.5, 4.0, 500), quad_segs=8)
    return measured_elements(shapely.multipolygons(discs))


def best_s(work: Any, number: int, repeats: int = 5) -> float:
    return min(timeit.repeat(work, timer=time.process_time, number=number, repeat=repeats)) / number


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--checks", type=Path, default=CHECKS_CSV, help="table of published figures")
    parser.add_argument("--cases", type=Path, help="cases to answer, as JSON")
    options = parser.parse_args()
    rows = load_rows(options.checks)
    verdicts = [held(row, rows) for row in rows if row.is_verified]
    cases = named_cases(options.cases) if options.cases else {}
    for name, case in cases.items():
        if fault := case_fault(case):
            sys.exit(f"{options.cases.name}: the case {name} {fault}")
    one = {"stroke_mm": 3, "length_mm": 15, "l10_mcd_m2": 30, "minutes": 20, "background_cd_m2": 0.1,
           "field_factor": LOOKED_FOR}  # fmt: skip
    piece, scene = dotted_piece(), Scene(ink_of(30.0), FULL_CHARGE, 0.1)
    report = {
        "bench": "glow",
        "rows": sum(verdict is not None for verdict in verdicts),
        "held": sum(verdict is True for verdict in verdicts),
        "element_ms": round(best_s(lambda: answer(one), 50) * 1e3, 4),
        "strip_s": round(best_s(lambda: scene_bands(piece, scene, STRIP_MIN), 1), 4),
        "cases": {name: answer(case) for name, case in cases.items()},
    }
    print(json.dumps(report))


if __name__ == "__main__":
    main()
