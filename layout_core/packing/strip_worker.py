"""The strip solver's own process: one request in, a line for each better layout out.

spyrrow 0.9 cannot be stopped, overruns its time on a busy machine and panics on input it does not like,
with exceptions that are no `Exception`. In a process of its own it can be ended, and takes nothing along.
"""

import json
import os
import sys
import threading
import time
from typing import Any

from layout_core.art.caps import MEMORY_BYTES
from layout_core.art.memory import limit_memory

_POLL_S = 0.1
_NICENESS = 5
"""The solver takes every core; the window must still get its turn."""


def main() -> None:
    """Read one JSON request from standard input, write JSON lines to standard output."""
    if hasattr(os, "nice"):
        os.nice(_NICENESS)
    limit_memory(MEMORY_BYTES)
    request = json.loads(sys.stdin.buffer.read())
    replies = os.fdopen(os.dup(1), "w", encoding="utf-8")
    sink = os.open(os.devnull, os.O_RDWR)
    for number in (1, 2):
        os.dup2(sink, number)
    try:
        _solve(request, lambda line: print(json.dumps(line), file=replies, flush=True))
    except OSError:
        os._exit(1)  # nobody listens any more
    os._exit(0)


def _solve(request: dict[str, Any], tell: Any) -> None:
    import spyrrow

    items = [
        spyrrow.Item(str(at), [tuple(xy) for xy in item["points"]], item["demand"], item["turns_deg"])
        for at, item in enumerate(request["items"])
    ]
    instance = spyrrow.StripPackingInstance("", request["height"], items)
    config = spyrrow.StripPackingConfig(
        early_termination=False,
        min_items_separation=request["separation"] or None,
        total_computation_time=request["seconds"],
        num_workers=request["workers"],
        seed=request["seed"],
    )
    reports = spyrrow.ProgressQueue()
    ended: list[Any] = []
    work = threading.Thread(target=_run, args=(instance, config, reports, ended), daemon=True)
    work.start()
    feasible = (spyrrow.ReportType.ExplFeas, spyrrow.ReportType.CmprFeas, spyrrow.ReportType.Final)
    while not ended:
        time.sleep(_POLL_S)
        good = [solution for kind, solution in reports.drain() if kind in feasible]
        tell(_line(good[-1]) if good else {"kind": "alive"})
    tell(_line(ended[0]) if not isinstance(ended[0], str) else {"kind": "failed", "why": ended[0]})


def _run(instance: Any, config: Any, reports: Any, ended: list[Any]) -> None:
    try:
        ended.append(instance.solve(config, reports))
    except BaseException as error:  # a panic of the solver is no Exception
        ended.append(f"{type(error).__name__}: {error}")


def _line(solution: Any) -> dict[str, Any]:
    placed = [[item.id, item.rotation, *item.translation] for item in solution.placed_items]
    return {"kind": "better", "width": solution.width, "placed": placed}
