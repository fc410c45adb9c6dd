"""Runs CP-SAT in its own thread, so that Stop is heard while it searches; loaded on first use."""

import math
import time
from concurrent.futures import ThreadPoolExecutor, wait
from typing import Any

from layout_core.progress import Progress, no_progress

_LISTEN_S = 0.05


class Clock:
    """The time a plan may take, shared by all its solves; reports the elapsed fraction."""

    def __init__(self, seconds: float, progress: Progress = no_progress) -> None:
        self._start = time.monotonic()
        self._seconds = seconds
        self._progress = progress
        self.label = "Planning"

    @property
    def left_s(self) -> float:
        return self._seconds - self.spent_s

    @property
    def spent_s(self) -> float:
        return time.monotonic() - self._start

    @property
    def is_over(self) -> bool:
        return self.left_s <= 0.0

    def tick(self) -> None:
        """Report; lets `Cancelled` through when Stop was pressed."""
        self._progress(min(self.spent_s / max(self._seconds, 1e-9), 1.0), self.label)

    def listen(self, fraction: float, label: str) -> None:
        """A Progress for work inside: heard for Stop, its own fraction does not count."""
        self.tick()


def cp_model() -> Any:
    """The CP-SAT module. Importing it takes about a second, so it waits until a plan is asked for."""
    from ortools.sat.python import cp_model as module

    return module


def solved(model: Any, clock: Clock, seconds: float) -> tuple[Any, Any, float]:
    """The solver after its search, its status, and the proven bound of the objective (-inf for none).

    One worker with a fixed seed: a search that ends by itself gives the same answer each time.
    """
    clock.tick()  # a search that ends at once is stopped as well
    solver = cp_model().CpSolver()
    solver.parameters.max_time_in_seconds = max(min(seconds, clock.left_s), 0.01)
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    with ThreadPoolExecutor(1) as pool:
        search = pool.submit(solver.solve, model)
        try:
            while not wait([search], timeout=_LISTEN_S).done:
                clock.tick()
        except BaseException:
            solver.stop_search()
            raise
        status = search.result()
    bound = solver.best_objective_bound
    return solver, status, bound if math.isfinite(bound) else -math.inf
