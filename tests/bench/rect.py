"""Shortest strips for published rectangles; prints how far above the optimum as one JSON document.

python -m tests.bench.rect [--seconds S]

Ours is the box search with S CPU seconds an instance. Plain rectpack beside it is its default packer
(MaxRectsBssf, largest area first) in a bin whose height is halved in on. Quarter turns are allowed but for
BENG, which is not in the means. Sources stand with each instance in tests/data/rect_instances.json.
"""

import argparse
import json
import time
from pathlib import Path
from typing import Any

from rectpack import newPacker

from layout_core.errors import Cancelled
from layout_core.packing.box_strip import box_strips
from layout_core.packing.effort import Effort

INSTANCES = Path(__file__).parents[1] / "data" / "rect_instances.json"
_UNTURNED = "BENG"


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.bench.rect")
    parser.add_argument("--seconds", type=float, default=1.0, help="CPU seconds for each instance")
    options = parser.parse_args()
    instances = json.loads(INSTANCES.read_text(encoding="utf-8"))
    figures = {instance["name"]: compared(instance, options.seconds) for instance in instances}
    turned = [each for name, each in figures.items() if not name.startswith(_UNTURNED)]
    document = {
        "bench": "rect",
        "mean_over_optimum_pct": _mean([each["over_pct"] for each in turned]),
        "rectpack_mean_over_optimum_pct": _mean([each["rectpack_over_pct"] for each in turned]),
        "beng_solved": sum(
            e["height"] == e["optimum"] for n, e in figures.items() if n.startswith(_UNTURNED)
        ),
        "instances": figures,
    }
    print(json.dumps(document, indent=1))


def compared(instance: dict[str, Any], seconds: float) -> dict[str, float]:
    """Our height and plain rectpack's, and both above the optimum in percent."""
    height, rectpack = our_height(instance, seconds), rectpack_height(instance)
    optimum = instance["optimum_height"]
    return {
        "optimum": optimum,
        "height": height,
        "over_pct": round(100.0 * (height / optimum - 1.0), 3),
        "rectpack_height": rectpack,
        "rectpack_over_pct": round(100.0 * (rectpack / optimum - 1.0), 3),
    }


def our_height(instance: dict[str, Any], seconds: float) -> int:
    """The height of the box search's last layout within that many CPU seconds, checked for overlaps."""
    end_s = time.process_time() + seconds

    def tick(fraction: float, label: str) -> None:
        if time.process_time() > end_s:
            raise Cancelled

    sizes = [(w, h) for w, h in instance["rectangles"]]
    may_turn = [not instance["name"].startswith(_UNTURNED)] * len(sizes)
    height = 0
    try:
        for strip in box_strips(sizes, instance["strip_width"], may_turn, Effort(1e6, tick)):
            height = height_of([(b.x, b.y, *_lying(sizes[b.at], b.is_turned)) for b in strip], instance)
    except Cancelled:
        pass
    return height


def rectpack_height(instance: dict[str, Any]) -> int:
    """The least height of a bin into which the default packer lays everything, by halving."""
    sizes = instance["rectangles"]
    may_turn = not instance["name"].startswith(_UNTURNED)
    low, high = instance["optimum_height"], sum(max(size) for size in sizes)
    while low < high:
        middle = (low + min(high, low + low // 8 + 1)) // 2 if high > 2 * low else (low + high) // 2
        if _holds_all(sizes, instance["strip_width"], middle, may_turn):
            high = middle
        else:
            low = middle + 1
    return int(high)


def height_of(boxes: list[tuple[int, int, int, int]], instance: dict[str, Any]) -> int:
    """The upper edge of the layout. Ends the program if boxes are missing, overlap or stick out."""
    wrong = len(boxes) != len(instance["rectangles"])
    wrong = wrong or any(x < 0 or y < 0 or x + w > instance["strip_width"] for x, y, w, _ in boxes)
    for at, (x, y, w, h) in enumerate(boxes):
        for x2, y2, w2, h2 in boxes[:at]:
            wrong = wrong or (x < x2 + w2 and x2 < x + w and y < y2 + h2 and y2 < y + h)
    if wrong:
        raise SystemExit(f"the layout of {instance['name']} is not sound")
    return max(y + h for _, y, _, h in boxes)


def _holds_all(sizes: list[list[int]], width: int, height: int, may_turn: bool) -> bool:
    packer = newPacker(rotation=may_turn)
    for w, h in sizes:
        packer.add_rect(w, h)
    packer.add_bin(width, height)
    packer.pack()
    return len(packer) > 0 and len(packer[0]) == len(sizes)


def _lying(size: tuple[int, int], is_turned: bool) -> tuple[int, int]:
    return (size[1], size[0]) if is_turned else size


def _mean(values: list[float]) -> float:
    return round(sum(values) / len(values), 4)


if __name__ == "__main__":
    main()
