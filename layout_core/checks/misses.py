"""What misses a promise, why, and what would keep it."""

from dataclasses import dataclass
from typing import Literal

from shapely import MultiPolygon

from layout_core.units import write_length

Cause = Literal["too fine", "gap too fine", "too small", "too dim"]
FixKind = Literal["thicken", "open", "solid", "enlarge"]


@dataclass(frozen=True, slots=True)
class PromiseFix:
    """One way to keep the promise.

    `amount` is the width in mm of the print that strokes (thicken) or gaps (open) need, or the size in per
    cent of today's (enlarge); 0 for solid, which fills the counters.
    """

    kind: FixKind
    amount: float = 0.0

    @property
    def words(self) -> str:
        if self.kind == "enlarge":
            return f"enlarge to {self.amount:.0f} %"
        if self.kind == "solid":
            return "make solid"
        return f"{self.kind} to {write_length(self.amount)}"


@dataclass(frozen=True, slots=True)
class Miss:
    """An element that misses the promise, or a part of one (`is_part`) that is lost in it.

    `element` is its index in the outline, `reached_m` how far it gets; `shape` lies in the piece frame.
    `fixes` are the ways that would do, the gentlest first; none when no size would.
    """

    element: int
    cause: Cause
    reached_m: float
    measured: float
    needed: float
    unit: str
    shape: MultiPolygon
    fixes: tuple[PromiseFix, ...]
    is_part: bool = False
