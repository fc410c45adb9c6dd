"""How cheap the run plans are on given cases, how far above the proven floor, and how long they took.

    python -m tests.bench.plan [--cases JSON ...] [--seconds S]

Each file has the form of tests/data/planner_cases.json (sheets of a length, boxes in inches, price tiers) or
of tests/data/planner_instances.json (slots). Prints one JSON document; asserts nothing. `by_templates` holds
the best with at most 1, 2, 3, ... sheet designs; the case itself is the best of them.
"""

import argparse
import json
import time
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

from shapely import MultiPolygon, box

from layout_core.errors import PlanError
from layout_core.packing.fill import FillSheet, MenuItem
from layout_core.plan.cuts import box_cuts, steps_of
from layout_core.plan.money import amount_of, coins
from layout_core.plan.oracle import BOXES_FILL_S, PackingOracle, SheetOracle, SlotOracle
from layout_core.plan.problem import Cut, Design, PlanProblem, RunPrice
from layout_core.plan.search import search
from layout_core.units import mm

DATA = Path(__file__).resolve().parents[1] / "data"
FILES = (DATA / "planner_cases.json", DATA / "planner_instances.json")
WIDTH_IN, MARGIN_IN, GAP_IN = 11.25, 0.25, 0.25
MOST_TEMPLATES = 4
Case = tuple[str, PlanProblem, PackingOracle, int]
"""Name, problem, oracle, decimals of the cost."""


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.bench.plan")
    parser.add_argument("--cases", type=Path, nargs="+", default=FILES)
    parser.add_argument("--seconds", type=float, default=10.0, help="longest search of a case")
    options = parser.parse_args()
    cases = {
        name: planned(problem, oracle, decimals, options.seconds)
        for path in options.cases
        for name, problem, oracle, decimals in read_cases(json.loads(path.read_text("utf-8")))
    }
    print(json.dumps({"bench": "plan", "cases": cases}, indent=1))


def planned(problem: PlanProblem, oracle: PackingOracle, decimals: int, seconds: float) -> dict[str, Any]:
    """The best plan of a case within the seconds, and the best with fewer templates on the way."""
    start = time.perf_counter()
    by_templates: dict[str, Any] = {}
    try:
        found = search(
            problem, oracle, seconds=seconds,
            on_templates=lambda n, cost: by_templates.update({str(n): _number(cost, decimals)}),
        )  # fmt: skip
    except PlanError as error:
        return {"cost": None, "floor": None, "seconds": _since(start), "templates": [], "reason": str(error)}
    return {
        "cost": _number(found.cost, decimals),
        "floor": _number(found.floor, decimals),
        "seconds": _since(start),
        "work_seconds": round(found.work_s, 2),
        "templates": [{"copies": list(one.counts), "run": one.run} for one in found.templates],
        "by_templates": by_templates,
    }


def read_cases(document: dict[str, Any]) -> Iterator[Case]:
    """The cases of a file of either form."""
    if "cases" in document:
        tiers = tuple((int(run), coins(Decimal(str(each)), 2)) for run, each in document["price"])
        price = RunPrice(tiers, coins(Decimal(str(document["setup"])), 2))
        for name, case in document["cases"].items():
            yield (name, *boxes_case(case, price, int(document["minrun"])), 2)
        return
    for instance in document.get("template_design", {}).get("instances", ()):
        most = max([3, *map(int, instance.get("best", {}))]) if len(instance["demand"]) < 40 else 3
        yield (instance["name"], *slots_case(instance, RunPrice(((1, 1),)), most), 0)
    for instance in document.get("cover_printing", {}).get("instances", ()):
        each, setup = (
            coins(Decimal(str(instance[key])), 2) for key in ("cost_per_sheet", "cost_per_template")
        )
        yield (instance["name"], *slots_case(instance, RunPrice(((1, each),), setup), MOST_TEMPLATES), 2)


def boxes_case(
    case: dict[str, Any], price: RunPrice, least_run: int, templates: int = MOST_TEMPLATES
) -> tuple[PlanProblem, PackingOracle]:
    """Boxes in inches on sheets of one width."""
    sheet = FillSheet(mm(WIDTH_IN), mm(case["L"]), mm(MARGIN_IN), mm(GAP_IN))
    menu = [
        MenuItem(at, MultiPolygon([box(0, 0, mm(w), mm(h))]), w * h, 1)
        for at, (w, h) in enumerate(case["sizes"])
    ]
    cuts = box_cuts(*steps_of([(mm(w), mm(h)) for w, h in case["sizes"]], sheet))
    return PlanProblem(_designs(case), cuts, price, least_run, templates), SheetOracle(
        sheet, menu, fill_s=BOXES_FILL_S
    )


def slots_case(
    instance: dict[str, Any], price: RunPrice, templates: int
) -> tuple[PlanProblem, PackingOracle]:
    """Sheets of equal slots."""
    designs = _designs(instance)
    cut = Cut((1,) * len(designs), int(instance["slots"]))
    return PlanProblem(designs, (cut,), price, 1, templates), SlotOracle()


def _designs(case: dict[str, Any]) -> tuple[Design, ...]:
    return tuple(Design(at, f"design {at + 1}", int(wanted)) for at, wanted in enumerate(case["demand"]))


def _number(cost: int, decimals: int) -> float:
    return float(amount_of(cost, decimals))


def _since(start: float) -> float:
    return round(time.perf_counter() - start, 2)


if __name__ == "__main__":
    main()
