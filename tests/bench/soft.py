"""Holds the measure of soft shading against pictures whose truth is known; prints one JSON document.

python -m tests.bench.soft [--first SEED] [--count N]
"""

import argparse
import json
import time

from layout_core.art.ink_words import SOFT
from layout_core.art.soft_shading import soft_share
from tests.core.art.soft_pictures import picture


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--first", type=int, default=100_000)
    parser.add_argument("--count", type=int, default=200)
    options = parser.parse_args()
    wrong, shares, spent_s = [], {True: [0.0], False: [0.0]}, 0.0
    for seed in range(options.first, options.first + options.count):
        known = picture(seed)
        start = time.process_time()
        share = soft_share(known.rgba)
        spent_s += time.process_time() - start
        shares[known.is_soft].append(share)
        if (share > SOFT) != known.is_soft:
            wrong.append({"seed": seed, "picture": known.name, "is_soft": known.is_soft, "share": share})
    figures = {
        "pictures": options.count,
        "missed": sum(bool(case["is_soft"]) for case in wrong),
        "false_alarms": sum(not case["is_soft"] for case in wrong),
        "largest_share_of_flat": max(shares[False]),
        "least_share_of_soft": min(shares[True][1:], default=None),
        "cpu_s_each": round(spent_s / options.count, 3),
        "wrong": wrong,
    }
    print(json.dumps(figures, indent=1))


if __name__ == "__main__":
    main()
