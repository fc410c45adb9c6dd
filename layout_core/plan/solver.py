"""Runs CP-SAT in its own thread, so that Stop is heard while it searches; loaded on first use."""

import math
from concurrent.futures import ThreadPoolExecutor, wait
from typing import Any

from layout_core.plan.clock import Clock, OverTimeError

_LISTEN_S = 0.05
_EQUAL_S = 1e-6
_SECONDS_PER_UNIT = 1.6
_SECONDS_PER_TERM = 4e-6
_SECONDS_PER_TERM_READ = 1e-6
_SECONDS_PER_SOLVE = 0.004
"""What a solve takes on a common desktop core, by the solver's own count of its work (measured on one)."""


def cp_model() -> Any:
    """The CP-SAT module. Importing it takes about a second, so it waits until a plan is asked for."""
    from ortools.sat.python import cp_model as module

    return module


def solved(model: Any, clock: Clock, seconds: float, *, is_simplified: bool = True) -> tuple[Any, Any, float]:
    """The solver after its search, its status, and the proven bound of the objective (-inf for none).

    One worker, a fixed seed, and `seconds` counted in work: the same model gives the same answer each time.
    Models that are small and linear are searched sooner than they are simplified: not `is_simplified`.
    Raises OverTimeError where the clock, and not the `seconds`, ended a search that was not at its end: what
    half a search gives is not what the whole one would have.
    """
    clock.tick()  # a search that ends at once is stopped as well
    solver = cp_model().CpSolver()
    solver.parameters.max_deterministic_time = max(min(seconds, clock.left_s), 0.01) / _SECONDS_PER_UNIT
    solver.parameters.max_time_in_seconds = max(clock.wall_left_s, 0.01)
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.cp_model_presolve = is_simplified
    with ThreadPoolExecutor(1) as pool:
        search = pool.submit(solver.solve, model)
        try:
            while not wait([search], timeout=_LISTEN_S).done:
                clock.tick()
        except BaseException:
            solver.stop_search()
            raise
        status = search.result()
    work = _SECONDS_PER_UNIT * solver.response_proto.deterministic_time
    is_cut_short = clock.left_s < seconds - _EQUAL_S
    each = _SECONDS_PER_TERM if is_simplified else _SECONDS_PER_TERM_READ
    clock.spend(work + each * _terms(model) + _SECONDS_PER_SOLVE)
    if is_cut_short and status not in (cp_model().OPTIMAL, cp_model().INFEASIBLE):
        clock.end()
        raise OverTimeError
    bound = solver.best_objective_bound
    return solver, status, bound if math.isfinite(bound) else -math.inf


def _terms(model: Any) -> int:
    """How large a model is: reading and simplifying it takes time that the solver does not count."""
    return sum(len(one.linear.vars) for one in model.proto.constraints)
