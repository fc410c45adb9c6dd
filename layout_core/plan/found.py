"""What the search for a run plan gives: its sheets laid out, their cost, and what is proven of it."""

from dataclasses import dataclass

from layout_core.packing.fill import Laid
from layout_core.plan.problem import Counts


@dataclass(frozen=True, slots=True)
class Template:
    """One sheet design of a plan: copies of each design, how often it runs, and where the copies lie."""

    counts: Counts
    run: int
    laid: tuple[Laid, ...]


@dataclass(frozen=True, slots=True)
class Found:
    """The best plan found; costs in minor units.

    `floor` is the cost that nobody can go below with so many sheet designs, by cuts that hold for every
    layout; `packer_floor` the same by the cuts the search itself keeps, which may hold for boxes alone.
    `is_best_here`: the search ended by itself, so this packer has nothing cheaper.
    `seconds` went by; `work_s` is what a common desktop core would have taken.
    """

    templates: tuple[Template, ...]
    cost: int
    floor: int
    packer_floor: int
    is_best_here: bool
    seconds: float
    work_s: float
