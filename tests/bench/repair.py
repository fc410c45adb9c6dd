"""Repairs of a page of fine lettering: `python -m tests.bench.repair`.

Prints one JSON document: CPU seconds of thickening every line and neck below 0.020 in and of opening every
gap below 0.028 in on a page of about 75,000 vertices in which no letter repeats another, and how many thin
places there were before and after; `growth` is vertices after thickening over before.
"""

import json
import os
import time
from collections.abc import Callable

import shapely
from shapely import MultiPolygon

from layout_core.geometry.mending import opened, thickened
from layout_core.geometry.thickness import firm_limit_mm, narrow_gaps, thin_spots
from layout_core.units import mm
from tests.bench.weight import lettering, without_repeats

LINE_MM, GAP_MM = mm(0.020), mm(0.028)
VERTICES = 75_000


def timed(work: Callable[[], MultiPolygon]) -> tuple[MultiPolygon, float]:
    start = time.process_time()
    shape = work()
    return shape, round(time.process_time() - start, 3)


def lines_in(outline: MultiPolygon) -> int:
    return sum(spot.kind in ("line", "neck") for spot in thin_spots(outline, firm_limit_mm(LINE_MM)))


def gaps_in(outline: MultiPolygon) -> int:
    return sum(spot.kind in ("sliver", "bridge") for spot in narrow_gaps(outline, firm_limit_mm(GAP_MM)))


def main() -> None:
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from PySide6.QtGui import QGuiApplication

    application = QGuiApplication([])
    page = without_repeats(lettering(VERTICES))
    application.quit()
    thick, thicken_s = timed(lambda: thickened(page, LINE_MM))
    open_page, open_s = timed(lambda: opened(page, GAP_MM, LINE_MM))
    vertices = int(shapely.get_num_coordinates(page))
    report = {
        "bench": "repair",
        "vertices": vertices,
        "parts": len(page.geoms),
        "thicken_cpu_s": thicken_s,
        "lines_before": lines_in(page),
        "lines_after": lines_in(thick),
        "open_cpu_s": open_s,
        "gaps_before": gaps_in(page),
        "gaps_after": gaps_in(open_page),
        "valid": thick.is_valid and open_page.is_valid,
        "growth": round(int(shapely.get_num_coordinates(thick)) / vertices, 2),
    }
    print(json.dumps(report))


if __name__ == "__main__":
    main()
