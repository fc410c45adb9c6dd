"""Lays a few boxes on a sheet or proves that nobody can, by constraint programming."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from layout_core.packing.skyline import LaidBox
from layout_core.plan.clock import Clock
from layout_core.plan.cuts import Box
from layout_core.plan.solver import cp_model, solved

MOST_BOXES = 14
"""Beyond this an answer takes longer than a plan may (measured on one machine)."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """A layout, or none; `is_impossible` says that there is none, not that none was found in time."""

    laid: tuple[LaidBox, ...] | None
    is_impossible: bool


def verdict(
    sizes: Sequence[Box],
    film: Box,
    *,
    seconds: float,
    clock: Clock,
    barred: Collection[int] = (),
) -> Verdict:
    """Whether the boxes lie on the film together, each a quarter turned or not.

    Sizes and film are whole steps, the gap added to both. `barred` are the positions of boxes that may not
    be turned. Beyond `MOST_BOXES` it says nothing.
    """
    if len(sizes) > MOST_BOXES:
        return Verdict(None, False)
    width, length = film
    model = cp_model().CpModel()
    boxes = [_box(model, size, film, at not in barred) for at, size in enumerate(sizes)]
    model.add_no_overlap_2d([box.across for box in boxes], [box.along for box in boxes])
    model.add_cumulative([box.across for box in boxes], [box.height for box in boxes], length)
    model.add_cumulative([box.along for box in boxes], [box.width for box in boxes], width)
    kinds = [(size, at in barred) for at, size in enumerate(sizes)]
    for kind in set(kinds):  # equal boxes may stand in any order, so one order is enough to look at
        same = [box for box, other in zip(boxes, kinds, strict=True) if other == kind]
        for first, second in pairwise(same):
            model.add(first.x * (length + 1) + first.y <= second.x * (length + 1) + second.y)
    solver, status, _ = solved(model, clock, seconds)
    if status in (cp_model().OPTIMAL, cp_model().FEASIBLE):
        laid = tuple(
            LaidBox(at, bool(solver.value(box.is_turned)), solver.value(box.x), solver.value(box.y))
            for at, box in enumerate(boxes)
        )
        return Verdict(laid, False)
    return Verdict(None, bool(status == cp_model().INFEASIBLE))


@dataclass(frozen=True, slots=True)
class _Box:
    x: Any
    y: Any
    is_turned: Any
    width: Any
    height: Any
    across: Any
    along: Any


def _box(model: Any, size: Box, film: Box, may_turn: bool) -> _Box:
    (w, h), (width, length) = size, film
    is_turned = model.new_bool_var("") if may_turn and w != h else model.new_constant(0)
    x, x_end = model.new_int_var(0, width, ""), model.new_int_var(0, width, "")
    y, y_end = model.new_int_var(0, length, ""), model.new_int_var(0, length, "")
    across = model.new_int_var(min(w, h), max(w, h), "")
    along = model.new_int_var(min(w, h), max(w, h), "")
    model.add(across == w + (h - w) * is_turned)
    model.add(along == h + (w - h) * is_turned)
    return _Box(
        x, y, is_turned, across, along,
        model.new_interval_var(x, across, x_end, ""),
        model.new_interval_var(y, along, y_end, ""),
    )  # fmt: skip
